// Numbers as a screen shows them, in this device's units.

import type { Settings } from '../core/model.ts';

const DAY_MIN = 1440;

/** Seconds of the night as a clock: 69720 is `19:22`. */
export function clock(at_s: number): string {
  const minutes = Math.round(at_s / 60);
  const ofDay = ((minutes % DAY_MIN) + DAY_MIN) % DAY_MIN; // what was before the night's midnight is below zero
  return `${Math.floor(ofDay / 60)}:${String(ofDay % 60).padStart(2, '0')}`;
}

export interface Count {
  readonly text: string;
  readonly unit: 's' | 'min';
}

const IN_SECONDS_S = 100; // above this, whole minutes: two figures at the most are read across a kitchen; own choice

/** What is left, counted down. */
export function count(left_s: number): Count {
  const s = whole(left_s);
  return s < IN_SECONDS_S
    ? { text: String(s), unit: 's' }
    : { text: String(Math.round(s / 60)), unit: 'min' };
}

/** A count in one word, such as `42 s`. */
export function countText(left_s: number): string {
  const { text, unit } = count(left_s);
  return `${text} ${unit}`;
}

/** Minutes and seconds left, such as `4:12`. */
export function countedOut(left_s: number): string {
  const s = whole(left_s);
  return `${Math.floor(s / 60)}:${String(s % 60).padStart(2, '0')}`;
}

function whole(left_s: number): number {
  return Math.max(0, Math.ceil(left_s - 1e-6));
}

export function degrees(of_C: number, unit: Settings['temperature']): number {
  return Math.round(unit === 'F' ? of_C * 1.8 + 32 : of_C);
}

/** A difference of temperatures: no offset. */
export function degreesApart(of_C: number, unit: Settings['temperature']): number {
  return Math.round(unit === 'F' ? of_C * 1.8 : of_C);
}

export function temperature(of_C: number, unit: Settings['temperature']): string {
  return `${degrees(of_C, unit)} °${unit}`;
}

/** What was keyed in, in this device's unit, as degrees Celsius. */
export function celsius(keyed: number, unit: Settings['temperature']): number {
  return unit === 'F' ? (keyed - 32) / 1.8 : keyed;
}

export function minutes(of_s: number): number {
  return Math.round(Math.abs(of_s) / 60);
}
