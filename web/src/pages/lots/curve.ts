// The picture of a cooling lot: limits as a stair, readings as dots, what is foreseen dashed. Pure geometry.

import type { Settings } from '../../core/model.ts';
import { celsius } from '../../look/shown.ts';
import type { ToldLot } from '../../wire.ts';

export interface Size {
  readonly wide: number;
  readonly high: number;
}

export interface Dot {
  readonly x: number;
  readonly y: number;
  readonly words: string;
}

export interface Curve {
  readonly stair: string;
  readonly foreseen: string;
  readonly dots: readonly Dot[];
  readonly corners: readonly Dot[];
  readonly now: number | null;
  readonly hours: readonly { readonly x: number; readonly words: string }[];
}

const HOUR_S = 3600;
const BEYOND = 1.12; // of the last limit's time that is drawn: own choice
const TOP_C = 70; // the hottest that is drawn unless something was hotter: own choice

/** The picture of a lot whose clock of cooling runs; null where there is none. */
export function curveOf(
  lot: Pick<ToldLot, 'cooling_since_s' | 'stair' | 'readings' | 'foreseen'>,
  { wide, high }: Size,
  unit: Settings['temperature'],
  now_s: number,
): Curve | null {
  const since_s = lot.cooling_since_s;
  const last = lot.stair.at(-1);
  if (since_s === null || last === undefined) return null;
  const span_s = (last.at_s - since_s) * BEYOND;
  const warm = lot.readings.filter((one) => one.point === 'warmest' && one.at_s >= since_s && one.at_s <= since_s + span_s);
  const top_C = Math.max(TOP_C, ...warm.map(ofReading));
  const x = (at_s: number) => round(((at_s - since_s) / span_s) * wide);
  const y = (of_C: number) => round(high - (Math.max(0, of_C) / top_C) * high);
  const foreseen = (lot.foreseen?.points ?? []).filter(([at_s]) => at_s <= since_s + span_s);
  return {
    stair: stairPath(lot, x, y, wide),
    foreseen: foreseen.map(([at_s, of_C], n) => `${n === 0 ? 'M' : 'L'}${x(at_s)} ${y(of_C)}`).join(''),
    dots: warm.map((one) => ({ x: x(one.at_s), y: y(ofReading(one)), words: `${one.value}°` })),
    corners: lot.stair.map((one) => ({ x: x(one.at_s), y: y(one.C), words: `${trimmed(unit === 'F' ? one.F : one.C)} °${unit}` })),
    now: now_s >= since_s && now_s <= since_s + span_s ? x(now_s) : null,
    hours: [0, 1, 2, 3, 4, 5, 6].filter((h) => h * HOUR_S < span_s).map((h) => ({ x: x(since_s + h * HOUR_S), words: `${h} h` })),
  };
}

/** Where the warmest part must not be: right of each limit's time and above it. */
function stairPath(lot: Pick<ToldLot, 'stair'>, x: (s: number) => number, y: (c: number) => number, wide: number): string {
  const steps = lot.stair.map((one, n) => `${n === 0 ? `M${x(one.at_s)} 0` : ''}L${x(one.at_s)} ${y(one.C)}L${x(lot.stair[n + 1]?.at_s ?? Infinity)} ${y(one.C)}`);
  return `${steps.join('').replaceAll('Infinity', String(wide)).replaceAll('NaN', String(wide))}L${wide} 0Z`;
}

function ofReading(one: { readonly value: string; readonly unit: 'C' | 'F' }): number {
  return celsius(Number(one.value), one.unit);
}

function trimmed(value: number): string {
  return String(Math.round(value * 10) / 10);
}

function round(value: number): number {
  return Math.round(value * 100) / 100;
}
