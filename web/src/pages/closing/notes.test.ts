import assert from 'node:assert/strict';
import { test } from 'node:test';

import type { Facts } from '../../wire.ts';
import { MOST_SIGNS, REASONS, noteLacks, noteOf, reasonKey, wastedInAll, wastedNow, wastedOf } from './notes.ts';

test('a note is its sentences and what was typed, each on its line', () => {
  assert.equal(noteOf(['Wood is low.', 'The probe is slow.'], '  Back left sticks. '), 'Wood is low.\nThe probe is slow.\nBack left sticks.');
  assert.equal(noteOf([], '  '), '');
});

test('an empty note is not left, nor one longer than the board takes', () => {
  assert.equal(noteLacks(' \n'), 'nothing');
  assert.equal(noteLacks('a'.repeat(MOST_SIGNS)), null);
  assert.equal(noteLacks('a'.repeat(MOST_SIGNS + 1)), 'too_long');
});

test('every reason has words, and is one the board takes as a word', () => {
  for (const reason of REASONS) {
    assert.notEqual(reasonKey(reason), null);
    assert.match(reason, /^[\p{L}\p{N}][\p{L}\p{N} _.,'&-]{0,79}$/u);
  }
  assert.equal(reasonKey('eaten by the dog'), null);
});

test('waste adds up over its reasons', () => {
  const wasted = [['left over', 3], ['burnt', 1]] as const;
  assert.deepEqual([wastedOf(wasted, 'burnt'), wastedOf(wasted, 'dropped'), wastedInAll(wasted)], [1, 0, 4]);
});

test('waste is as the facts have it, the most first; the figures count only where there are none', () => {
  const facts = { wasted: [{ dish: 'pizza', why: 'burnt', count: 1 }, { dish: 'wings', why: 'burnt', count: 9 }, { dish: 'pizza', why: 'left over', count: 2 }] } as unknown as Facts;
  const dish = { dish: 'pizza', wasted: [['dropped', 7]] } as const;
  assert.deepEqual(wastedNow(facts, dish), [['left over', 2], ['burnt', 1]]);
  assert.deepEqual(wastedNow(null, dish), [['dropped', 7]]);
});
