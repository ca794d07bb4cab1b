// The board's English of rules and entries in a screen's language. It is cut where the program joins it; what is
// no known message stays as it was told, so that nothing is ever left out.

import type { Language } from '../core/model.ts';
import { CATALOGUE, say, type Key } from './say.ts';
import { told } from './told.ts';

const READ = String.raw`-?[\d.]+ °[CF] at \d\d:\d\d`;
// What may stand for a placeholder, by its name without digits; anything else: words up to a semicolon.
const SHAPES: Readonly<Record<string, string>> = {
  words: '.+?',
  acts: '.+',
  proofs: '.+',
  value: String.raw`-?[\d.]+ °[CF]`,
  off: String.raw`-?[\d.]+ °[CF]`,
  clock: String.raw`\d\d:\d\d`,
  read: `(?:[^,;:]*? )?${READ}`,
  date: String.raw`\d{4}-\d\d-\d\d`,
  span: String.raw`(?:\d+ h \d\d min|\d+ min)`,
  none: 'no number is stated',
  n: String.raw`\d+`,
  rule: String.raw`[A-Z]{2}[\w-]*`,
  part: String.raw`[^\d,;:]+`,
  point: 'coldest|warmest|surface',
  answer: 'pass|fail|unproven|not applicable',
  proof: Object.keys(told).filter((key) => key.startsWith('proof.')).map((key) => key.slice(6).replaceAll('_', ' ')).join('|'),
};
// Words of one of these parts of the catalogue stand for a placeholder of that name.
const WORDS: Readonly<Record<string, string>> = { part: 'part', point: 'spot', answer: 'answer', proof: 'proof', food: 'food', state: 'lot', way: 'way' };

interface Like {
  readonly key: Key;
  readonly names: readonly string[];
  readonly like: RegExp;
}

const LIKES: readonly Like[] = Object.entries(told)
  .filter(([key]) => key.startsWith('told.'))
  .map(([key, { en }]) => ({ key: key as Key, en }))
  .sort((one, other) => bare(other.en).length - bare(one.en).length)
  .map(({ key, en }) => ({ key, names: [...en.matchAll(/\{(\w+)\}/g)].map((found) => found[1] ?? ''), like: likeOf(en) }));

function bare(en: string): string {
  return en.replace(/\{\w+\}/g, '');
}

function likeOf(en: string): RegExp {
  const parts = en.split(/\{(\w+)\}/).map((part, n) => (n % 2 === 0 ? part.replace(/[.*+?^${}()|[\]\\]/g, '\\$&') : `(${SHAPES[kindOf(part)] ?? '[^;]+?'})`));
  return new RegExp(`^${parts.join('')}$`, 's');
}

function kindOf(name: string): string {
  return name.replace(/\d+$/, '');
}

/** What the board told, in this language: whole where it is a message, else part by part. */
export function toldWords(language: Language, words: string): string {
  if (language === 'en' || words === '') return words;
  const stop = words.endsWith('.') ? '.' : '';
  const said = whole(language, words) ?? whole(language, words.slice(0, words.length - stop.length));
  if (said !== null) return said + (stop !== '' && !said.endsWith('.') ? stop : '');
  for (const between of ['; ', ', ']) {
    if (words.includes(between)) return words.split(between).map((part) => toldWords(language, part)).join(between);
  }
  return ['state', 'food', 'piece'].map((kind) => word(language, kind, words)).find((said) => said !== null) ?? words;
}

function whole(language: Language, words: string): string | null {
  for (const { key, names, like } of LIKES) {
    const found = like.exec(words);
    if (found === null) continue;
    const values = names.map((name, n) => [name, within(language, name, found[n + 1] ?? '')]);
    return say(language, key, Object.fromEntries(values) as Record<string, string>);
  }
  return null;
}

/** What stands in a placeholder: a name as it is, a word of the catalogue, or words that are told in turn. */
function within(language: Language, name: string, value: string): string {
  const kind = kindOf(name);
  if (kind === 'name' || kind === 'many') return value;
  return word(language, kind, value) ?? toldWords(language, value);
}

function word(language: Language, kind: string, value: string): string | null {
  const key = `${WORDS[kind] ?? kind}.${value.replaceAll(' ', '_')}`;
  return key in CATALOGUE ? say(language, key as Key) : null;
}

/** The kind of an entry, in this language. */
export function kindWord(language: Language, kind: string): string {
  return word(language, 'kind', kind) ?? kind;
}
