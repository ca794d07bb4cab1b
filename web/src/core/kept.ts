// What outlives a reload: the night as it was last known, and every command told here that waits or was refused.

import type { DayNow, Facts, Shown, ShownHouse, ToldLots } from '../wire.ts';
import type { Skew } from './clock.ts';
import type { Keep } from './keep.ts';
import type { RefusedHere } from './model.ts';
import { NOTHING, type Night, type Queued } from './night.ts';
import type { Timers } from './stream.ts';

export const SAVE_MS = 2_000; // the picture of the night is kept so often at the most: own choice

interface Picture {
  readonly house: ShownHouse;
  readonly shown: Shown | null;
  readonly facts: Facts | null;
  readonly lots?: ToldLots | null; // a version before kept none
  readonly day?: DayNow | null; // nor this
  readonly seq: number;
  readonly ahead_ms: number;
  readonly known_ms: number;
}

/** What was kept; `known_ms` is when the night was last heard of, by this device's clock, null where it never was. */
export async function kept(keep: Keep): Promise<{ night: Night; skew: Skew | null; known_ms: number | null }> {
  const picture = await keep.get<Picture>('night');
  const told = await keep.all<Queued>('told/');
  for (const one of told) if (one.taken_as !== null) await keep.drop(`told/${one.id}`);
  const waiting = told.filter((one) => one.taken_as === null).sort((a, b) => a.turn - b.turn);
  const refused = [...(await keep.all<RefusedHere>('refused/'))].sort((a, b) => a.at_s - b.at_s);
  if (picture === null) return { night: { ...NOTHING, queue: waiting, refused }, skew: null, known_ms: null };
  const { house, shown, facts, lots, day, seq, ahead_ms, known_ms } = picture;
  const skew = { ahead_ms, samples: [] };
  return {
    night: { house, shown, facts, lots: lots ?? null, day: day ?? null, seq, heard: seq, queue: waiting, refused },
    skew,
    known_ms,
  };
}

/** Keeps what changed: commands at once and each for itself, the picture of the night now and then. */
export function keeper(
  keep: Keep,
  timers: Timers,
): (night: Night, before: Night, skew: Skew | null, known_ms: number) => void {
  let latest: Picture | null = null;
  let due = false;

  const list = <T extends { readonly id: string }>(prefix: string, now: readonly T[], before: readonly T[]) => {
    for (const one of now) {
      if (!before.includes(one)) void keep.put(prefix + one.id, one);
    }
    for (const one of before) if (!now.some(({ id }) => id === one.id)) void keep.drop(prefix + one.id);
  };
  const flush = () => {
    due = false;
    if (latest !== null) void keep.put('night', latest);
  };

  return (night, before, skew, known_ms) => {
    list('told/', night.queue, before.queue);
    list('refused/', night.refused, before.refused);
    const { house, shown, facts, lots, day, seq } = night;
    if (house === null || skew === null) return;
    latest = { house, shown, facts, lots, day, seq, ahead_ms: skew.ahead_ms, known_ms };
    if (!due) {
      due = true;
      timers.after(SAVE_MS, flush);
    }
  };
}
