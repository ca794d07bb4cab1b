// The words of what was just sounded or spoken, on the screen too, for half a minute.

import type { VNode } from 'preact';
import { useRef } from 'preact/hooks';

import type { Model } from '../core/model.ts';
import { Care } from '../look/round.tsx';
import { browserSounds, Ear } from './ear.ts';

const SHOWN_S = 30; // own choice

// One ear for the whole page, whatever is shown: going from page to page calls nothing twice.
const ear = new Ear(browserSounds());

/** What a rehearsal prints, and a browser test reads. */
declare global {
  interface Window { hearthtideHeard?: ReturnType<Ear['heard']> }
}

export function HeardBand({ model }: { model: Model }): VNode | null {
  const last = useRef(-Infinity);
  const heard = model.now_s === last.current ? ear.heard(model.now_s) : ear.listen(model);
  last.current = model.now_s;
  window.hearthtideHeard = heard;
  if (heard.call === null || model.now_s - heard.at_s > SHOWN_S) return null;
  return <p class={`word heard ${heard.call.level}`} role={heard.call.level === 'hazard' ? 'alert' : 'status'}>{heard.call.level === 'hazard' && <Care />}{heard.call.words}</p>;
}
