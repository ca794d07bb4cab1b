// Whose lines of a kept day, which of them are done now, which come next: pure.

import type { Language } from '../../core/model.ts';
import type { DayLine, DayNow, KeptDay } from '../../wire.ts';

export const MOST_NOW = 2; // lines shown large as being done now: own choice
export const NEXT = 3;
export const MOMENT_S = 180; // nobody tells that a line is done: the shortest is shown as now for so long; own choice
const DAY_S = 86_400;

export type Stand = 'past' | 'now' | 'ahead';

/** Seconds of the kept day's own clock. */
export function daySecond(day: Pick<DayNow, 'midnight_s'>, now_s: number): number {
  return now_s - day.midnight_s;
}

/** Everybody who has something to do that day, whoever is in first, the others as they first come. */
export function peopleOf(kept: Pick<KeptDay, 'lines'>, me: string | null): readonly string[] {
  const names = new Set(byClock(kept.lines).map((one) => one.who).filter((who) => who !== ''));
  const others = [...names].filter((who) => who !== me);
  return me !== null && names.has(me) ? [me, ...others] : others;
}

/** The lines by clock: somebody's with those that are nobody's own, or, with null, everybody's. */
export function linesOf(kept: Pick<KeptDay, 'lines'>, who: string | null): readonly DayLine[] {
  return byClock(who === null ? kept.lines : kept.lines.filter((one) => one.who === who || one.who === ''));
}

function byClock(lines: readonly DayLine[]): readonly DayLine[] {
  return [...lines].sort((a, b) => a.from_s - b.from_s);
}

/** How a line stands to a second of the day. */
export function standOf({ from_s, until_s }: Pick<DayLine, 'from_s' | 'until_s'>, now_s: number): Stand {
  if (now_s < from_s) return 'ahead';
  return now_s < Math.max(until_s ?? 0, from_s + MOMENT_S) ? 'now' : 'past';
}

export interface AtTop {
  readonly now: readonly DayLine[];
  /** How many more are being done now than are shown. */
  readonly more: number;
  readonly next: readonly DayLine[];
}

/** What is to be done now, what began last first, and the lines after it. */
export function atTop(lines: readonly DayLine[], now_s: number): AtTop {
  const now = lines.filter((one) => standOf(one, now_s) === 'now').reverse();
  const next = lines.filter((one) => standOf(one, now_s) === 'ahead').slice(0, NEXT);
  return { now: now.slice(0, MOST_NOW), more: Math.max(0, now.length - MOST_NOW), next };
}

export type Row = { readonly is: 'line'; readonly line: DayLine; readonly stand: Stand } | { readonly is: 'clock' } | { readonly is: 'midnight'; readonly days: number };

/** All lines as they stand below each other, with the minute it is and each midnight between them. */
export function rowsOf(lines: readonly DayLine[], now_s: number): readonly Row[] {
  const rows: Row[] = [];
  const clock = lines.findIndex((one) => one.from_s > now_s);
  lines.forEach((line, n) => {
    const days = Math.floor(line.from_s / DAY_S);
    if (days > Math.floor((lines[n - 1]?.from_s ?? 0) / DAY_S)) rows.push({ is: 'midnight', days });
    if (n === clock && n > 0) rows.push({ is: 'clock' });
    rows.push({ is: 'line', line, stand: standOf(line, now_s) });
  });
  return rows;
}

/** A date as it is said, such as `Tuesday 2 June`. */
export function dateWords(iso: string, language: Language): string {
  const form = new Intl.DateTimeFormat(language === 'en' ? 'en-GB' : language, { weekday: 'long', day: 'numeric', month: 'long', timeZone: 'UTC' });
  return form.format(new Date(`${iso}T12:00:00Z`));
}
