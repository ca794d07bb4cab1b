// One lot: what it is, what its readings show, its cooling as a picture; and what may be written of it.

import type { ComponentChildren, VNode } from 'preact';

import type { Model, Told } from '../../core/model.ts';
import type { ToldLot, ToldReading, ToldVerdict } from '../../wire.ts';
import { Key } from '../tickets/keys.tsx';
import { toldWords } from '../../words/say_told.ts';
import { w } from '../tickets/words.ts';
import { CurveView } from './curve_view.tsx';
import { readText, waitingOf, when, wordOf } from './names.ts';
import { inGroups, lotNumber } from './scan.ts';

const SIGN: Readonly<Record<ToldVerdict['answer'], string>> = { pass: '●', fail: '▲', unproven: '○', 'not applicable': '–' };

/** A verdict's sign and word: a shape beside the word, never a colour alone. */
export function Answer({ model, answer }: { model: Model; answer: ToldVerdict['answer'] }): VNode {
  return <b class={`lot-answer answer-${answer.replace(' ', '-')}`}><span aria-hidden="true">{SIGN[answer]}</span> {wordOf(model, 'answer', answer)}</b>;
}

export function Verdicts({ model, verdicts }: { model: Model; verdicts: readonly ToldVerdict[] }): VNode {
  return (
    <ul class="verdicts">
      {verdicts.map((one, n) => (
        <li key={n}><Answer model={model} answer={one.answer} /><span>{toldWords(model.settings.language, one.words)}<small>{toldWords(model.settings.language, one.section)}</small></span></li>
      ))}
    </ul>
  );
}

export function Readings({ model, lot, correct }: { model: Model; lot: ToldLot; correct: ((one: ToldReading) => void) | null }): VNode {
  return (
    <ul class="lines">
      {lot.readings.map((one) => (
        <li key={one.id}>
          <span class="what">
            <span><b>{readText(one)}</b> {when(one.at_s)}, {wordOf(model, 'point', one.point)}{one.place === '' ? '' : ` (${wordOf(model, 'part', one.place)})`}{one.held_s > 0 && `, ${w(model, 'lots.stood', { s: one.held_s })}`}</span>
            <small>{one.instrument}, {one.person}{one.instead_of.map((was) => `; ${w(model, 'lots.instead', { words: was })}`)}</small>
          </span>
          {correct !== null && <Key id={`correct-${one.id}`} onTap={() => { correct(one); }}>{w(model, 'lots.correct')}</Key>}
        </li>
      ))}
    </ul>
  );
}

export type LotSheet = 'read' | 'chill' | 'pull' | 'mark' | 'amiss';

interface Props {
  readonly model: Model;
  readonly lot: ToldLot;
  readonly may: boolean;
  readonly tell: (what: Told, words: string) => void;
  readonly open: (sheet: LotSheet) => void;
  readonly correct: (one: ToldReading) => void;
}

export function LotView({ model, lot, may, tell, open, correct }: Props): VNode {
  const waits = waitingOf(model, lot.lot);
  return (
    <article class="lot">
      <header>
        <h2>{lot.lot}</h2>
        <p>{w(model, 'lots.since', { state: wordOf(model, 'lot', lot.state), at: when(lot.since_s) })}, {manyWords(lot.quantity)}, {w(model, 'lots.number', { number: inGroups(lotNumber(lot.lot)) })}{lot.last_day !== '' && `, ${w(model, 'lots.mark')} ${lot.last_day}`}{waits > 0 && `, ${w(model, 'lots.waits_here')}`}</p>
      </header>
      {may && <Acts lot={lot} open={open} model={model} />}
      {(lot.foreseen?.warnings ?? []).slice(0, 1).map((words) => <p key={words} class="warn" role="alert">{toldWords(model.settings.language, words)}</p>)}
      {lot.not_foreseen !== '' && <p class="hush">{toldWords(model.settings.language, lot.not_foreseen)}</p>}
      {lot.cooling_since_s !== null && <CurveView model={model} lot={lot} />}
      {lot.cooling_since_s !== null && <p class="hush">{w(model, 'lots.clock', { at: when(lot.cooling_since_s), words: toldWords(model.settings.language, lot.cooling_words) })}</p>}
      {lot.verdicts.length > 0 && <Part title={w(model, 'lots.judged')}><Verdicts model={model} verdicts={lot.verdicts} /></Part>}
      {may && <Becomes model={model} lot={lot} tell={tell} />}
      {lot.readings.length > 0 && <Part title={w(model, 'lots.readings')}><Readings model={model} lot={lot} correct={may ? correct : null} /></Part>}
    </article>
  );
}

/** A bare number is of portions. */
function manyWords(quantity: string): string {
  return /^\d+$/.test(quantity) ? `${quantity} ×` : quantity;
}

function Part({ title, children }: { title: string; children: ComponentChildren }): VNode {
  return <section><h2>{title}</h2>{children}</section>;
}

function Acts({ model, lot, open }: { model: Model; lot: ToldLot; open: (sheet: LotSheet) => void }): VNode {
  return (
    <div class="keys no-print">
      <Key act grow id="read" onTap={() => { open('read'); }}>{w(model, 'lots.read')}</Key>
      {lot.state === 'cooling' && <Key grow id="chill" onTap={() => { open('chill'); }}>{w(model, 'lots.chill')}</Key>}
      {lot.state === 'chilled' && lot.of === '' && <Key grow id="pull-portions" onTap={() => { open('pull'); }}>{w(model, 'lots.pull')}</Key>}
      {lot.state === 'chilled' && lot.of === '' && <Key grow id="mark" onTap={() => { open('mark'); }}>{w(model, 'lots.mark')}</Key>}
      <Key grow id="amiss" onTap={() => { open('amiss'); }}>{w(model, 'lots.amiss')}</Key>
    </div>
  );
}

/** What it may become; a key that cannot be tapped yet says below what is lacking. */
function Becomes({ model, lot, tell }: { model: Model; lot: ToldLot; tell: Props['tell'] }): VNode {
  const ways = lot.ways.filter((one) => one.to !== 'par-cooked' || one.lacks.length === 0);
  const lacking = ways.filter((one) => one.lacks.length > 0);
  return (
    <section class="no-print">
      <h2>{w(model, 'lots.becomes')}</h2>
      <div class="keys">
        {ways.map(({ to, lacks }) => (
          <Key key={to} grow id={`to-${to}`} off={lacks.length > 0} onTap={() => {
            tell({ kind: 'lot_became', lot: lot.lot, state: to }, w(model, 'lots.told_state', { lot: lot.lot, state: wordOf(model, 'lot', to) }));
          }}>{becomesWord(model, lot, to)}</Key>
        ))}
      </div>
      {lacking.map(({ to, lacks }) => <p key={to} class="hush">{w(model, 'lots.lacks', { state: becomesWord(model, lot, to), words: lacks.map((one) => toldWords(model.settings.language, one)).join(' ') })}</p>)}
    </section>
  );
}

/** What cools and becomes cooked again was heated through, and its cooling begins anew. */
function becomesWord(model: Model, lot: ToldLot, to: ToldLot['state']): string {
  return lot.state === 'cooling' && to === 'cooked' ? w(model, 'lots.anew') : wordOf(model, 'lot', to);
}
