// The oven's hours ahead of the doors, to scale: the stone's curve with its band, and on the same clock what is in
// the oven when. Pure geometry, in millimetres of the glass.

import type { Settings } from '../../core/model.ts';
import { clock, degrees } from '../../look/shown.ts';
import type { DayLoad, KeptDay } from '../../wire.ts';

export interface Room {
  readonly wide: number;
  /** Of the curve alone: the loads below it take what they need. */
  readonly high: number;
  /** Size of the letters. */
  readonly letter: number;
}

export interface Tick {
  readonly at: number;
  readonly words: string;
}

export interface Bar {
  readonly x: number;
  readonly y: number;
  readonly wide: number;
  readonly words: string;
  readonly words_x: number;
  readonly anchor: 'start' | 'end';
  /** Whether the words stand in the bar. */
  readonly within: boolean;
  readonly out_s: number;
}

export interface Strip {
  readonly from_s: number;
  readonly to_s: number;
  readonly curve: string;
  readonly band: { readonly y: number; readonly high: number } | null;
  readonly degrees: readonly Tick[];
  readonly hours: readonly Tick[];
  readonly bars: readonly Bar[];
  readonly bar_high: number;
  /** From the top of the curve to the foot of the last bar. */
  readonly high: number;
}

const HOUR_S = 3600;
const STEPS_H = [0.5, 1, 2, 3, 6, 12, 24] as const;
const APART = 4.2; // letters' sizes from one hour that is written to the next: own choice
const SPREAD = 0.42; // of a letter's size that a letter takes: the bundled face's takes 0.35 on average, as measured
const AXIS = 1.7; // letters' sizes for the hours between curve and loads
const BAR = 1.35;
const LANE = 1.75;
const AIR = 0.4;

/** The picture; null where the day has neither a curve nor loads. */
export function stripOf({ curve, loads }: Pick<KeptDay, 'curve' | 'loads'>, room: Room, unit: Settings['temperature']): Strip | null {
  const seconds = [...(curve?.times_s ?? []), ...loads.flatMap((one) => [one.in_s, one.out_s])];
  if (seconds.length === 0) return null;
  const [from_s, to_s] = [Math.min(...seconds), Math.max(...seconds)];
  const x = (at_s: number): number => round(((at_s - from_s) / (to_s - from_s)) * room.wide);
  const high = curve === null ? 0 : room.high;
  const above = high + room.letter * AXIS;
  const bars = barsOf(loads, x, room, above);
  const foot = Math.max(above, ...bars.map((one) => one.y + room.letter * BAR));
  return { from_s, to_s, ...stone(curve, x, room, unit), hours: hoursOf(from_s, to_s, x, room), bars, bar_high: round(room.letter * BAR), high: round(foot) };
}

/** Where a second of the day stands; null outside the strip. */
export function placeOf(strip: Strip, wide: number, now_s: number): number | null {
  if (now_s < strip.from_s || now_s > strip.to_s) return null;
  return round(((now_s - strip.from_s) / (strip.to_s - strip.from_s)) * wide);
}

function stone(curve: KeptDay['curve'], x: (s: number) => number, room: Room, unit: Settings['temperature']): Pick<Strip, 'curve' | 'band' | 'degrees'> {
  if (curve === null) return { curve: '', band: null, degrees: [] };
  const { times_s, stone_C, band_low_C: low_C, band_high_C: high_C } = curve;
  const top_C = Math.max(high_C, ...stone_C) * 1.04;
  const least_C = Math.min(0, ...stone_C);
  const y = (of_C: number): number => round(room.high - ((of_C - least_C) / (top_C - least_C)) * room.high);
  const every = Math.max(1, Math.ceil(times_s.length / (room.wide * 2))); // two points in a millimetre are a line
  const points = times_s.flatMap((at_s, n) => (n % every === 0 || n === times_s.length - 1 ? [[x(at_s), y(stone_C[n] ?? 0)] as const] : []));
  return {
    curve: points.map(([px, py], n) => `${n === 0 ? 'M' : 'L'}${px} ${py}`).join(''),
    band: { y: y(high_C), high: round(y(low_C) - y(high_C)) },
    degrees: degreesOf(least_C, low_C, unit).map((of_C) => ({ at: y(of_C), words: `${degrees(of_C, unit)}°` })),
  };
}

/** Round degrees below the band, hundred by hundred, as the screen's unit has them. */
function degreesOf(least_C: number, low_C: number, unit: Settings['temperature']): readonly number[] {
  const [step, zero_C, size] = unit === 'F' ? [200, -32 / 1.8, 1 / 1.8] : [100, 0, 1];
  const all = [1, 2, 3, 4, 5, 6, 7, 8, 9].map((n) => zero_C + n * step * size);
  return all.filter((of_C) => of_C > least_C && of_C < low_C - 20);
}

function hoursOf(from_s: number, to_s: number, x: (s: number) => number, { wide, letter }: Room): readonly Tick[] {
  const fits = (hours: number): boolean => ((hours * HOUR_S) / (to_s - from_s)) * wide >= APART * letter;
  const step_s = (STEPS_H.find(fits) ?? 24) * HOUR_S;
  const ticks: Tick[] = [];
  for (let at_s = Math.ceil(from_s / step_s) * step_s; at_s <= to_s; at_s += step_s) ticks.push({ at: x(at_s), words: clock(at_s) });
  return ticks;
}

/** Each load as a bar in the first lane where it and its words have room. */
function barsOf(loads: readonly DayLoad[], x: (s: number) => number, { wide, letter }: Room, above: number): readonly Bar[] {
  const lanes: [number, number][][] = [];
  return [...loads].sort((a, b) => a.in_s - b.in_s || a.out_s - b.out_s).map((load) => {
    const [left, right] = [x(load.in_s), x(load.out_s)];
    const words = `${load.tray} · ${load.portions}`;
    const long = words.length * SPREAD * letter + AIR * letter * 2;
    const [words_from, where] = wordsAt(left, right, long, wide);
    const taken: [number, number] = [Math.min(left, words_from), Math.max(right, words_from + long)];
    let lane = lanes.findIndex((one) => one.every(([a, b]) => taken[1] < a || taken[0] > b));
    if (lane < 0) lane = lanes.push([]) - 1;
    lanes[lane]!.push(taken);
    const words_x = where === 'before' ? left - AIR * letter : words_from + AIR * letter;
    return { x: left, y: round(above + lane * LANE * letter), wide: round(right - left), words, words_x: round(words_x), anchor: where === 'before' ? 'end' as const : 'start' as const, within: where === 'within', out_s: load.out_s };
  });
}

/** Where a bar's words begin: in it, else behind it, else before it, else over it. */
function wordsAt(left: number, right: number, long: number, wide: number): readonly [number, 'within' | 'behind' | 'before' | 'over'] {
  if (right - left >= long) return [left, 'within'];
  if (right + long <= wide) return [right, 'behind'];
  if (left >= long) return [left - long, 'before'];
  return [Math.max(0, Math.min(left, wide - long)), 'over'];
}

function round(value: number): number {
  return Math.round(value * 100) / 100;
}
