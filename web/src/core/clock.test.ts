import assert from 'node:assert/strict';
import { test } from 'node:test';

import { nightSeconds, withSample, type Sample, type Skew } from './clock.ts';

/** An exchange with a server that is `ahead_ms` ahead, which took so long there and back. */
function exchange(sent_ms: number, there_ms: number, back_ms: number, ahead_ms: number): Sample {
  return { sent_ms, got_ms: sent_ms + there_ms + back_ms, server_s: (sent_ms + there_ms + ahead_ms) / 1000 };
}

function known(...samples: Sample[]): Skew {
  return samples.reduce<Skew | null>(withSample, null)!;
}

test('an even trip gives the server’s clock exactly', () => {
  const skew = known(exchange(1_000_000, 40, 40, 5_000));
  assert.equal(nightSeconds(skew, 2_000_000), 2_005);
});

test('an uneven trip is wrong by no more than half of it', () => {
  const skew = known(exchange(1_000_000, 300, 20, 5_000));
  assert.ok(Math.abs(skew.ahead_ms - 5_000) <= 160);
});

test('the quickest exchange of the last ten minutes counts', () => {
  const skew = known(exchange(0, 10, 10, 5_000), exchange(60_000, 900, 100, 5_000));
  assert.equal(skew.ahead_ms, 5_000);
});

test('an exchange of more than ten minutes ago counts no more', () => {
  const skew = known(exchange(0, 1, 1, 5_000), exchange(601_000, 400, 400, 5_300));
  assert.equal(skew.ahead_ms, 5_300);
});

test('a device whose clock was set goes by the exchanges since then', () => {
  const skew = known(exchange(0, 1, 1, 5_000), exchange(30_000, 200, 200, -3_595_000));
  assert.equal(skew.ahead_ms, -3_595_000);
});
