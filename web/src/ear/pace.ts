// How often a cook may be interrupted: one call in ten minutes on average, except for what can hurt.

import type { Call } from './calls.ts';

/** One call in so long, on average, outside real hazards (EEMUA 191's figure for what a person can follow). */
export const EACH_S = 600;
/** So many calls may come close together after a quiet time: own choice. */
export const SAVED = 2;
/** A hazard that lasts is called again after so long: own choice. */
const AGAIN_S = 30;
/** What is no more so may be called anew after so long: own choice. */
const FORGET_S = 900;

export interface Pace {
  readonly since_s: number | null;
  /** Calls that may be made now, up to `SAVED`, and when that was reckoned. */
  readonly saved: number;
  readonly at_s: number;
  /** When each thing was called last. */
  readonly called: Readonly<Record<string, number>>;
  readonly heard: number;
  readonly hazards: number;
  /** Calls that were due and not made: the pages show what they were about, nothing sounded. */
  readonly kept_quiet: number;
}

export const QUIET: Pace = {
  since_s: null,
  saved: SAVED,
  at_s: 0,
  called: {},
  heard: 0,
  hazards: 0,
  kept_quiet: 0,
};

/** What to call of all that could be, and the pace after it. A note is dropped where it would be one too many. */
export function paced(
  before: Pace,
  calls: readonly Call[],
  now_s: number,
): { readonly pace: Pace; readonly call: Call | null } {
  const saved =
    before.since_s === null
      ? SAVED
      : Math.min(SAVED, before.saved + Math.max(0, now_s - before.at_s) / EACH_S);
  const pace: Pace = {
    ...before,
    since_s: before.since_s ?? now_s,
    saved,
    at_s: now_s,
    called: remembered(before.called, calls, now_s),
  };
  const hazard = calls.find(
    (call) => call.level === 'hazard' && now_s - (pace.called[call.key] ?? -Infinity) >= AGAIN_S,
  );
  if (hazard !== undefined)
    return {
      call: hazard,
      pace: { ...pace, called: { ...pace.called, [hazard.key]: now_s }, hazards: pace.hazards + 1 },
    };
  const fresh = calls.filter((call) => call.level !== 'hazard' && pace.called[call.key] === undefined);
  const call = fresh.find((one) => one.level === 'act') ?? fresh[0];
  if (call === undefined) return { call: null, pace };
  const called = { ...pace.called, [call.key]: now_s };
  if (saved < 1) return { call: null, pace: { ...pace, called, kept_quiet: pace.kept_quiet + 1 } };
  return { call, pace: { ...pace, called, saved: saved - 1, heard: pace.heard + 1 } };
}

function remembered(
  called: Readonly<Record<string, number>>,
  calls: readonly Call[],
  now_s: number,
): Readonly<Record<string, number>> {
  const still = new Set(calls.map((call) => call.key));
  return Object.fromEntries(
    Object.entries(called).filter(([key, at_s]) => still.has(key) || now_s - at_s < FORGET_S),
  );
}

/** Calls outside hazards in ten minutes, on average since the first moment; null in the first minute. */
export function perTenMinutes(pace: Pace, now_s: number): number | null {
  if (pace.since_s === null || now_s - pace.since_s < 60) return null;
  return pace.heard / (Math.max(EACH_S, now_s - pace.since_s) / EACH_S);
}
