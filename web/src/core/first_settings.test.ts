import assert from 'node:assert/strict';
import { test } from 'node:test';

import { firstSettings } from './first_settings.ts';

test('the first language of the browser that the screens speak', () => {
  assert.equal(firstSettings(['de-DE', 'it-IT', 'en']).language, 'it');
  assert.equal(firstSettings(['de-DE']).language, 'en');
});

test('only American English gets Fahrenheit, inches and ounces', () => {
  const { temperature, length, mass } = firstSettings(['en-US']);
  assert.deepEqual([temperature, length, mass], ['F', 'in', 'oz']);
  assert.equal(firstSettings(['en-GB', 'en-US']).temperature, 'C');
  assert.equal(firstSettings(['es-US']).temperature, 'C');
});
