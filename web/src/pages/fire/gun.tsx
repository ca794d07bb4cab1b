// A reading of the gun: where on the stone by a tap, how hot by large keys.

import type { VNode } from 'preact';
import { useState } from 'preact/hooks';

import type { Model } from '../../core/model.ts';
import { Keyed, Keypad } from '../../look/keypad.tsx';
import { inside, type Point } from '../../look/stone.ts';
import { Stone } from '../../look/stone_view.tsx';
import type { Reading } from '../../wire.ts';
import { say } from '../../words/say.ts';
import type { Drawn } from '../frame/frame.tsx';
import { placeWords } from '../hearth/said.ts';
import { standing } from '../hearth/stand.ts';

interface GunProps {
  readonly model: Model;
  readonly drawn: Drawn;
  readonly onTell: (what: Reading) => void;
  readonly onLeave: () => void;
}

export function GunReading({ model, drawn, onTell, onLeave }: GunProps): VNode {
  const [at, setAt] = useState<Point | null>(null);
  const [value, setValue] = useState('');
  const { house, shown, facts, now_s, settings: { language, temperature } } = model;
  const aim = (to: Point): void => { if (inside(house.outline_m, to)) setAt(to); };
  const tell = (temperature_C: number): void => {
    if (at !== null) onTell({ kind: 'reading', of: 'floor', instrument: 'gun', temperature_C, spot: { x_m: rounded(at[0]), y_m: rounded(at[1]) } });
  };
  return (
    <div class={at === null ? 'entry aiming' : 'entry'}>
      <div class="what">
        {at !== null && <Keyed value={value} unit={temperature} />}
        <p class="word">{at === null ? say(language, 'read.where') : say(language, 'read.spot', { place: placeWords(language, house, at[0], at[1]) })}</p>
        <Stone
          house={house} fire={shown?.fire ?? null} facts={facts} now_s={now_s} standing={standing(shown?.stays ?? [], [], facts, now_s)} coming={[]}
          first={null} unit={temperature} u={drawn.u} word_px={drawn.word_px} label={say(language, 'stone')} aim={at} onTap={aim}
        />
      </div>
      {at === null
        ? (
          <div class="how">
            <p class="word hush">{say(language, 'read.gun')}</p>
            <button type="button" class="key" onClick={onLeave}><span class="word">{say(language, 'read.leave')}</span></button>
          </div>
        )
        : <Keypad value={value} unit={temperature} language={language} onValue={setValue} onTell={tell} onLeave={onLeave} />}
    </div>
  );
}

/** A finger points no finer than a centimetre. */
function rounded(m: number): number {
  return Math.round(m * 100) / 100;
}
