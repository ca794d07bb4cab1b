// Said by anybody, from any page, in two taps: what of the fire or the air is wrong. And that it is over, by two more.

import type { VNode } from 'preact';
import { useState } from 'preact/hooks';

import { DANGERS, dangersNow, wayOut, type Danger as Kind } from '../../core/danger.ts';
import type { Model } from '../../core/model.ts';
import { Care } from '../../look/round.tsx';
import { clock } from '../../look/shown.ts';
import { say } from '../../words/say.ts';
import { mayTell } from '../frame/bands.ts';
import { Frame, PagesKey } from '../frame/frame.tsx';
import type { Page } from '../page.ts';
import { dangerWord, outWords } from './words.ts';

export const Danger: Page = ({ model, doings }) => {
  const [sure, setSure] = useState<Kind | null>(null);
  const { language } = model.settings;
  const now = dangersNow(model);
  const may = mayTell(model);
  const out = wayOut(model);
  const tap = (danger: Kind): void => {
    if (!may) return;
    if (!now.has(danger)) doings.tell({ kind: 'danger', danger });
    else if (sure === danger) doings.tell({ kind: 'danger_over', danger });
    setSure(now.has(danger) && sure !== danger ? danger : null);
  };
  return (
    <Frame model={model} doings={doings} page="danger">
      {() => (
        <>
          <p class="word out-words" role={out === null ? undefined : 'alert'}>
            {out !== null && <Care />}
            {out === null ? say(language, 'danger.title') : outWords(language, out)}
          </p>
          <div class="dangers">
            {DANGERS.map((one) => (
              <button key={one} type="button" class={now.has(one) ? 'key so' : 'key'} disabled={!may} onClick={() => { tap(one); }}>
                <span class="word">{keyWord(model, one, now.get(one), sure === one)}</span>
                {now.has(one) && <span class="word hush">{say(language, 'danger.since', { clock: clock(now.get(one)!) })}</span>}
              </button>
            ))}
          </div>
          <PagesKey language={language} />
        </>
      )}
    </Frame>
  );
};

function keyWord({ settings: { language } }: Model, danger: Kind, since_s: number | undefined, sure: boolean): string {
  const word = dangerWord(language, danger);
  if (since_s === undefined) return word;
  return sure ? say(language, 'danger.sure') : say(language, 'danger.over', { danger: word });
}

/** In place of a page while everybody is to go out. */
export function WayOutShown({ model }: { model: Model }): VNode | null {
  const { language } = model.settings;
  const out = wayOut(model);
  if (out === null) return null;
  return (
    <div class="way-out" role="alert">
      <p class="far">{dangerWord(language, out.danger)}</p>
      <p class="word">{outWords(language, out)}</p>
      <a class="key" href="#danger"><span class="word">{say(language, 'danger.to')}</span></a>
    </div>
  );
}
