import assert from 'node:assert/strict';
import { test } from 'node:test';

import type { DayLoad } from '../../wire.ts';
import { placeOf, stripOf } from './strip.ts';

const HOUR_S = 3600;
const ROOM = { wide: 200, high: 52, letter: 4 };
const CURVE = { times_s: [13 * HOUR_S, 15 * HOUR_S, 17 * HOUR_S], stone_C: [0, 250, 500], band_low_C: 300, band_high_C: 350 };

function load(tray: string, from: number, until: number): DayLoad {
  return { tray, in_s: from * HOUR_S, out_s: until * HOUR_S, portions: 4 };
}

test('a day without curve and loads has no picture', () => {
  assert.equal(stripOf({ curve: null, loads: [] }, ROOM, 'C'), null);
});

test('the curve stands to scale: 200 mm are four hours, 52 mm are 4 % more than 500 °C', () => {
  const drawn = stripOf({ curve: CURVE, loads: [] }, ROOM, 'C')!;
  assert.equal(drawn.curve, 'M0 52L100 27L200 2');
  assert.deepEqual(drawn.band, { y: 17, high: 5 });
  assert.deepEqual(drawn.degrees, [{ at: 42, words: '100°' }, { at: 32, words: '200°' }]);
});

test('in °F the same curve, with round degrees of that scale: 200 °F are 93.3 °C', () => {
  const drawn = stripOf({ curve: CURVE, loads: [] }, ROOM, 'F')!;
  assert.equal(drawn.curve, 'M0 52L100 27L200 2');
  assert.deepEqual(drawn.degrees, [{ at: 42.67, words: '200°' }, { at: 31.56, words: '400°' }]);
});

test('hours are written as far apart as their letters want', () => {
  const hours = (wide: number): string[] => stripOf({ curve: CURVE, loads: [] }, { ...ROOM, wide }, 'C')!.hours.map((one) => one.words);
  assert.deepEqual(hours(100), ['13:00', '14:00', '15:00', '16:00', '17:00']);
  assert.deepEqual(hours(40), ['14:00', '16:00']);
  assert.equal(hours(200).length, 9);
});

test('now stands on the same clock as curve and loads, and nowhere outside it', () => {
  const drawn = stripOf({ curve: CURVE, loads: [load('chicken 1', 14, 15)] }, ROOM, 'C')!;
  assert.equal(placeOf(drawn, ROOM.wide, 14 * HOUR_S), drawn.bars[0]!.x);
  assert.equal(placeOf(drawn, ROOM.wide, 12.9 * HOUR_S), null);
  assert.equal(placeOf(drawn, ROOM.wide, 17.1 * HOUR_S), null);
});

test('a load stands where its clock says; loads at one time lie below each other, later ones above again', () => {
  const loads = [load('wings', 16, 16.5), load('chicken 1', 13.5, 15.5), load('chicken 2', 14, 15)];
  const bars = stripOf({ curve: CURVE, loads }, ROOM, 'C')!.bars;
  assert.deepEqual(bars.map((one) => [one.words, one.x, one.wide]), [['chicken 1 · 4', 25, 100], ['chicken 2 · 4', 50, 50], ['wings · 4', 150, 25]]);
  const [first, second, later] = bars.map((one) => one.y);
  assert.ok(second! > first!);
  assert.equal(later, first);
});

test('no bar and no words of it lie on another of the same lane, and none leaves the strip, however many', () => {
  const loads = Array.from({ length: 60 }, (_, n) => load(`tray number ${n}`, 13 + ((n * 7) % 36) / 10, 13.2 + ((n * 7) % 36) / 10 + (n % 5) / 20));
  for (const wide of [200, 60, 30]) apart(loads, wide);
});

function apart(loads: readonly DayLoad[], wide: number): void {
  const { bars } = stripOf({ curve: CURVE, loads }, { ...ROOM, wide }, 'C')!;
  const spread = bars.map((bar) => {
    const long = bar.words.length * 0.38 * ROOM.letter; // measured in a browser: 0.35 of its size for these words
    const [a, b] = bar.anchor === 'end' ? [bar.words_x - long, bar.words_x] : [bar.words_x, bar.words_x + long];
    return { y: bar.y, from: Math.min(bar.x, a), to: Math.max(bar.x + bar.wide, b) };
  });
  for (const [n, one] of spread.entries()) {
    assert.ok(one.from >= 0 && one.to <= wide, `${bars[n]!.words} leaves the strip`);
    for (const other of spread.slice(n + 1)) assert.ok(one.y !== other.y || one.to <= other.from || other.to <= one.from, `${bars[n]!.words} lies on another`);
  }
}

test('a curve of thousands of points is drawn with two in a millimetre, its last kept', () => {
  const times_s = Array.from({ length: 5000 }, (_, n) => n * 3);
  const stone_C = times_s.map((at_s) => at_s / 30);
  const { curve } = stripOf({ curve: { ...CURVE, times_s, stone_C }, loads: [] }, ROOM, 'C')!;
  assert.ok(curve.split('L').length <= 402);
  assert.ok(curve.includes('L200 '));
});
