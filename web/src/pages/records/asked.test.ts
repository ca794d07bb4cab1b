import assert from 'node:assert/strict';
import { test } from 'node:test';

import { askedPath, dayWord, heightM, marksTime, mayFreeze } from './asked.ts';

test('a question is its words and its day, either left out where there is none', () => {
  assert.equal(askedPath('', ''), '/api/records');
  assert.equal(askedPath(' half chicken ', '2026-06-02'), '/api/records?words=half+chicken&day=2026-06-02');
});

test('a day is said by its weekday', () => {
  assert.equal(dayWord('en', '2026-06-02'), 'Tue 2');
});

test('a height is typed in metres or in feet, and is one that a kitchen may stand at', () => {
  assert.equal(heightM('1500', 'cm'), 1500);
  assert.equal(heightM('5000', 'in'), 1524); // 5,000 ft of exactly 0.3048 m
  for (const wrong of ['', '12.5', 'high', '5000']) assert.equal(heightM(wrong, 'cm'), null);
});

test('only a whole lot that is chilled goes into the freezer, and what is in it is not on time', () => {
  assert.ok(mayFreeze({ state: 'chilled', of: '' }));
  assert.ok(!mayFreeze({ state: 'chilled', of: 'another' }));
  assert.ok(!mayFreeze({ state: 'raw', of: '' }));
  const ways = [{ to: 'time-controlled', lacks: [] }] as const;
  assert.ok(marksTime({ state: 'chilled', ways, frozen: false }));
  assert.ok(!marksTime({ state: 'chilled', ways, frozen: true }));
  assert.ok(!marksTime({ state: 'raw', ways: [], frozen: false }));
});
