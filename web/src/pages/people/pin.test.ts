import assert from 'node:assert/strict';
import { test } from 'node:test';

import { inFours, pinStands } from './pin.ts';

test('a PIN is four to twelve digits that are not all the same', () => {
  for (const pin of ['2580', '123456789012', '0001']) assert.ok(pinStands(pin), pin);
  for (const pin of ['', '258', '1111', '1234567890123', '25a0', ' 2580']) assert.ok(!pinStands(pin), pin);
});

test('a code is read out in fours', () => {
  assert.equal(inFours('12345678'), '1234 5678');
  assert.equal(inFours('1234'), '1234');
});
