// Closing: one page, walked through standing. What was made, what is thrown away, the floor, who waited, a note.

import './closing.css';

import type { VNode } from 'preact';
import { useEffect, useState } from 'preact/hooks';

import type { Doings, Model } from '../../core/model.ts';
import { clock, minutes, temperature } from '../../look/shown.ts';
import type { Closing as Figures, ClosingNow, DishCount, Floor, Late, Span, What } from '../../wire.ts';
import type { Page } from '../page.ts';
import { causeWords } from '../replay/causes.ts';
import { Desk } from '../tickets/desk.tsx';
import { Key, UndoBar, mayTell, useTelling } from '../tickets/keys.tsx';
import { dishName, w } from '../tickets/words.ts';
import {
  REASONS, SENTENCES, noteLacks, noteOf, reasonKey, wastedInAll, wastedNow, wastedOf, type Reason, type Wasted,
} from './notes.ts';

export const Closing: Page = ({ model, doings }) => {
  const [now, words] = useClosing(model, doings);
  const { said, tell, undo } = useTelling(model, doings);
  const may = mayTell(model);
  return (
    <Desk
      model={model} doings={doings} page="closing"
      top={<Key id="print" grow off={now === null} onTap={() => { window.print(); }}>{w(model, 'closing.print')}</Key>}
      foot={may && <UndoBar model={model} said={said} undo={undo} />}
    >
      {words !== '' && <p class="warn" role="alert">{words}</p>}
      {now === null ? <p>{w(model, 'closing.asking')}</p> : (
        <article class="closing">
          <header>
            <h2>{model.house.name}, {model.house.night}</h2>
            <p>{w(model, 'closing.sum', { tickets: now.closing.tickets, covers: now.closing.covers, landed: now.closing.courses_landed })}
              {now.closing.courses_open > 0 && ` ${w(model, 'closing.still_open', { n: now.closing.courses_open })}`}</p>
          </header>
          <Plates model={model} figures={now.closing} may={may} tell={tell} />
          <Kitchen model={model} figures={now.closing} />
          <Waited model={model} late={now.late} />
          <Handover model={model} figures={now.closing} may={may} tell={tell} />
        </article>
      )}
    </Desk>
  );
};

const AGAIN_S = 15; // the board reads its whole log for the figures: asked for no oftener than so; own choice

/** The figures, asked for now and then; the last ones stay while the board is away. */
function useClosing(model: Model, doings: Doings): readonly [ClosingNow | null, string] {
  const [now, setNow] = useState<ClosingNow | null>(null);
  const [words, setWords] = useState('');
  useEffect(() => {
    let still = true;
    doings.ask<ClosingNow>('/api/closing').then(
      (told) => { if (still) { setNow(told); setWords(''); } },
      (err: unknown) => { if (still) setWords(err instanceof Error ? err.message : String(err)); },
    );
    return () => { still = false; };
  }, [Math.floor(model.now_s / AGAIN_S), model.link]);
  return [now, words];
}

interface Part {
  readonly model: Model;
  readonly figures: Figures;
}

interface Telling extends Part {
  readonly may: boolean;
  readonly tell: (what: What, words: string) => void;
}

function Plates({ model, figures, may, tell }: Telling): VNode {
  const [reason, setReason] = useState<Reason>('left over');
  return (
    <section>
      <h2>{w(model, 'closing.plates')}</h2>
      {may && (
        <div class="keys no-print" role="group" aria-label={w(model, 'closing.why_wasted')}>
          {REASONS.map((one) => <Key key={one} grow id={`reason-${one}`} on={one === reason} onTap={() => { setReason(one); }}>{reasonWord(model, one)}</Key>)}
        </div>
      )}
      <ul class="lines">
        {figures.dishes.map((dish) => <Dish key={dish.dish} model={model} dish={dish} reason={reason} may={may} tell={tell} />)}
      </ul>
    </section>
  );
}

interface DishProps {
  readonly model: Model;
  readonly dish: DishCount;
  readonly reason: Reason;
  readonly may: boolean;
  readonly tell: (what: What, words: string) => void;
}

function Dish({ model, dish, reason, may, tell }: DishProps): VNode {
  const name = dishName(model, dish.dish);
  const wasted = wastedNow(model.facts, dish);
  const here = wastedOf(wasted, reason) + waiting(model, dish.dish, reason);
  const waste = (count: number): void => {
    tell({ kind: 'waste', dish: dish.dish, count, why: reason }, w(model, 'closing.is_wasted', { n: here + count, dish: name, why: reasonWord(model, reason) }));
  };
  return (
    <li>
      <span class="what"><span>{name}</span><small>{dishFate(model, dish, wasted)}</small></span>
      {may && (
        <span class="count no-print" role="group" aria-label={w(model, 'closing.wasted_of', { dish: name })}>
          <Key id={`less-${dish.dish}`} off={here === 0} onTap={() => { waste(-1); }} label={w(model, 'tk.one_fewer')}>−</Key>
          <b>{here}</b>
          <Key id={`waste-${dish.dish}`} onTap={() => { waste(1); }} label={w(model, 'tk.one_more')}>+</Key>
        </span>
      )}
    </li>
  );
}

/** What was told here and the board has not answered yet counts already. */
function waiting(model: Model, dish: string, reason: string): number {
  return model.queue.reduce((sum, { what }) => (what.kind === 'waste' && what.dish === dish && (what.why ?? 'left over') === reason ? sum + what.count : sum), 0);
}

function dishFate(model: Model, dish: DishCount, wasted: Wasted): string {
  const said = [w(model, 'closing.made', { n: dish.made })];
  if (dish.refired > 0) said.push(w(model, 'closing.refired', { n: dish.refired }));
  if (dish.taken_off > 0) said.push(w(model, 'closing.taken_off', { n: dish.taken_off }));
  if (dish.ran_out > 0) said.push(w(model, 'closing.ran_out', { n: dish.ran_out }));
  if (dish.unfinished > 0) said.push(w(model, 'closing.unfinished', { n: dish.unfinished }));
  if (wastedInAll(wasted) > 0) {
    const why = wasted.map(([reason, n]) => `${n} ${reasonWord(model, reason)}`).join(', ');
    said.push(w(model, 'closing.wasted', { n: wastedInAll(wasted), why }));
  }
  return said.join(' · ');
}

function reasonWord(model: Model, reason: string): string {
  const key = reasonKey(reason);
  return key === null ? reason : w(model, key);
}

function Kitchen({ model, figures }: Part): VNode {
  const lines = [
    ...figures.gone.map((gone) => w(model, 'closing.gone', { dish: dishName(model, gone.name), when: spanWords(model, gone) })),
    ...figures.cooks_out.map((out) => w(model, 'closing.cook_out', { cook: out.name, when: spanWords(model, out) })),
    floorWords(model, 'doors', figures.floor_at_doors),
    ...(figures.busiest === null ? [] : [w(model, 'closing.busiest', { from: clock(figures.busiest.from_s), until: clock(figures.busiest.until_s), n: figures.busiest.plates })]),
    ...(figures.floor_at_busiest === null ? [] : [floorWords(model, 'busiest', figures.floor_at_busiest)]),
    ...(figures.floor_highest === null ? [] : [floorWords(model, 'highest', figures.floor_highest)]),
    ...(figures.floor_lowest === null ? [] : [floorWords(model, 'lowest', figures.floor_lowest)]),
    figures.flame.length === 0 ? w(model, 'closing.no_flame') : w(model, 'closing.flame', {
      changes: figures.flame.map((one) => `${clock(one.at_s)} ${one.name === '' ? w(model, 'closing.flame_out') : one.name}`).join(', '),
    }),
    ...figures.spills.map((spill) => w(model, 'closing.spill', { at: clock(spill.at_s), by: spill.by })),
    ...(figures.dead_platters > 0 ? [w(model, 'closing.dead', { n: figures.dead_platters })] : []),
    figures.was_in.length === 0 ? w(model, 'closing.nobody_in') : w(model, 'closing.was_in', {
      who: figures.was_in.map((one) => `${one.name} ${clock(one.first_s)}–${clock(one.last_s)}`).join(', '),
    }),
  ];
  return (
    <section>
      <h2>{w(model, 'closing.kitchen')}</h2>
      <ul class="facts">{lines.map((line) => <li key={line}>{line}</li>)}</ul>
    </section>
  );
}

function spanWords(model: Model, span: Span): string {
  return span.until_s === null ? w(model, 'closing.from', { at: clock(span.from_s) }) : w(model, 'closing.from_until', { at: clock(span.from_s), until: clock(span.until_s) });
}

function floorWords(model: Model, when: 'doors' | 'busiest' | 'highest' | 'lowest', floor: Floor | null): string {
  if (floor === null) return w(model, 'closing.no_floor');
  const at = temperature(floor.temperature_C, model.settings.temperature);
  return w(model, `closing.floor.${when}`, { at, clock: clock(floor.at_s), by: floor.by, instrument: floor.instrument });
}

function Waited({ model, late }: { model: Model; late: readonly Late[] }): VNode {
  return (
    <section>
      <h2>{w(model, 'closing.late')}</h2>
      {late.length === 0 ? <p>{w(model, 'closing.none_late', { n: minutes(model.house.late_after_s) })}</p> : (
        <ul class="facts">
          {late.map((one) => (
            <li key={`${one.table}/${one.course}`}>
              {w(model, 'closing.late_line', { table: one.table, told: clock(one.told_s), landed: clock(one.landed_s), n: minutes(one.landed_s - one.told_s) })}
              {one.steps[0] !== undefined && ` ${causeWords(model, one.steps[0])}`}
            </li>
          ))}
        </ul>
      )}
      <div class="keys no-print"><Key id="replay" grow onTap={() => { location.hash = '#replay'; }}>{w(model, 'page.replay')}</Key></div>
    </section>
  );
}

function Handover({ model, figures, may, tell }: Telling): VNode {
  const [chosen, setChosen] = useState<readonly (typeof SENTENCES)[number][]>([]);
  const [typed, setTyped] = useState('');
  const note = noteOf(chosen.map((key) => w(model, key)), typed);
  const lacks = noteLacks(note);
  const left = model.facts === null ? figures.handover : model.facts.handover;
  return (
    <section>
      <h2>{w(model, 'closing.handover')}</h2>
      {left === null ? <p class="hush">{w(model, 'closing.no_note')}</p> : (
        <blockquote>{left.words.split('\n').map((line, n) => <p key={n}>{line}</p>)}<small>{left.by}, {clock(left.at_s)}</small></blockquote>
      )}
      {may && (
        <div class="note no-print">
          <div class="keys">
            {SENTENCES.map((key) => (
              <Key key={key} grow id={`says-${key}`} on={chosen.includes(key)} onTap={() => {
                setChosen(chosen.includes(key) ? chosen.filter((one) => one !== key) : [...chosen, key]);
              }}>{w(model, key)}</Key>
            ))}
          </div>
          <label>
            <span>{w(model, 'closing.typed')}</span>
            <textarea value={typed} onInput={(now) => { setTyped(now.currentTarget.value); }} data-key="typed" />
          </label>
          {lacks === 'too_long' && <p class="warn">{w(model, 'closing.too_long')}</p>}
          <Key grow id="leave-note" off={lacks !== null} onTap={() => {
            tell({ kind: 'handover', words: note }, w(model, 'closing.is_left'));
            setChosen([]);
            setTyped('');
          }}>{w(model, 'closing.leave_note')}</Key>
        </div>
      )}
    </section>
  );
}
