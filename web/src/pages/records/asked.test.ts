import assert from 'node:assert/strict';
import { test } from 'node:test';

import { askedPath, dayWord } from './asked.ts';

test('a question is its words and its day, either left out where there is none', () => {
  assert.equal(askedPath('', ''), '/api/records');
  assert.equal(askedPath(' half chicken ', '2026-06-02'), '/api/records?words=half+chicken&day=2026-06-02');
});

test('a day is said by its weekday', () => {
  assert.equal(dayWord('en', '2026-06-02'), 'Tue 2');
});
