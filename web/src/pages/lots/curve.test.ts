import assert from 'node:assert/strict';
import { test } from 'node:test';

import { curveOf } from './curve.ts';
import type { ToldLot, ToldReading } from '../../wire.ts';

const SIZE = { wide: 672, high: 70 };
const BEGUN_S = 13 * 3600;

function reading(at_s: number, value: string, unit: 'C' | 'F', point = 'warmest'): ToldReading {
  return { at_s, value, unit, point } as unknown as ToldReading;
}

function lot(part: Partial<ToldLot>): ToldLot {
  const stair = [
    { at_s: BEGUN_S + 7200, F: 70, C: 21, words: '70 °F or 21 °C' },
    { at_s: BEGUN_S + 21600, F: 41, C: 5, words: '41 °F or 5 °C' },
  ];
  return { cooling_since_s: BEGUN_S, stair, readings: [], foreseen: null, ...part } as unknown as ToldLot;
}

test('nothing is drawn before the clock starts', () => {
  assert.equal(curveOf(lot({ cooling_since_s: null }), SIZE, 'F', BEGUN_S), null);
  assert.equal(curveOf(lot({ stair: [] }), SIZE, 'F', BEGUN_S), null);
});

test('the limits stand where they are: 672 wide is 6 h 43 min, 70 high is 70 °C', () => {
  const drawn = curveOf(lot({}), SIZE, 'F', BEGUN_S + 3600)!;
  assert.equal(drawn.stair, 'M200 0L200 49L600 49L600 65L672 65L672 0Z');
  assert.deepEqual(drawn.corners.map((one) => [one.x, one.words]), [[200, '70 °F'], [600, '41 °F']]);
  assert.equal(drawn.now, 100);
  assert.deepEqual(drawn.hours.map((one) => one.x), [0, 100, 200, 300, 400, 500, 600]);
});

test('a dot for each reading of the warmest part, in its own unit, and the foreseen line', () => {
  const readings = [reading(BEGUN_S, '57', 'C'), reading(BEGUN_S + 3600, '95', 'F'), reading(BEGUN_S + 60, '150', 'F', 'coldest')];
  const foreseen = { way: 'ice', points: [[BEGUN_S + 3600, 35], [BEGUN_S + 7200, 14]] as const, warnings: [] };
  const drawn = curveOf(lot({ readings, foreseen }), SIZE, 'C', BEGUN_S)!;
  assert.deepEqual(drawn.dots, [{ x: 0, y: 13, words: '57°' }, { x: 100, y: 35, words: '95°' }]);
  assert.equal(drawn.foreseen, 'M100 35L200 56');
  assert.deepEqual(drawn.corners.map((one) => one.words), ['21 °C', '5 °C']);
});
