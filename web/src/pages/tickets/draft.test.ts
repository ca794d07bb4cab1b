import assert from 'node:assert/strict';
import { test } from 'node:test';

import type { ShownDish } from '../../wire.ts';
import { allergenKeys, heldBy } from './allergens.ts';
import {
  EMPTY, apart, called, count, counted, covered, fewer, lettered, marked, missing, more, numbered, plates, quoted, tableOf,
  toCourse, type Draft,
} from './draft.ts';

const times = (n: number, step: (draft: Draft) => Draft, from: Draft): Draft =>
  Array.from({ length: n }).reduce<Draft>((draft) => step(draft), from);
const b4 = covered(numbered(lettered(EMPTY, 'B'), '4'), 12);

test('a table is a letter and up to two digits; a third begins the number anew', () => {
  assert.equal(tableOf(b4), 'B4');
  assert.equal(tableOf(numbered(b4, '1')), 'B41');
  assert.equal(tableOf(numbered(numbered(b4, '1'), '7')), 'B7');
  assert.equal(tableOf(lettered(b4, 'C')), 'C');
});

test('what is missing is told in the order it is tapped', () => {
  assert.equal(missing(EMPTY), 'table');
  assert.equal(missing(lettered(EMPTY, 'B')), 'table');
  assert.equal(missing(numbered(lettered(EMPTY, 'B'), '4')), 'covers');
  assert.equal(missing(b4), 'dishes');
  assert.equal(missing(more(b4, 'pizza')), null);
  assert.equal(missing(fewer(more(b4, 'pizza'), 'pizza')), 'dishes');
});

test('one tap is one more, and one fewer leaves marked plates for last', () => {
  let draft = times(3, (one) => more(one, 'pizza'), more(b4, 'shrimp'));
  draft = marked(draft, { course: 0, plate: 3 }, 'milk');
  draft = fewer(draft, 'pizza');
  assert.equal(count(draft, 'pizza'), 2);
  assert.deepEqual(draft.courses[0]?.plates.map((plate) => plate.allergy), [[], [], ['milk']]);
  draft = fewer(fewer(fewer(draft, 'pizza'), 'pizza'), 'pizza');
  assert.equal(plates(draft), 1);
});

test('no course grows beyond what the board takes', () => {
  assert.equal(plates(times(70, (one) => more(one, 'pizza'), b4)), 60);
  assert.equal(covered(b4, 400).covers, 100);
  assert.equal(covered(b4, -3).covers, 0);
});

test('a course begins only behind one with plates, and taps go into it', () => {
  assert.equal(toCourse(b4, 1), b4);
  let draft = more(toCourse(more(b4, 'shrimp'), 1), 'pizza');
  assert.deepEqual([draft.course, count(draft, 'pizza'), count(draft, 'pizza', 0)], [1, 1, 0]);
  draft = toCourse(draft, 0);
  assert.equal(count(draft, 'shrimp'), 1);
});

test('the ticket told has its courses apart, its marks, and no empty course', () => {
  let draft = more(toCourse(more(b4, 'shrimp'), 1), 'pizza');
  draft = apart(draft, 300);
  draft = toCourse(draft, 2);
  draft = marked(marked(draft, null, 'egg'), { course: 1, plate: 0 }, 'milk');
  assert.deepEqual(called(draft, 68400, 69600), {
    kind: 'ticket',
    way: 'tapped',
    ticket: {
      table: 'B4', covers: 12, called_s: 68400, allergy: ['egg'],
      courses: [
        { wanted_s: 69600, plates: [{ dish: 'shrimp', allergy: [] }] },
        { wanted_s: 71100, plates: [{ dish: 'pizza', allergy: ['milk'] }] },
      ],
    },
  });
});

test('a mark is taken away by the same tap, and a quote is asked under all marks of each plate', () => {
  let draft = marked(more(more(b4, 'pizza'), 'pizza'), null, 'egg');
  draft = marked(draft, { course: 0, plate: 1 }, 'milk');
  assert.deepEqual(quoted(draft), {
    covers: 12, plates: [{ dish: 'pizza', allergy: ['egg'] }, { dish: 'pizza', allergy: ['egg', 'milk'] }],
  });
  assert.deepEqual(marked(draft, null, 'egg').allergy, []);
});

test('dishes are counted in the order they were tapped', () => {
  assert.deepEqual(counted([{ dish: 'b' }, { dish: 'a' }, { dish: 'b' }]), [['b', 2], ['a', 1]]);
});

test('keys for allergens begin with what the house cooks with, each word once', () => {
  const pizza = { key: 'pizza', contains: ['wheat', 'milk'] } as unknown as ShownDish;
  const words = allergenKeys([pizza, pizza]);
  assert.deepEqual(words.slice(0, 2), ['wheat', 'milk']);
  assert.equal(new Set(words).size, words.length);
  assert.deepEqual(heldBy(pizza, ['gluten', 'egg', 'milk']), ['gluten', 'milk']);
  assert.deepEqual(heldBy(undefined, ['gluten']), []);
});
