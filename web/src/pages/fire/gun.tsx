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
  const { language, temperature } = model.settings;
  if (at === null) {
    return (
      <div class="entry aiming">
        <div class="what">
          <p class="word">{say(language, 'read.where')}</p>
          <Target model={model} drawn={drawn} at={at} onAim={setAt} />
        </div>
        <div class="how">
          <p class="word hush">{say(language, 'read.gun')}</p>
          <button type="button" class="key" onClick={onLeave}>
            <span class="word">{say(language, 'read.leave')}</span>
          </button>
        </div>
      </div>
    );
  }
  const pad = { value, unit: temperature, language, onValue: setValue, onLeave };
  return (
    <div class="entry">
      <div class="what">
        <Keyed value={value} unit={temperature} />
        <p class="word">
          {say(language, 'read.spot', { place: placeWords(language, model.house, at[0], at[1]) })}
        </p>
        <Target model={model} drawn={drawn} at={at} onAim={setAt} />
      </div>
      <Keypad {...pad} onTell={(read_C) => onTell(floorAt(at, read_C))} />
    </div>
  );
}

interface TargetProps {
  readonly model: Model;
  readonly drawn: Drawn;
  readonly at: Point | null;
  readonly onAim: (at: Point) => void;
}

/** The stone to point at; a tap beside it is none. */
function Target({ model, drawn: { u, word_px }, at, onAim }: TargetProps): VNode {
  const { house, shown, facts, now_s, settings } = model;
  return (
    <Stone
      house={house}
      fire={shown?.fire ?? null}
      facts={facts}
      now_s={now_s}
      standing={standing(shown?.stays ?? [], [], facts, now_s)}
      coming={[]}
      first={null}
      unit={settings.temperature}
      u={u}
      word_px={word_px}
      label={say(settings.language, 'stone')}
      aim={at}
      onTap={(to) => {
        if (inside(house.outline_m, to)) onAim(to);
      }}
    />
  );
}

/** What is told of a reading there. A finger points no finer than a centimetre. */
function floorAt([x_m, y_m]: Point, temperature_C: number): Reading {
  const spot = { x_m: Math.round(x_m * 100) / 100, y_m: Math.round(y_m * 100) / 100 };
  return { kind: 'reading', of: 'floor', instrument: 'gun', temperature_C, spot };
}
