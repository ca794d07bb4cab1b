// The stone's heat as foreseen, and what to do about the flame.

import type { Model } from '../../core/model.ts';
import { degreesApart } from '../../look/shown.ts';
import type { Shown, ShownFlameChange, ShownFloor } from '../../wire.ts';
import { say } from '../../words/say.ts';

export const AHEAD_MIN = [0, 10, 30] as const;

// How long the stone takes to follow the flame (common practice, no source; the house's own comes with learning).
export const LAG_MIN: readonly [number, number] = [5, 10];

/** How long gas is let go before a relight (common practice; the oven's own instructions decide). */
export const GAS_WAIT_S = 300;

/** The stone so many minutes from now, between the seconds foreseen; null beyond them. */
export function floorAt(floor: readonly ShownFloor[], at_s: number): number | null {
  const sorted = [...floor].sort((a, b) => a.at_s - b.at_s);
  const [first, last] = [sorted[0], sorted.at(-1)];
  if (first === undefined || last === undefined || at_s > last.at_s + BEYOND_S) return null;
  const after = sorted.find((one) => one.at_s >= at_s) ?? last;
  const before = sorted.findLast((one) => one.at_s <= at_s) ?? first;
  if (after.at_s === before.at_s) return before.zone_C;
  return before.zone_C + ((at_s - before.at_s) / (after.at_s - before.at_s)) * (after.zone_C - before.zone_C);
}

const BEYOND_S = 120; // the last foreseen second stands for so much more: own choice

/** How a temperature lies to the house's band, in words. */
export function bandWords(model: Pick<Model, 'house' | 'settings'>, stone_C: number): string {
  const { language, temperature } = model.settings;
  const [low_C, high_C] = model.house.band_C;
  if (stone_C > high_C)
    return say(language, 'fire.above', { degrees: Math.max(1, degreesApart(stone_C - high_C, temperature)) });
  if (stone_C < low_C)
    return say(language, 'fire.below', { degrees: Math.max(1, degreesApart(low_C - stone_C, temperature)) });
  return say(language, 'fire.in_band');
}

/** The next change of the flame to something it does not burn at; null: keep it. */
export function changeOf(
  fire: Pick<Shown['fire'], 'changes'>,
  level: string,
  now_s: number,
): ShownFlameChange | null {
  return fire.changes.find((change) => change.at_s > now_s - DUE_S && change.level !== level) ?? null;
}

const DUE_S = 300; // a change not told stays advised for so long after its minute: own choice

/** What burns as far as this device knows: what it told itself counts before the board has answered. */
export function burning({ shown, facts, queue }: Pick<Model, 'shown' | 'facts' | 'queue'>): {
  level: string | null;
  out_since_s: number | null;
} {
  let level = shown?.fire.level ?? null;
  let out_since_s = (facts === null ? shown?.fire.out_since_s : facts.flame_out?.at_s) ?? null;
  const undone = new Set(queue.map(({ what }) => (what.kind === 'undo' ? what.of : '')));
  for (const { id, at_s, what } of queue) {
    if (undone.has(id)) continue;
    if (what.kind === 'flame') [level, out_since_s] = [what.level, null];
    if (what.kind === 'flame_out') out_since_s = at_s;
  }
  return { level, out_since_s };
}
