// Lots: food cooked ahead, what each is, when it is to be probed next, how it cools.

import './lots.css';

import type { VNode } from 'preact';
import { useState } from 'preact/hooks';

import { newId } from '../../core/ids.ts';
import type { Model } from '../../core/model.ts';
import { countText } from '../../look/shown.ts';
import type { ToldLot, ToldReading } from '../../wire.ts';
import type { Page } from '../page.ts';
import { Desk } from '../tickets/desk.tsx';
import { Key, UndoBar, mayTell, useTelling } from '../tickets/keys.tsx';
import { w } from '../tickets/words.ts';
import { Answer, LotView, type LotSheet } from './lot.tsx';
import { MakeLot, PullPortions } from './make.tsx';
import { gravestOf, readText, waitingOf, when, wordOf } from './names.ts';
import { InIce, ReadLot } from './reading.tsx';
import { lotsMeant } from './scan.ts';
import { FindLot, useScanner } from './scanning.tsx';
import { Amiss, ChilledBy, Correct, LastDay } from './sheets.tsx';

type Look = 'all' | 'new' | 'ice' | 'lot' | LotSheet | 'correct';

export const Lots: Page = ({ model, doings }) => {
  const [look, setLook] = useState<Look>('all');
  const [chosen, setChosen] = useState('');
  const [reading, setReading] = useState<ToldReading | null>(null);
  const [sought, setSought] = useState<string | null>(null);
  const { said, tell, undo } = useTelling(model, doings);
  const may = mayTell(model);
  const { lots } = model;
  const lot = lots?.lots.find((one) => one.lot === chosen);
  const waits = said !== null && model.queue.some((one) => one.id === said.id); // what the records hold is corrected, not undone
  const all = (): void => { setLook('all'); };
  const back = (): void => { setLook('lot'); };
  const say = (what: Parameters<typeof tell>[0], words: string): void => { tell(what, words); };
  const shown = look !== 'all' && look !== 'new' && look !== 'ice' && lot === undefined ? 'all' : look;
  const open = (one: string): void => { setChosen(one); setSought(null); setLook('lot'); };
  const find = (told: string): void => {
    const meant = lotsMeant(told, (lots?.lots ?? []).map((one) => one.lot));
    if (meant.length === 1) open(meant[0]!);
    else { setSought(told.trim()); setLook('all'); }
  };
  useScanner(shown === 'all' || shown === 'lot', find); // not while something is being written
  const whole = shown === 'lot' || lot === undefined || shown === 'new' || shown === 'ice';
  const top = shown === 'all' ? may && lots !== null && (
    <>
      <Key grow id="new" onTap={() => { setLook('new'); }}>{w(model, 'lots.new')}</Key>
      <Key grow id="ice" onTap={() => { setLook('ice'); }}>{w(model, 'lots.ice')}</Key>
    </>
  ) : <Key grow id="back" onTap={whole ? all : back}>{whole ? w(model, 'lots.back') : lot.lot}</Key>;
  return (
    <Desk model={model} doings={doings} page="lots" top={top} at={`${shown} ${chosen}`} foot={may && <UndoBar model={model} said={said} undo={waits ? undo : null} />}>
      {lots === null ? <p>{w(model, 'lots.not_kept')}</p> : (
        <>
          {shown === 'all' && <All model={model} sought={sought} find={find} choose={(one) => { open(one.lot); }} />}
          {shown === 'new' && <MakeLot model={model} lots={lots} tell={say} done={all} />}
          {shown === 'ice' && <InIce model={model} instruments={lots.instruments} tell={say} done={all} />}
          {lot !== undefined && shown === 'lot' && <LotView model={model} lot={lot} may={may} tell={say} open={setLook} correct={(one) => { setReading(one); setLook('correct'); }} />}
          {lot !== undefined && shown === 'read' && <ReadLot model={model} lot={lot} instruments={lots.instruments} tell={say} done={back} />}
          {lot !== undefined && shown === 'chill' && <ChilledBy model={model} lots={lots} lot={lot} tell={say} done={back} />}
          {lot !== undefined && shown === 'pull' && <PullPortions model={model} lots={lots} lot={lot} tell={say} done={all} />}
          {lot !== undefined && shown === 'mark' && <LastDay model={model} lots={lots} lot={lot} tell={say} done={back} />}
          {lot !== undefined && shown === 'amiss' && <Amiss model={model} lot={lot} tell={say} done={back} />}
          {lot !== undefined && shown === 'correct' && reading !== null && <Correct model={model} doings={doings} reading={reading} newId={newId} done={back} />}
        </>
      )}
    </Desk>
  );
};

interface AllProps {
  readonly model: Model;
  /** What was scanned or typed and means no lot, or several; null: nothing. */
  readonly sought: string | null;
  readonly find: (said: string) => void;
  readonly choose: (one: ToldLot) => void;
}

function All({ model, sought, find, choose }: AllProps): VNode {
  const lots = model.lots!;
  const meant = sought === null ? [] : lotsMeant(sought, lots.lots.map((one) => one.lot));
  return (
    <>
      <FindLot model={model} onRead={find} />
      {sought !== null && meant.length === 0 && <p class="warn" role="alert">{w(model, 'lots.no_such', { said: sought })}</p>}
      {meant.length > 1 && <p class="warn" role="alert">{w(model, 'lots.several', { said: sought ?? '', lots: meant.join(', ') })}</p>}
      {lots.lots.length === 0 && <p class="hush">{w(model, 'lots.none')}</p>}
      <ul class="lot-list">
        {lots.lots.map((one) => <li key={one.lot}><Line model={model} lot={one} choose={choose} /></li>)}
      </ul>
      <p class="hush"><small>{lots.rules === '' ? w(model, 'lots.not_judged') : lots.words}</small></p>
    </>
  );
}

function Line({ model, lot, choose }: { model: Model; lot: ToldLot; choose: (one: ToldLot) => void }): VNode {
  const answer = gravestOf(lot);
  const last = lot.readings.at(-1);
  const due = lot.next_look_s !== null && lot.next_look_s <= model.now_s;
  return (
    <button type="button" class={due ? 'key lot-line due' : 'key lot-line'} data-key={`lot-${lot.lot}`} onClick={() => { choose(lot); }}>
      <span class="what">
        <b>{lot.lot}</b>
        <small>{wordOf(model, 'lot', lot.state)}, {last === undefined ? w(model, 'lots.unread') : w(model, 'lots.last_read', { value: readText(last), at: when(last.at_s) })}{waitingOf(model, lot.lot) > 0 && `, ${w(model, 'lots.waits_here')}`}</small>
      </span>
      <span class="when">
        {answer !== '' && <Answer model={model} answer={answer} />}
        {lot.next_look_s !== null && <span>{due ? w(model, 'lots.look_now') : `${w(model, 'lots.look', { at: when(lot.next_look_s) })}, ${countText(lot.next_look_s - model.now_s)}`}</span>}
      </span>
    </button>
  );
}
