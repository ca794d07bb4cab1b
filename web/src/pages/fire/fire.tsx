// The fire page: the stone now, in ten and in thirty minutes, what to do with the flame, and what burns.

import type { VNode } from 'preact';
import { useState } from 'preact/hooks';

import { dangersNow, gasShut_s } from '../../core/danger.ts';
import type { Language, Model } from '../../core/model.ts';
import { Back, Care } from '../../look/round.tsx';
import { clock, countedOut, degrees, minutes, temperature } from '../../look/shown.ts';
import type { Shown, What } from '../../wire.ts';
import { say } from '../../words/say.ts';
import { Frame, PagesKey } from '../frame/frame.tsx';
import { useTold, type Told } from '../frame/told.ts';
import type { Page } from '../page.ts';
import { AHEAD_MIN, bandWords, burning, changeOf, floorAt, GAS_WAIT_S, LAG_MIN } from './foreseen.ts';
import { GunReading } from './gun.tsx';

export const Fire: Page = ({ model, doings }) => {
  const [doing, setDoing] = useState<'reads' | 'sets' | null>(null);
  const told = useTold(model, doings);
  const { language } = model.settings;
  const fire = model.shown?.fire ?? null;
  const { level, out_since_s } = burning(model);
  const leave = (): void => setDoing(null);
  const tell = (what: What): void => {
    told.tell(what);
    leave();
  };
  return (
    <Frame model={model} doings={doings} page="fire">
      {(drawn) => {
        if (doing === 'reads')
          return <GunReading model={model} drawn={drawn} onTell={tell} onLeave={leave} />;
        if (doing === 'sets') return <Levels model={model} onTell={tell} onLeave={leave} />;
        return (
          <>
            <div class="say">
              {out_since_s !== null ? (
                <FlameOut since_s={out_since_s} model={model} />
              ) : (
                <Foreseen model={model} fire={fire} onTell={tell} />
              )}
            </div>
            <div class="keys">
              <button type="button" class="key" onClick={() => setDoing('reads')}>
                <span class="word">{say(language, 'fire.read.new')}</span>
              </button>
              <button type="button" class="key" onClick={() => setDoing('sets')}>
                <span class="word hush">{say(language, 'fire.burns')}</span>
                <span class="word">{out_since_s !== null ? '–' : (level ?? '–')}</span>
              </button>
              {out_since_s !== null && model.house.gas && gasShut_s(model) === null && told.last?.what.kind !== 'gas_shut' ? (
                <button type="button" class="key" onClick={() => told.tell({ kind: 'gas_shut' })}>
                  <span class="word">{say(language, 'fire.gas_shut')}</span>
                </button>
              ) : (
                <OutKey told={told} model={model} />
              )}
              <PagesKey language={language} />
            </div>
          </>
        );
      }}
    </Frame>
  );
};

function Foreseen({
  model,
  fire,
  onTell,
}: {
  model: Model;
  fire: Shown['fire'] | null;
  onTell: (what: What) => void;
}): VNode {
  const { language, temperature: unit } = model.settings;
  if (fire === null) return <p class="word hush">{say(language, 'planner.noplan')}</p>;
  const [low, high] = model.house.band_C.map((one) => degrees(one, unit));
  return (
    <>
      <ol class="ahead" aria-label={say(language, 'fire.foreseen')}>
        {AHEAD_MIN.map((minutes) => (
          <Ahead key={minutes} minutes={minutes} model={model} fire={fire} />
        ))}
      </ol>
      <div class="known">
        <p class="word">
          {fire.read_C === null || fire.read_s === null
            ? say(language, 'fire.unread')
            : say(language, 'fire.read', {
                temperature: temperature(fire.read_C, unit),
                minutes: minutes(model.now_s - fire.read_s),
              })}
        </p>
        <p class="word hush">
          {say(language, 'fire.band', { low: low ?? '', high: high ?? '', unit: `°${unit}` })}
        </p>
      </div>
      <Advice model={model} fire={fire} onTell={onTell} />
    </>
  );
}

/** What to do with the flame: done by a tap on it, as a move is. */
function Advice({
  model,
  fire,
  onTell,
}: {
  model: Model;
  fire: Shown['fire'];
  onTell: (what: What) => void;
}): VNode {
  const { language } = model.settings;
  const next = dangersNow(model).size > 0 ? null : changeOf(fire, burning(model).level ?? fire.level, model.now_s);
  if (next === null)
    return (
      <p class="word advice hush">
        {say(language, 'fire.keep', { level: burning(model).level ?? fire.level })}
      </p>
    );
  return (
    <button type="button" class="advice" onClick={() => onTell({ kind: 'flame', level: next.level })}>
      <span class="word">
        {say(language, next.up ? 'fire.up' : 'fire.down', { level: next.level, clock: clock(next.at_s) })}
      </span>
      <span class="word hush">{say(language, 'fire.lag', { low: LAG_MIN[0], high: LAG_MIN[1] })}</span>
      <span class="word caution">
        <Care />
        {say(language, 'hazard.flame')}
      </span>
    </button>
  );
}

function Ahead({ minutes, model, fire }: { minutes: number; model: Model; fire: Shown['fire'] }): VNode {
  const { language, temperature: unit } = model.settings;
  const stone_C = floorAt(fire.floor, model.now_s + minutes * 60);
  const words = stone_C === null ? '' : bandWords(model, stone_C);
  return (
    <li>
      <span class="word hush">
        {minutes === 0 ? say(language, 'fire.now') : say(language, 'fire.in', { minutes })}
      </span>
      <span class={minutes === 0 ? 'number' : 'far'}>{stone_C === null ? '–' : degrees(stone_C, unit)}</span>
      <span class={words === say(language, 'fire.in_band') ? 'word well' : 'word off'}>{words}</span>
    </li>
  );
}

function FlameOut({ since_s, model }: { since_s: number; model: Model }): VNode {
  const { language } = model.settings;
  const shut_s = gasShut_s(model);
  const left_s = shut_s === null ? GAS_WAIT_S : shut_s + GAS_WAIT_S - model.now_s;
  const gas = model.house.gas;
  return (
    <div class="out" role="status">
      <p class="word">{say(language, 'fire.out.since', { clock: clock(since_s) })}</p>
      {gas && <p class="number">{countedOut(left_s)}</p>}
      {gas && <p class="word">{gasWords(language, shut_s === null, left_s)}</p>}
      <p class="word caution">
        <Care />
        {say(language, 'fire.out.relight')}
      </p>
    </div>
  );
}

/** First the gas, then the wait, whole. */
function gasWords(language: Language, open: boolean, left_s: number): string {
  if (open) return say(language, 'fire.shut_now');
  return say(language, left_s > 0 ? 'fire.out.wait' : 'fire.out.waited');
}

/** What burns, said by a tap. The caution of the act stands over its keys. */
function Levels({
  model,
  onTell,
  onLeave,
}: {
  model: Model;
  onTell: (what: What) => void;
  onLeave: () => void;
}): VNode {
  const { language } = model.settings;
  const { level, out_since_s } = burning(model);
  const shut_s = gasShut_s(model);
  const waits = out_since_s !== null && model.house.gas && (shut_s === null || model.now_s < shut_s + GAS_WAIT_S);
  const danger = dangersNow(model).size > 0; // then it may only go down
  return (
    <div class="levels">
      <p class="word caution">
        <Care />
        {say(language, 'fire.flame.caution')}
      </p>
      {model.house.levels.map((name, n) => (
        <button
          key={name}
          type="button"
          class="key"
          aria-pressed={out_since_s === null && name === level}
          disabled={waits || (danger && n > 0 && n >= model.house.levels.indexOf(level ?? ''))}
          onClick={() => onTell({ kind: 'flame', level: name })}
        >
          <span class="word">{name}</span>
        </button>
      ))}
      <button type="button" class="key leave" onClick={onLeave}>
        <span class="word hush">{say(language, 'read.leave')}</span>
      </button>
    </div>
  );
}

/** Says that the flame is out; for ten seconds after anything told of the flame, takes it back. */
function OutKey({ told, model }: { told: Told; model: Model }): VNode {
  const { language } = model.settings;
  const last = told.last;
  if (last !== null)
    return (
      <button type="button" class="key undo" onClick={() => told.undo(last.id)}>
        <Back />
        <span class="word">{say(language, 'undo')}</span>
      </button>
    );
  return (
    <button type="button" class="key" onClick={() => told.tell({ kind: 'flame_out' })}>
      <span class="word">{say(language, 'fire.out')}</span>
    </button>
  );
}
