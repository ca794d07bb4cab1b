import assert from 'node:assert/strict';
import { test } from 'node:test';

import { dayAfter, dayBefore, gravestOf, isNumber, keyed, lotName, namesTaken, pointFor, pulledName, when } from './names.ts';
import { modelOf } from '../../core/for_tests.ts';
import type { ToldLot } from '../../wire.ts';

function lot(part: Partial<ToldLot>): ToldLot {
  return { state: 'raw', of: '', verdicts: [], ...part } as unknown as ToldLot;
}

test('a lot is named by its dish and the day, and no name stands twice', () => {
  assert.equal(lotName('Wings', '2026-06-02', []), 'Wings 2026-06-02');
  assert.equal(lotName('Wings', '2026-06-02', ['Wings 2026-06-02', 'Wings 2026-06-02 2']), 'Wings 2026-06-02 3');
});

test('portions are named by when they leave, and no two alike', () => {
  const first = pulledName('Wings 2026-06-02', '2026-06-03', 19.5 * 3600, []);
  assert.equal(first, 'Wings 2026-06-02 / 06-03 19:30');
  assert.equal(pulledName('Wings 2026-06-02', '2026-06-03', 19.5 * 3600, [first]), `${first} 2`);
});

test('a name told here and not answered yet is taken', () => {
  const queue = [{ id: 'x', at_s: 1, what: { kind: 'lot_made', lot: 'Wings 2', dish: 'wings', quantity: '4' } as const }];
  assert.deepEqual(namesTaken(modelOf({}, { queue })), ['Wings 2']);
});

test('a time of another day is said with its day', () => {
  assert.deepEqual([3600, -3600, -90000].map(when), ['1:00', '23:00 (−1 d)', '23:00 (−2 d)']);
});

test('a fail is told before what is unproven, that before a pass', () => {
  const verdict = (answer: string) => ({ answer, rule: '', section: '', words: '', readings: [] }) as ToldLot['verdicts'][0];
  assert.equal(gravestOf(lot({ verdicts: [verdict('pass'), verdict('unproven'), verdict('fail')] })), 'fail');
  assert.equal(gravestOf(lot({ verdicts: [verdict('pass'), verdict('unproven')] })), 'unproven');
  assert.equal(gravestOf(lot({ verdicts: [verdict('pass')] })), 'pass');
  assert.equal(gravestOf(lot({})), '');
});

test('the coldest part decides in heat, the warmest in the cold, the coldest again once it is pulled', () => {
  assert.equal(pointFor(lot({ state: 'raw' })), 'coldest');
  assert.equal(pointFor(lot({ state: 'cooling' })), 'warmest');
  assert.equal(pointFor(lot({ state: 'chilled' })), 'warmest');
  assert.equal(pointFor(lot({ state: 'chilled', of: 'another' })), 'coldest');
  assert.equal(pointFor(lot({ state: 're-heated and held' })), 'coldest');
});

test('a number is keyed in as the probe shows it', () => {
  const typed = (keys: string) => [...keys].reduce(keyed, '');
  assert.equal(typed('165'), '165');
  assert.equal(typed('74.5'), '74.5');
  assert.equal(typed('.5'), '0.5');
  assert.equal(typed('7.4.5'), '7.45');
  assert.equal(typed('18−'), '-18');
  assert.equal(typed('18−−'), '18');
  assert.equal(typed('123456'), '1234');
  assert.deepEqual(['', '-', '7.', '7.5', '-18'].map(isNumber), [false, false, false, true, true]);
});

test('days go on over months', () => {
  assert.equal(dayBefore('2026-03-01', 1), '2026-02-28');
  assert.equal(dayAfter('2026-12-31', 1), '2027-01-01');
});
