// Small signs beside words: how far round, a caution, back.

import type { VNode } from 'preact';

import { roundPath } from './stone.ts';

/** An arc with a head: how far something is turned, clockwise as seen from above. */
export function Round({ by_deg }: { by_deg: number }): VNode {
  const { arc, head } = roundPath(by_deg);
  return (
    <svg class="round" viewBox="-1.45 -1.45 2.9 2.9" aria-hidden="true">
      <circle class="whole" r="1" />
      <path class="arc" d={arc} />
      <path class="head" d={head} />
    </svg>
  );
}

export function Care(): VNode {
  return (
    <svg class="care" viewBox="0 0 10 10" aria-hidden="true">
      <path d="M5 .6L9.8 9.4H.2Z" />
      <path class="mark" d="M5 3.6V6.4M5 7.5V8.3" />
    </svg>
  );
}

export function Back(): VNode {
  return (
    <svg class="back" viewBox="0 0 10 10" aria-hidden="true">
      <path d="M4 1.5L1 4.5L4 7.5M1 4.5H6.2A2.6 2.6 0 0 1 6.2 9.7H4" />
    </svg>
  );
}
