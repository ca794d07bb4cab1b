// What is asked of the records, and days as they are said.

import type { Language } from '../../core/model.ts';
import type { ToldLot } from '../../wire.ts';

/** The path of a question: words in any order, a local date or none. */
export function askedPath(words: string, day: string, path = '/api/records'): string {
  const asked = new URLSearchParams();
  if (words.trim() !== '') asked.set('words', words.trim());
  if (day !== '') asked.set('day', day);
  const said = asked.toString();
  return said === '' ? path : `${path}?${said}`;
}

/** A day as it is said: `Tue 2`. */
export function dayWord(language: Language, day: string): string {
  const at = new Date(`${day}T12:00:00Z`);
  return `${at.toLocaleDateString(language, { weekday: 'short', timeZone: 'UTC' })} ${at.getUTCDate()}`;
}

const M_PER_FT = 0.3048;
const HIGHEST_M = 4500; // and lowest: what the board takes
const LOWEST_M = -400;

/** A height above the sea as it is typed, in whole metres; null where it is none. */
export function heightM(typed: string, length: 'in' | 'cm'): number | null {
  if (!/^-?\d+$/.test(typed.trim())) return null;
  const metres = Math.round(Number(typed) * (length === 'in' ? M_PER_FT : 1));
  return metres < LOWEST_M || metres > HIGHEST_M ? null : metres;
}

/** Whether it may go into the freezer, or is in it: a whole lot that is chilled. */
export function mayFreeze(lot: Pick<ToldLot, 'state' | 'of'>): boolean {
  return lot.state === 'chilled' && lot.of === '';
}

/** Whether it may be marked for time alone: it is about to leave its temperature, or has. */
export function marksTime(lot: Pick<ToldLot, 'ways' | 'state' | 'frozen'>): boolean {
  return !lot.frozen && (lot.state === 'time-controlled' || lot.ways.some((one) => one.to === 'time-controlled'));
}
