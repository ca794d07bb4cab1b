// The words of what was just sounded or spoken, on the screen too, for half a minute.

import type { VNode } from 'preact';
import { useRef } from 'preact/hooks';

import type { Model } from '../core/model.ts';
import { Care } from '../look/round.tsx';
import type { Call } from './calls.ts';
import { browserSounds, Ear } from './ear.ts';

const SHOWN_S = 30; // own choice

// One ear for the whole page, whatever is shown: going from page to page calls nothing twice.
const ear = new Ear(browserSounds());

/** What a rehearsal prints, and a browser test reads. */
declare global {
  interface Window {
    hearthtideHeard?: ReturnType<Ear['heard']>;
  }
}

/** What was called within the last half minute; null: nothing. Listens once a second. */
export function useHeard(model: Model): Call | null {
  const last = useRef(-Infinity);
  const second_s = Math.floor(model.now_s);
  const heard = second_s === last.current ? ear.heard(model.now_s) : ear.listen(model);
  last.current = second_s;
  window.hearthtideHeard = heard;
  return heard.call === null || model.now_s - heard.at_s > SHOWN_S ? null : heard.call;
}

export function HeardBand({ call }: { call: Call }): VNode {
  const hazard = call.level === 'hazard';
  return (
    <p class={`word heard ${call.level}`} role={hazard ? 'alert' : 'status'}>
      {hazard && <Care />}
      {call.words}
    </p>
  );
}
