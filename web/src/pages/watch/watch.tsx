// The probe page: what to temp next, the number that decides, and what it read. Numbers only: no verdict.

import type { VNode } from 'preact';
import { useState } from 'preact/hooks';

import type { Model } from '../../core/model.ts';
import { Keyed, Keypad } from '../../look/keypad.tsx';
import { Back, Care } from '../../look/round.tsx';
import { clock, countText, degrees, temperature } from '../../look/shown.ts';
import type { Form } from '../../look/sizes.ts';
import { say } from '../../words/say.ts';
import { Frame, PagesKey } from '../frame/frame.tsx';
import { useTold } from '../frame/told.ts';
import { nounOf, shortDish } from '../hearth/said.ts';
import type { Page } from '../page.ts';
import { coreOf, probesOf, type Probe } from './probes.ts';

const OTHERS: Readonly<Record<Form, number>> = { wide: 1, tall: 2, hand: 1 }; // besides the first

export const Watch: Page = ({ model, doings }) => {
  const [item, setItem] = useState<string | null>(null);
  const told = useTold(model, doings);
  const { language } = model.settings;
  const probes = probesOf(model);
  const entered = probes.find(({ probe }) => probe.item === item);
  const [first, ...others] = probes;
  const last = told.last;
  return (
    <Frame model={model} doings={doings} page="watch">
      {({ form, banded }) =>
        entered !== undefined ? (
          <Entry
            one={entered}
            model={model}
            onLeave={() => setItem(null)}
            onTell={(read_C) => {
              told.tell(coreOf(entered.probe, read_C));
              setItem(null);
            }}
          />
        ) : (
          <>
            {first === undefined ? (
              <p class="word hush none">{say(language, 'watch.none')}</p>
            ) : (
              <First one={first} model={model} onEnter={() => setItem(first.probe.item)} />
            )}
            <div class="others">
              {others.slice(0, banded ? 0 : OTHERS[form]).map((one) => (
                <Other key={one.probe.item} one={one} model={model} onEnter={() => setItem(one.probe.item)} />
              ))}
            </div>
            <div class="keys">
              {last !== null && (
                <button type="button" class="key act undo" onClick={() => told.undo(last.id)}>
                  <Back />
                  <span class="word">{say(language, 'undo')}</span>
                </button>
              )}
              <PagesKey language={language} />
            </div>
          </>
        )
      }
    </Frame>
  );
};

interface OneProps {
  readonly one: Probe;
  readonly model: Model;
  readonly onEnter: () => void;
}

function First({ one: { probe, last_C, last_s }, model, onEnter }: OneProps): VNode {
  const {
    house,
    now_s,
    settings: { language, temperature: unit },
  } = model;
  const due = probe.at_s <= now_s;
  return (
    <button type="button" class={due ? 'probe-first due' : 'probe-first'} onClick={onEnter}>
      <span class="far table">{probe.table}</span>
      <span class="number">
        {degrees(probe.wants_C, unit)}
        <small>°{unit}</small>
      </span>
      <span class="word dish">{shortDish(house, probe.dish)}</span>
      <span class="word when">
        {say(language, 'watch.at', { clock: clock(probe.at_s) })},{' '}
        {due ? say(language, 'now') : countText(probe.at_s - now_s)}
      </span>
      <span class="word read">{readWords(model, probe.wants_C, last_C, last_s)}</span>
      <span class="word caution">
        <Care />
        {say(language, 'watch.caution')}
      </span>
      <span class="unseen">{say(language, 'watch.probe')}</span>
    </button>
  );
}

function Other({ one: { probe, last_C }, model, onEnter }: OneProps): VNode {
  const {
    house,
    now_s,
    settings: { temperature: unit },
  } = model;
  return (
    <button type="button" class="probe-other" onClick={onEnter}>
      <b class="word">{probe.table}</b>
      <span class="word hush">{nounOf(house, probe.dish)}</span>
      <span class="word">
        {last_C !== null && `${degrees(last_C, unit)} → `}
        {temperature(probe.wants_C, unit)}
      </span>
      <span class="word at">{countText(probe.at_s - now_s)}</span>
    </button>
  );
}

function readWords(
  { settings: { language, temperature: unit } }: Model,
  wants_C: number,
  last_C: number | null,
  last_s: number | null,
): string {
  if (last_C === null || last_s === null) return say(language, 'watch.unread');
  return `${say(language, 'watch.reads', { wants: temperature(wants_C, unit), reads: temperature(last_C, unit) })}, ${say(language, 'watch.read.at', { clock: clock(last_s) })}`;
}

function Entry({
  one: { probe },
  model,
  onLeave,
  onTell,
}: {
  one: Probe;
  model: Model;
  onLeave: () => void;
  onTell: (read_C: number) => void;
}): VNode {
  const [value, setValue] = useState('');
  const {
    house,
    settings: { language, temperature: unit },
  } = model;
  return (
    <div class="entry">
      <div class="what">
        <p class="far">
          {probe.table}
          <span class="word">{nounOf(house, probe.dish)}</span>
        </p>
        <Keyed value={value} unit={unit} />
        <p class="word">{say(language, 'watch.wants', { temperature: temperature(probe.wants_C, unit) })}</p>
        <p class="word caution">
          <Care />
          {say(language, 'watch.caution')}
        </p>
      </div>
      <Keypad
        value={value}
        unit={unit}
        language={language}
        onValue={setValue}
        onTell={onTell}
        onLeave={onLeave}
      />
    </div>
  );
}
