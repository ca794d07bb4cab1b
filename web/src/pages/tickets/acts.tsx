// What can be done with one course: hold, fire, drag, split, amend, plates off, more plates, a plate made again.

import type { ComponentChildren, VNode } from 'preact';
import { useState } from 'preact/hooks';

import type { Doings, Model } from '../../core/model.ts';
import { clock, minutes } from '../../look/shown.ts';
import type { What } from '../../wire.ts';
import { Key } from './keys.tsx';
import { MinuteChoice } from './minute.tsx';
import { DROPS_APART_S, dragged, groups, lastOf, moved, recovered, since, type Line, type PlateGroup } from './open.ts';
import { allergenWord, dishName, w } from './words.ts';

interface Props {
  readonly model: Model;
  readonly doings: Doings;
  readonly line: Line;
  readonly sheet: Sheet;
  readonly go: (sheet: Sheet) => void;
  readonly tell: (what: What, words: string) => void;
  readonly children?: ComponentChildren;
}

export type Sheet = 'pace' | 'plates' | 'more' | 'amend' | 'fire';
const SHEETS = ['pace', 'plates', 'more', 'amend'] as const;
const DRAGS_MIN = [2, 5, 10] as const;

interface SheetsProps {
  readonly model: Model;
  readonly sheet: Sheet;
  readonly go: (sheet: Sheet) => void;
  readonly leave: () => void;
}

/** What of a ticket its keys are about. */
export function Sheets({ model, sheet, go, leave }: SheetsProps): VNode {
  return (
    <>
      {SHEETS.map((one) => (
        <Key key={one} grow id={`sheet-${one}`} on={sheet === one} onTap={() => { go(one); }}>{w(model, `tk.sheet.${one}`)}</Key>
      ))}
      <Key id="leave-ticket" onTap={leave} label={w(model, 'tk.to_list')}>×</Key>
    </>
  );
}

export function Acts({ model, doings, line, sheet, go, tell, children }: Props): VNode {
  const told = (what: What, words: string): void => {
    tell(what, words);
    go('pace');
  };
  const name = nameOf(model, line);
  return (
    <section class="tk-acts" aria-label={name}>
      <h2>{name} {line.held ? w(model, 'tk.held') : clock(line.lands_s)}{line.drag_s > 0 && <small> {w(model, 'tk.dragged', { n: minutes(line.drag_s) })}</small>}</h2>
      {children}
      {sheet === 'pace' && <Pace model={model} line={line} tell={told} fire={() => { go('fire'); }} />}
      {sheet === 'plates' && <PlateLines model={model} line={line} tell={tell} />}
      {sheet === 'more' && <MorePlates model={model} line={line} tell={told} />}
      {sheet === 'amend' && <Amend model={model} line={line} tell={tell} />}
      {sheet === 'fire' && (
        <MinuteChoice
          model={model} doings={doings}
          asked={{ covers: line.covers, plates: line.plates.map((one) => ({ dish: one.dish, allergy: [...new Set([...line.allergy, ...one.allergy])] })) }}
          accept={(wanted_s) => {
            told({ kind: 'fire', table: line.table, course: line.course, wanted_s }, w(model, 'tk.fired', { name, at: clock(wanted_s) }));
          }}
        />
      )}
    </section>
  );
}

function nameOf(model: Model, line: Line): string {
  return line.courses > 1 ? `${line.table} ${w(model, 'landing.course', { course: line.course })}` : line.table;
}

interface Sheeted {
  readonly model: Model;
  readonly line: Line;
  readonly tell: (what: What, words: string) => void;
}

function Pace({ model, line, tell, fire }: Sheeted & { fire: () => void }): VNode {
  const name = nameOf(model, line);
  const of = { table: line.table, course: line.course };
  return (
    <div class="keys">
      {DRAGS_MIN.map((n) => (
        <Key key={n} act id={`drag-${n}`} onTap={() => { tell(dragged(line, 60 * n), w(model, 'tk.drags', { name, n })); }}>
          <b>+{n}</b><small>{w(model, 'tk.drag')}</small>
        </Key>
      ))}
      {line.held ? (
        <Key act id="fire" onTap={fire}><span>{w(model, 'tk.fire')}</span></Key>
      ) : (
        <Key act id="hold" onTap={() => { tell({ kind: 'hold', ...of }, w(model, 'tk.is_held', { name })); }}>{w(model, 'tk.hold')}</Key>
      )}
      {[2, 3].filter((n) => n <= line.plates.length).map((n) => (
        <Key key={n} act id={`split-${n}`} on={line.drops === n} onTap={() => {
          tell({ kind: 'split', ...of, drops: n, drops_apart_s: DROPS_APART_S }, w(model, 'tk.is_split', { name, n }));
        }}>
          <b>{n}</b><small>{w(model, 'tk.drops')}</small>
        </Key>
      ))}
      {line.drops > 1 && (
        <Key act id="split-1" onTap={() => { tell({ kind: 'split', ...of, drops: 1 }, w(model, 'tk.is_whole', { name })); }}>{w(model, 'tk.at_once')}</Key>
      )}
      {line.drag_s > 0 && (
        <Key act id="drag-0" onTap={() => { tell({ kind: 'drag', ...of, drag_s: 0 }, w(model, 'tk.drags_no_more', { name })); }}>{w(model, 'tk.no_drag')}</Key>
      )}
    </div>
  );
}

function PlateLines({ model, line, tell }: Sheeted): VNode {
  const left = line.plates.length;
  return (
    <ul class="lines">
      {groups(line.plates).map((group) => {
        const words = groupWords(model, group);
        const key = lastOf(group);
        return (
          <li key={key}>
            <span class="what">{words}<small>{w(model, `tk.stage.${group.stage}`)}</small></span>
            {group.stage !== 'waits' && (
              <Key act id={`again-${key}`} label={w(model, 'tk.again_label', { words })} onTap={() => {
                tell({ kind: 'refire', item: key }, w(model, 'tk.is_again', { item: `${line.table} ${dishName(model, group.dish)}` }));
              }}>{w(model, 'tk.again')}</Key>
            )}
            <Key act id={`off-${key}`} off={left < 2} label={w(model, 'tk.off_label', { words })} onTap={() => {
              tell({ kind: 'amend', table: line.table, course: line.course, take_off: [key] }, w(model, 'tk.is_off', { item: `${line.table} ${dishName(model, group.dish)}` }));
            }}>{w(model, 'tk.off')}</Key>
          </li>
        );
      })}
    </ul>
  );
}

function groupWords(model: Model, group: PlateGroup): string {
  const marks = group.allergy.map((one) => allergenWord(model, one)).join(', ');
  const name = dishName(model, group.dish);
  const dish = group.keys.length > 1 ? `${group.keys.length} ${name}` : name;
  return marks === '' ? dish : `${dish}, ${w(model, 'tk.not_for', { words: marks })}`;
}

function MorePlates({ model, line, tell }: Sheeted): VNode {
  const [more, setMore] = useState<readonly string[]>([]);
  return (
    <>
      <div class="keys">
        {model.house.dishes.map((dish) => {
          const n = more.filter((one) => one === dish.key).length;
          const gone = model.facts !== null && since(model.facts.gone, dish.key) !== undefined;
          return (
            <Key key={dish.key} grow id={`add-${dish.key}`} on={n > 0} off={gone} onTap={() => { setMore([...more, dish.key]); }}>
              <span>{dish.name}</span><b>{n > 0 ? n : ''}</b>
            </Key>
          );
        })}
      </div>
      <div class="keys">
        <Key act grow id="add" off={more.length === 0} onTap={() => {
          tell(
            { kind: 'add', table: line.table, course: line.course, plates: more.map((dish) => ({ dish })) },
            w(model, 'tk.added', { table: line.table, n: more.length }),
          );
        }}>{w(model, 'tk.add_n', { n: more.length })}</Key>
        <Key act id="add-none" off={more.length === 0} onTap={() => { setMore([]); }}>{w(model, 'tk.none')}</Key>
      </div>
    </>
  );
}

function Amend({ model, line, tell }: Sheeted): VNode {
  const name = nameOf(model, line);
  const change = (what: What | null, words: string): (() => void) | null => (what === null ? null : () => { tell(what, words); });
  const keys = [
    ['covers-less', w(model, 'tk.cover_less'), change(recovered(line, -1), w(model, 'tk.now_covers', { name, n: line.covers - 1 }))],
    ['covers-plus', w(model, 'tk.cover_more'), change(recovered(line, 1), w(model, 'tk.now_covers', { name, n: line.covers + 1 }))],
    ['sooner', w(model, 'tk.sooner5'), change(moved(line, -300, model.now_s), w(model, 'tk.now_wanted', { name, at: clock(line.wanted_s - 300) }))],
    ['later', w(model, 'tk.later5'), change(moved(line, 300, model.now_s), w(model, 'tk.now_wanted', { name, at: clock(line.wanted_s + 300) }))],
  ] as const;
  return (
    <>
      <p>{w(model, 'tk.stands_so', { n: line.covers, at: clock(line.wanted_s) })}</p>
      <div class="keys">
        {keys.map(([id, words, act]) => (
          <Key key={id} act id={`amend-${id}`} off={act === null} onTap={() => { act?.(); }}>{words}</Key>
        ))}
      </div>
    </>
  );
}
