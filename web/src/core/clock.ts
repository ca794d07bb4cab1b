// The server's clock as a device knows it: where it stood in the middle of the quickest exchange of late.

export interface Sample {
  readonly sent_ms: number;
  readonly got_ms: number;
  /** What the server said its clock was, seconds of the night. */
  readonly server_s: number;
}

const KEEP_MS = 10 * 60_000; // an exchange older than this may hide a drift of the device's clock: own choice
const JUMP_MS = 2_000; // a device's clock that differs by so much from the last exchange was set: own choice

/** How far the night's seconds are ahead of the device's clock, and the exchanges it was taken from. */
export interface Skew {
  readonly ahead_ms: number;
  readonly samples: readonly Sample[];
}

export function aheadOf(sample: Sample): number {
  return sample.server_s * 1000 - (sample.sent_ms + sample.got_ms) / 2;
}

function trip(sample: Sample): number {
  return sample.got_ms - sample.sent_ms;
}

/** The skew with one more exchange: the quickest of the last ten minutes counts, its error is half its trip. */
export function withSample(skew: Skew | null, sample: Sample): Skew {
  const others = (skew?.samples ?? []).filter(
    (one) =>
      sample.got_ms - one.got_ms < KEEP_MS &&
      sample.got_ms >= one.got_ms &&
      Math.abs(aheadOf(one) - aheadOf(sample)) <= JUMP_MS + (trip(one) + trip(sample)) / 2,
  );
  const samples = [...others, sample];
  const best = samples.reduce((quickest, one) => (trip(one) <= trip(quickest) ? one : quickest));
  return { ahead_ms: aheadOf(best), samples };
}

/** Seconds of the night at a reading of the device's clock. */
export function nightSeconds(skew: Skew, device_ms: number): number {
  return (device_ms + skew.ahead_ms) / 1000;
}
