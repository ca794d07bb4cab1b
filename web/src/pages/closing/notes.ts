// The closing page's words that are told to the board: why food is thrown away, what the next cook should know. Pure.

import type { DishCount, Facts } from '../../wire.ts';
import type { Key } from '../../words/say.ts';

export const MOST_SIGNS = 500; // of a note, as the board takes it

/** Reasons as the log keeps them, in English on every device, so that they add up; shown in the device's own. */
export const REASONS = ['left over', 'burnt', 'dropped', 'sent back', 'too old'] as const;
export type Reason = (typeof REASONS)[number];

export function reasonKey(reason: string): Key | null {
  return isReason(reason) ? REASON_KEYS[reason] : null;
}

const REASON_KEYS: Readonly<Record<Reason, Key>> = {
  'left over': 'waste.left_over', burnt: 'waste.burnt', dropped: 'waste.dropped', 'sent back': 'waste.sent_back', 'too old': 'waste.too_old',
};

function isReason(reason: string): reason is Reason {
  return REASONS.some((one) => one === reason);
}

/** Sentences that nights end with. They tell what somebody saw, they say of nothing that it is in order. */
export const SENTENCES = [
  'handover.wood_low', 'handover.stone_cold', 'handover.stone_hot', 'handover.stone_dirty', 'handover.dough_first', 'handover.dough_short',
  'handover.platters_short', 'handover.probe', 'handover.fan', 'handover.flame', 'handover.coals', 'handover.order',
] as const satisfies readonly Key[];

/** The sentences chosen, each on its line, then what was typed. */
export function noteOf(chosen: readonly string[], typed: string): string {
  return [...chosen, typed.trim()].filter((line) => line !== '').join('\n');
}

/** Why a note cannot be left as it is; null when it can. */
export function noteLacks(note: string): 'nothing' | 'too_long' | null {
  if (note.trim() === '') return 'nothing';
  return note.length > MOST_SIGNS ? 'too_long' : null;
}

/** Portions of a dish thrown away, by reason. */
export type Wasted = readonly (readonly [string, number])[];

/** As the night's facts have it, which are newer than the figures; the most first. */
export function wastedNow(facts: Facts | null, dish: Pick<DishCount, 'dish' | 'wasted'>): Wasted {
  if (facts === null) return dish.wasted;
  const own = facts.wasted.filter((one) => one.dish === dish.dish).map((one) => [one.why, one.count] as const);
  return own.sort((a, b) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1));
}

export function wastedOf(wasted: Wasted, reason: string): number {
  return wasted.find(([why]) => why === reason)?.[1] ?? 0;
}

export function wastedInAll(wasted: Wasted): number {
  return wasted.reduce((sum, [, n]) => sum + n, 0);
}
