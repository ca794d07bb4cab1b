// A move in a cook's words, in this device's language.

import type { Language } from '../../core/model.ts';
import { thirdOf } from '../../look/stone.ts';
import type { ShownHouse, ShownMove } from '../../wire.ts';
import { say, type Key } from '../../words/say.ts';

const JOINED = new Set([
  'in',
  'with',
  'and',
  'on',
  'con',
  'de',
  'del',
  'al',
  'a',
  'y',
  'en',
  'di',
  'e',
  'alla',
  'nel',
  'su',
]);

/** A dish's name as far as a cook says it: `shrimp` for shrimp in butter. */
export function shortDish(house: Pick<ShownHouse, 'dishes'>, key: string): string {
  const words = (house.dishes.find((dish) => dish.key === key)?.name ?? key).toLowerCase().split(/\s+/);
  const end = words.findIndex((word, i) => i > 0 && JOINED.has(word));
  return words.slice(0, end < 0 ? words.length : end).join(' ');
}

/** A dish in one word: the last one a cook says, `chicken` for a half chicken. */
export function nounOf(house: Pick<ShownHouse, 'dishes'>, key: string): string {
  return shortDish(house, key).split(' ').at(-1) ?? key;
}

/** Where a place lies as seen from the mouth, in words. */
export function placeWords(
  language: Language,
  house: Pick<ShownHouse, 'outline_m'>,
  x_m: number,
  y_m: number,
): string {
  const [depth, side] = thirdOf(house, [x_m, y_m]);
  const key: Key = side === '' ? `place.${depth}` : `place.${depth}.${side}`;
  return say(language, key);
}

export function actWord(language: Language, act: ShownMove['act']): string {
  return say(language, `act.${act}`);
}

/** How far round, in words; nothing where it is not turned. */
export function roundWords(language: Language, by_deg: number): string {
  const degrees = Math.round(by_deg);
  if (degrees === 0) return '';
  if (degrees === 120) return say(language, 'round.third');
  if (degrees === 90) return say(language, 'round.quarter');
  if (degrees === 180) return say(language, 'round.half');
  return say(language, 'round.degrees', { degrees });
}

/** All of a move in one line, for who hears the page instead of seeing it. */
export function moveWords(language: Language, house: ShownHouse, move: ShownMove): string {
  if (move.act === 'flame') return move.words;
  const place = move.x_m === null || move.y_m === null ? '' : placeWords(language, house, move.x_m, move.y_m);
  const round = move.act === 'turn' || move.act === 'spin' ? roundWords(language, move.by_deg) : '';
  return [`${move.table} ${shortDish(house, move.dish)} ${actWord(language, move.act)}`, round, place]
    .filter((part) => part !== '')
    .join(', ');
}
