import assert from 'node:assert/strict';
import { readFileSync, readdirSync } from 'node:fs';
import { test } from 'node:test';

import { acts } from './acts.ts';
import { after } from './after.ts';
import { day } from './day.ts';
import { frame } from './frame.ts';
import { CATALOGUE, PARTS, placeholders, say } from './say.ts';
import { service } from './service.ts';
import { tickets } from './tickets.ts';

const LANGUAGES = ['en', 'es', 'it'] as const;
const entries = Object.entries(CATALOGUE);

test('every message is there in every language, and in no other', () => {
  for (const [key, message] of entries) {
    assert.deepEqual(Object.keys(message).sort(), [...LANGUAGES].sort(), key);
    for (const language of LANGUAGES) assert.notEqual(message[language].trim(), '', `${key} in ${language}`);
  }
});

test('a message wants the same values in every language', () => {
  for (const [key, message] of entries) {
    for (const language of LANGUAGES) {
      assert.deepEqual(placeholders(message[language]), placeholders(message.en), `${key} in ${language}`);
    }
  }
});

test('no part of the catalogue takes a key of another', () => {
  const many = PARTS.reduce((sum, part) => sum + Object.keys(part).length, 0);
  assert.equal(many, entries.length);
});

test('acts are read at 2 m: seven letters at the most', () => {
  for (const [key, message] of entries.filter(([one]) => one.startsWith('act.'))) {
    for (const language of LANGUAGES)
      assert.ok(message[language].length <= 7, `${key}: ${message[language]}`);
  }
});

test('what is spoken is five words at the most', () => {
  for (const [key, message] of entries.filter(([one]) => one.startsWith('spoken.'))) {
    for (const language of LANGUAGES)
      assert.ok(message[language].split(' ').length <= 5, `${key}: ${message[language]}`);
  }
});

test('nothing says that food, air or gas is safe, or free from anything', () => {
  const refused =
    /\bsafe\b|\bfree\b|\bsegur[oa]s?\b|\bsicur[oaie]\b|\bsin (gluten|alérgenos)|\bsenza (glutine|allergeni)|\blibre de\b/i;
  for (const [key, message] of entries) {
    for (const language of LANGUAGES)
      assert.doesNotMatch(message[language], refused, `${key} in ${language}`);
  }
});

test('values go in where they are named; a missing one is an error', () => {
  assert.equal(say('es', 'landing', { table: 'B4', clock: '19:22' }), 'B4 sale 19:22');
  assert.throws(() => say('en', 'landing', { table: 'B4' }), /clock/);
});

test('every message of the pages is said somewhere', () => {
  const root = new URL('..', import.meta.url);
  const text = readdirSync(root, { recursive: true, encoding: 'utf8' })
    .filter((path) => /\.tsx?$/.test(path) && !path.startsWith('words/') && !path.endsWith('.test.ts'))
    .map((path) => readFileSync(new URL(path, root), 'utf8'))
    .join('\n');
  const built = [...text.matchAll(/`((?:[a-z_]+\.)+\$\{[^`]*)`/g)].map(
    (found) => new RegExp(`^${(found[1] ?? '').replace(/\./g, '\\.').replace(/\$\{[^}]*\}/g, '[a-z_]+')}$`),
  );
  const keys = Object.keys({ ...frame, ...acts, ...service, ...tickets, ...after, ...day });
  assert.deepEqual(
    keys.filter((key) => !text.includes(`'${key}'`) && !built.some((pattern) => pattern.test(key))),
    [],
  );
});
