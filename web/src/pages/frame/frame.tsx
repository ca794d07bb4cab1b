// What every page of the service stands in: its sizes, and plain bands for what is wrong.

import type { ComponentChildren, VNode } from 'preact';

import type { Doings, Language, Model } from '../../core/model.ts';
import { Care } from '../../look/round.tsx';
import { HeardBand, useHeard } from '../../ear/heard_view.tsx';
import { useWindow } from '../../look/measure.ts';
import { clock } from '../../look/shown.ts';
import { glassOf, sizeVars, type Form } from '../../look/sizes.ts';
import { wayOut } from '../../core/danger.ts';
import { say, type Key } from '../../words/say.ts';
import { WayOutShown } from '../danger/danger.tsx';
import { outWords } from '../danger/words.ts';
import { bandsOf } from './bands.ts';

export interface Drawn {
  readonly form: Form;
  readonly u: number;
  readonly word_px: number;
  /** Height of a row of the landing lines. */
  readonly row_px: number;
  /** Whether a band takes a part of the screen: what matters least is left out then. */
  readonly banded: boolean;
}

// In millimetres as laid out, as in sizes.css: a word's letters, and a row that holds one.
const WORD: Readonly<Record<Form, number>> = { wide: 12.5, tall: 12.5, hand: 6.3 };
const ROW_OF_WORD = 0.9;

interface FrameProps {
  readonly model: Model;
  readonly doings: Doings;
  readonly page:
    | 'hearth'
    | 'pass'
    | 'fire'
    | 'watch'
    | 'wall'
    | 'pages'
    | 'wipe'
    | 'tickets'
    | 'people'
    | 'closing'
    | 'replay'
    | 'day'
    | 'lots'
    | 'records'
    | 'danger';
  readonly children: (drawn: Drawn) => ComponentChildren;
}

export function Frame({ model, doings, page, children }: FrameProps): VNode {
  const [width, height] = useWindow();
  const glass = glassOf(width, height, model.settings);
  const u = glass.mm * glass.grown;
  const word_px = WORD[glass.form] * u;
  const { language, polarity } = model.settings;
  const call = useHeard(model);
  const bands = bandsOf(LOTS_TOLD.includes(page) ? model : { ...model, lots: null });
  const out = wayOut(model);
  const alone = page === 'danger' || out?.nothing === true; // in danger nothing else is said
  const banded = out !== null || bands.length > 0 || (call !== null && !(page === 'hearth' && glass.form !== 'hand'));
  const top = !alone && (out !== null || bands.length > 0 || call !== null) && (
    <div class={NEAR.includes(page) ? 'top near' : 'top'}>
      {out !== null && (
        <p class="word emptying" role="alert">
          <Care />
          {outWords(language, out)}
        </p>
      )}
      {out === null && bands.length > 0 && (
        <div class="bands" role="status">
          {bands.map((band) => (
            <p key={band} class="word">
              {band}
            </p>
          ))}
        </div>
      )}
      {out === null && call !== null && <HeardBand call={call} />}
    </div>
  );
  const within = glass.form === 'wide' && WITHIN.includes(page);
  return (
    <div
      class={banded ? 'night banded' : 'night'}
      data-polarity={polarity}
      data-form={glass.form}
      lang={language}
      style={sizeVars(glass)}
    >
      {!within && top}
      <main class={page}>
        <h1 class="unseen">{`${say(language, `page.${page}` as Key)}, ${model.house.name}`}</h1>
        {within && top}
        {page !== 'danger' && out?.nothing ? <WayOutShown model={model} /> : children({ form: glass.form, u, word_px, row_px: word_px * ROW_OF_WORD, banded })}
        <Refused model={model} doings={doings} />
      </main>
    </div>
  );
}

// Pages whose keys keep the whole height of a wide screen: their bands stand over the rest only.
const WITHIN: readonly FrameProps['page'][] = ['hearth', 'pass', 'fire', 'watch'];

// Pages that are read at arm's length: what is wrong is told in their own size.
const NEAR: readonly FrameProps['page'][] = ['tickets', 'people', 'closing', 'replay', 'day', 'lots', 'records'];

// Where a lot that wants a hand is told for as long as it does; at the hearth it is called, and shown for half a minute.
const LOTS_TOLD: readonly FrameProps['page'][] = ['watch', 'tickets', 'people', 'closing', 'replay', 'day', 'records'];

/** What was told here and could not be applied, with the board's words, until somebody has looked at it. */
export function Refused({ model, doings }: { model: Model; doings: Doings }): VNode | null {
  const one = model.refused[0];
  if (one === undefined) return null;
  const language = model.settings.language;
  const more = model.refused.length - 1;
  return (
    <div class="refused" role="alert">
      <p class="word">
        {say(language, 'refused', { clock: clock(one.at_s), words: one.words })}
        {more > 0 && ` +${more}`}
      </p>
      <button type="button" class="key" onClick={() => doings.seen(one.id)}>
        <span class="word">{say(language, 'refused.seen')}</span>
      </button>
    </div>
  );
}

/** The way to the other pages. */
export function PagesKey({ language }: { language: Language }): VNode {
  return (
    <button
      type="button"
      class="key pages-key"
      onClick={() => {
        location.hash = 'pages';
      }}
    >
      <span class="word">{say(language, 'pages')}</span>
    </button>
  );
}
