// Tickets: called by taps, then held, fired, dragged, split, amended; and what happens to the kitchen meanwhile.

import './tickets.css';

import type { VNode } from 'preact';
import { useState } from 'preact/hooks';

import type { Model } from '../../core/model.ts';
import { clock } from '../../look/shown.ts';
import type { TicketCalled } from '../../wire.ts';
import type { Page } from '../page.ts';
import { Acts, Sheets, type Sheet } from './acts.tsx';
import { Desk, useRoom } from './desk.tsx';
import { EMPTY, plates, tableOf, type Draft } from './draft.ts';
import { Key, UndoBar, mayTell, useTelling } from './keys.tsx';
import { EightySix, Kitchen } from './kitchen.tsx';
import { TypedLine } from './line.tsx';
import { NewTicket, Steps, firstStep, type Step } from './new_ticket.tsx';
import { againName, landedTables, openLines, type Line } from './open.ts';
import { OpenList } from './open_list.tsx';
import { w } from './words.ts';

type Look = 'open' | 'new' | 'eighty_six' | 'kitchen' | 'landed';
const MOST_LANDED = 12;

export const Tickets: Page = ({ model, doings }) => {
  const [look, setLook] = useState<Look>('open');
  const [chosen, setChosen] = useState('');
  const [draft, setDraft] = useState<Draft>(EMPTY);
  const [step, setStep] = useState<Step>('table');
  const [sheet, setSheet] = useState<Sheet>('pace');
  const [sent, setSent] = useState<{ id: string; draft: Draft } | null>(null);
  const { said, tell, undo } = useTelling(model, doings);
  const room = useRoom(model);
  const may = mayTell(model);
  const lines = model.facts === null ? [] : openLines(model.facts, model.shown);
  const line = may ? lines.find((one) => nameOf(one) === chosen) : undefined;
  const refused = sent !== null && model.refused.some((one) => one.id === sent.id);
  const begin = (of: Draft): void => {
    setDraft(of);
    setStep(firstStep(of));
    setSent(null);
    setLook('new');
  };
  const call = (ticket: TicketCalled, of: Draft): void => {
    const wanted_s = ticket.ticket.courses[0]?.wanted_s ?? model.now_s;
    setSent({ id: tell(ticket, w(model, 'tk.is_called', { table: tableOf(of), at: clock(wanted_s) })), draft: of });
    setDraft(EMPTY);
    setLook('open');
  };
  const open = (): void => {
    setLook('open');
    setChosen('');
  };
  const choose = (one: Line | null): void => {
    setChosen(one === null ? '' : nameOf(one));
    setSheet('pace');
  };
  const steps = <Steps model={model} draft={draft} step={step} go={setStep} leave={open} />;
  const sheets = <Sheets model={model} sheet={sheet} go={setSheet} leave={() => { choose(null); }} />;
  const busy = look === 'new' ? steps : look === 'open' && line !== undefined && room !== 'roomy' ? sheets : null;
  const looks = (
    <>
      <Key id="new" grow on={look === 'new'} onTap={() => { begin(draft); }}>
        {draft === EMPTY ? w(model, 'tk.new') : w(model, 'tk.go_on', { table: tableOf(draft) || '…' })}
      </Key>
      <Key id="open" grow on={look === 'open'} onTap={open}>{w(model, 'tk.open_n', { n: lines.length })}</Key>
      <Key id="eighty-six" grow on={look === 'eighty_six'} onTap={() => { setLook('eighty_six'); }}>86</Key>
      <Key id="kitchen" grow on={look === 'kitchen'} onTap={() => { setLook('kitchen'); }}>{w(model, 'tk.kitchen')}</Key>
      <Key id="landed" grow on={look === 'landed'} onTap={() => { setLook('landed'); }}>{w(model, 'tk.again')}</Key>
    </>
  );
  return (
    <Desk model={model} doings={doings} page="tickets" at={`${look} ${step} ${chosen} ${sheet}`} top={may ? busy ?? looks : undefined} way={busy === null} foot={may && <UndoBar model={model} said={said} undo={undo} />}>
      {refused && sent !== null && look !== 'new' && (
        <div class="keys">
          <p class="warn">{w(model, 'tk.came_back', { table: tableOf(sent.draft), n: plates(sent.draft) })}</p>
          <Key grow id="again-draft" onTap={() => { doings.seen(sent.id); begin(sent.draft); }}>{w(model, 'tk.open_again')}</Key>
        </div>
      )}
      {look === 'new' && may && (
        <NewTicket
          model={model} doings={doings} draft={draft} step={step} go={setStep} change={setDraft} call={call}
          forget={() => { setDraft(EMPTY); open(); }}
        />
      )}
      {(look === 'open' || !may) && (
        <Open model={model} lines={lines} line={line} beside={room === 'roomy'} choose={may ? choose : null}>
          {line !== undefined && (
            <Acts key={chosen} model={model} doings={doings} line={line} sheet={sheet} go={setSheet} tell={tell}>
              {busy === null && <div class="keys">{sheets}</div>}
            </Acts>
          )}
        </Open>
      )}
      {look === 'open' && may && line === undefined && <TypedLine model={model} doings={doings} />}
      {look === 'eighty_six' && may && <EightySix model={model} tell={tell} />}
      {look === 'kitchen' && may && <Kitchen model={model} tell={tell} />}
      {look === 'landed' && may && <Landed model={model} begin={begin} />}
    </Desk>
  );
};

function nameOf(line: Line): string {
  return `${line.table}/${line.course}`;
}

interface OpenProps {
  readonly model: Model;
  readonly lines: readonly Line[];
  readonly line: Line | undefined;
  readonly beside: boolean;
  readonly choose: ((line: Line) => void) | null;
  readonly children: VNode | false;
}

/** The list with the chosen ticket's keys beside it where there is room, in its place where there is not. */
function Open({ model, lines, line, beside, choose, children }: OpenProps): VNode {
  const list = <OpenList model={model} lines={lines} chosen={line} choose={choose} />;
  if (children === false) return list;
  return beside ? <div class="tk-split">{list}{children}</div> : children;
}

/** Tables that have left: plates made again for one of them are a ticket of their own. */
function Landed({ model, begin }: { model: Model; begin: (draft: Draft) => void }): VNode {
  const facts = model.facts;
  const tables = facts === null ? [] : landedTables(facts, MOST_LANDED);
  return (
    <>
      <p>{tables.length === 0 ? w(model, 'tk.none_landed') : w(model, 'tk.made_again_for')}</p>
      <div class="keys">
        {facts !== null && tables.map((table) => (
          <Key key={table} act id={`for-${table}`} onTap={() => {
            const covers = facts.tickets.find((one) => one.table === table)?.covers ?? 1;
            begin({ ...EMPTY, letter: againName(facts, table), covers, refire_of: table });
          }}>{table}</Key>
        ))}
      </div>
    </>
  );
}

