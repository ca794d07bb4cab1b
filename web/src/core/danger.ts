// What people said of the fire and the air: the gravest of it stands in place of every plan.

import type { DangerSeen, Since } from '../wire.ts';
import type { Model } from './model.ts';

export type Danger = DangerSeen['danger'];
export const DANGERS: readonly Danger[] = ['carbon monoxide', 'fire', 'coals behind a door', 'extraction off']; // the gravest first

type Known = Pick<Model, 'facts' | 'queue'>;

export interface WayOut {
  readonly danger: Danger;
  readonly since_s: number;
  /** Nothing at all may be planned, or emptying the oven. */
  readonly nothing: boolean;
  /** The flame is out and nobody has said that its gas is shut. */
  readonly gas: boolean;
  /** The extraction is off as well. */
  readonly fan_off: boolean;
}

/** The dangers that stand, with what was told here and not undone; since when. */
export function dangersNow({ facts, queue }: Known): ReadonlyMap<Danger, number> {
  const found = new Map<Danger, number>((facts?.dangers ?? []).map((one: Since) => [one.name as Danger, one.at_s]));
  const undone = new Set(queue.map(({ what }) => (what.kind === 'undo' ? what.of : '')));
  for (const { id, at_s, what } of queue) {
    if (undone.has(id)) continue;
    if (what.kind === 'danger') found.set(what.danger, at_s);
    if (what.kind === 'danger_over') found.delete(what.danger);
  }
  return found;
}

/** When the gas of the flame that is out was shut; null: nobody said so. */
export function gasShut_s({ facts, queue }: Known): number | null {
  let shut_s = facts?.gas_shut?.at_s ?? null;
  const undone = new Set(queue.map(({ what }) => (what.kind === 'undo' ? what.of : '')));
  for (const { id, at_s, what } of queue) {
    if (what.kind === 'gas_shut' && !undone.has(id)) shut_s = at_s;
    if (what.kind === 'flame' && !undone.has(id)) shut_s = null;
  }
  return shut_s;
}

/** What is shown instead of a plan; null: the night goes on. */
export function wayOut(model: Known & Pick<Model, 'house'>): WayOut | null {
  const now = dangersNow(model);
  const danger = DANGERS.find((one) => now.has(one));
  if (danger === undefined) return null;
  const out = (model.facts?.flame_out ?? null) !== null || model.queue.some(({ what }) => what.kind === 'flame_out');
  return {
    danger,
    since_s: now.get(danger)!,
    nothing: danger !== 'extraction off',
    gas: model.house.gas && out && gasShut_s(model) === null,
    fan_off: now.has('extraction off'),
  };
}
