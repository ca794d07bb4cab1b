// Names, words and sums of lots: pure.

import type { Model } from '../../core/model.ts';
import { isNoted } from '../../core/noted.ts';
import { clock } from '../../look/shown.ts';
import type { LotReading, ToldLot, ToldReading } from '../../wire.ts';
import { CATALOGUE, type Key } from '../../words/say.ts';
import { w } from '../tickets/words.ts';

/** A new lot's name: its dish and the day, and a number from the second on. A name stands once, for good. */
export function lotName(dish: string, today: string, named: readonly string[]): string {
  const first = `${dish} ${today}`;
  for (let n = 1; ; n++) {
    const name = n === 1 ? first : `${first} ${n}`;
    if (!named.includes(name)) return name;
  }
}

/** Portions that leave a lot: named by it and when. */
export function pulledName(lot: string, today: string, now_s: number, named: readonly string[]): string {
  const first = `${lot} / ${today.slice(5)} ${clock(now_s)}`;
  for (let n = 1; ; n++) {
    const name = n === 1 ? first : `${first} ${n}`;
    if (!named.includes(name)) return name;
  }
}

/** Names that are taken: those the board told, and those of lots told here that it has not answered. */
export function namesTaken({ lots, queue }: Pick<Model, 'lots' | 'queue'>): readonly string[] {
  const here = queue.flatMap(({ what }) => (what.kind === 'lot_made' || what.kind === 'lot_pulled' ? [what.lot] : []));
  return [...(lots?.named ?? []), ...(lots?.lots ?? []).map((one) => one.lot), ...here];
}

/** A time as it is said of a lot: yesterday's with its day. */
export function when(at_s: number): string {
  const days = Math.ceil(-at_s / 86400);
  return at_s < 0 ? `${clock(at_s)} (−${days} d)` : clock(at_s);
}

/** A word of the board's in this screen's language, as the board has it where none is known. */
export function wordOf(model: Model, part: 'lot' | 'food' | 'piece' | 'way' | 'point' | 'part' | 'answer', word: string): string {
  const key = `${part}.${word.replaceAll(' ', '_')}`;
  return key in CATALOGUE ? w(model, key as Key) : word;
}

/** What the board answered in the last place a lot is judged by, the gravest first. */
export function gravestOf(lot: ToldLot): 'pass' | 'fail' | 'unproven' | '' {
  const answers = lot.verdicts.map((one) => one.answer);
  if (answers.includes('fail')) return 'fail';
  if (answers.includes('unproven')) return 'unproven';
  return answers.includes('pass') ? 'pass' : '';
}

/** What of a lot was told here and is not answered yet. */
export function waitingOf(model: Pick<Model, 'queue'>, lot: string): number {
  return model.queue.filter(({ what }) => isNoted(what) && 'lot' in what && what.lot === lot).length;
}

export function readText(one: Pick<ToldReading | LotReading, 'value' | 'unit'>): string {
  return `${one.value} °${one.unit}`;
}

/** Which part decides by what a lot is: the coldest while it is heated or kept hot, the warmest while it cools. */
export function pointFor(lot: ToldLot): 'coldest' | 'warmest' {
  return lot.state === 'cooling' || (lot.state === 'chilled' && lot.of === '') ? 'warmest' : 'coldest';
}

/** What is keyed in after one more key: digits, one point, a minus in front. */
export function keyed(value: string, key: string): string {
  if (key === '−') return value.startsWith('-') ? value.slice(1) : `-${value}`;
  if (key === '.') return value.includes('.') ? value : `${value === '' || value === '-' ? `${value}0` : value}.`;
  return value.replace('-', '').replace('.', '').length >= 4 ? value : `${value}${key}`;
}

/** Whether what is keyed in is a number. */
export function isNumber(value: string): boolean {
  return /^-?\d+(\.\d+)?$/.test(value);
}

/** A day so many days before another, both as `2026-06-02`. */
export function dayBefore(day: string, days: number): string {
  const at = new Date(`${day}T00:00:00Z`);
  at.setUTCDate(at.getUTCDate() - days);
  return at.toISOString().slice(0, 10);
}

export function dayAfter(day: string, days: number): string {
  return dayBefore(day, -days);
}
