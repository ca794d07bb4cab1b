// Why a table was late, in words.

import type { Model } from '../../core/model.ts';
import { clock, minutes } from '../../look/shown.ts';
import type { Cause, Step } from '../../wire.ts';
import { CATALOGUE, type Key } from '../../words/say.ts';
import { dishName, w } from '../tickets/words.ts';

/** `+5 min at 19:12: a spill (Ben); B4-1 made again (Ana).` */
export function causeWords(model: Model, step: Step): string {
  const key: Key = step.after_plan ? 'late.after_plan' : step.added_s >= 0 ? 'late.added' : 'late.won';
  const causes = step.causes.map((cause) => oneCause(model, cause));
  return w(model, key, {
    n: shownMinutes(step.added_s), at: clock(step.at_s), why: causes.length === 0 ? w(model, 'late.untold') : causes.join('; '),
  });
}

export function oneCause(model: Model, cause: Pick<Cause, 'kind' | 'of' | 'by' | 'words'> & { readonly late_s?: number }): string {
  const key = `cause.${cause.kind}`;
  const of = model.house.dishes.some((dish) => dish.key === cause.of) ? dishName(model, cause.of) : cause.of;
  const words = isKey(key) ? w(model, key, { of, n: minutes(cause.late_s ?? 0), s: Math.round(cause.late_s ?? 0) }) : cause.words;
  return `${words} (${cause.by})`;
}

/** Whole minutes; what is less than half of one is told in seconds. */
function shownMinutes(s: number): string {
  return Math.abs(s) < 90 ? `${Math.round(Math.abs(s))} s` : `${minutes(s)} min`;
}

function isKey(key: string): key is Key {
  return key in CATALOGUE;
}
