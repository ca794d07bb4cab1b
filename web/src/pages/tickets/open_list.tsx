// The night's open tickets as lines of text, the soonest landing first; the one chosen has its keys beside it.

import type { VNode } from 'preact';

import type { Model } from '../../core/model.ts';
import { clock, minutes } from '../../look/shown.ts';

import type { Line } from './open.ts';
import { allergenWord, covers, dishWords, w } from './words.ts';

interface Props {
  readonly model: Model;
  readonly lines: readonly Line[];
  readonly chosen: Line | undefined;
  /** Null for somebody who only reads: then a line is no key. */
  readonly choose: ((line: Line) => void) | null;
}

export function OpenList({ model, lines, chosen, choose }: Props): VNode {
  if (lines.length === 0) return <p>{w(model, 'tk.none_open')}</p>;
  return (
    <ul class="tk-open">
      {lines.map((line) => (
        <li key={`${line.table}/${line.course}`}>
          {choose === null ? <div class="tk-ticket"><Told model={model} line={line} /></div> : (
            <button
              type="button" class={line === chosen ? 'tk-ticket chosen' : 'tk-ticket'} aria-pressed={line === chosen}
              data-key={`ticket-${line.table}-${line.course}`} onClick={() => { choose(line); }}
            >
              <Told model={model} line={line} />
            </button>
          )}
        </li>
      ))}
    </ul>
  );
}

function Told({ model, line }: { model: Model; line: Line }): VNode {
  return (
    <>
      <b>{line.table}</b>
      <span class="what">{dishWords(model, line.dishes)}<small>{stands(model, line)}</small></span>
      <span class="tk-when">{line.held ? w(model, 'tk.held') : clock(line.lands_s)}<small>{lateness(model, line)}</small></span>
    </>
  );
}

/** Course, guests, marks and how far it is, in a few words. */
function stands(model: Model, line: Line): string {
  const said = [covers(model, line.covers)];
  if (line.courses > 1) said.unshift(w(model, 'landing.course', { course: line.course }));
  const marks = new Set([...line.allergy, ...line.plates.flatMap((plate) => plate.allergy)]);
  if (marks.size > 0) said.push(w(model, 'tk.not_for', { words: [...marks].map((one) => allergenWord(model, one)).join(', ') }));
  if (line.on > 0) said.push(w(model, 'tk.on_hearth', { n: line.on }));
  if (line.off_hearth > 0) said.push(w(model, 'tk.off_hearth', { n: line.off_hearth }));
  if (line.drops > 1) said.push(w(model, 'tk.drops_n', { n: line.drops }));
  if (model.queue.some((one) => 'table' in one.what && one.what.table === line.table)) said.push(w(model, 'tk.waits_here'));
  return said.join(' · ');
}

function lateness(model: Model, line: Line): string {
  if (line.held) return '';
  if (!line.planned) return w(model, 'tk.as_wanted');
  const n = minutes(line.behind_s);
  if (n === 0) return w(model, 'as_told');
  return line.behind_s > 0 ? w(model, 'late', { minutes: n }) : w(model, 'early', { minutes: n });
}
