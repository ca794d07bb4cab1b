// The day around the night: what is to be done now and next, the oven's hours to scale, all of it by clock. Read only.

import './day.css';

import type { VNode } from 'preact';
import { useState } from 'preact/hooks';

import { wayOut } from '../../core/danger.ts';
import type { Model } from '../../core/model.ts';
import { useWindow } from '../../look/measure.ts';
import { clock, countText } from '../../look/shown.ts';
import type { DayLine, DayNow, KeptDay } from '../../wire.ts';
import type { Page } from '../page.ts';
import { Desk, useRoom } from '../tickets/desk.tsx';
import { Key } from '../tickets/keys.tsx';
import { w } from '../tickets/words.ts';
import { atTop, dateWords, daySecond, linesOf, peopleOf, rowsOf } from './day.ts';
import { StripView } from './strip_view.tsx';

const MOST_ON_TOP = 4; // people whose keys stand on top of a wide glass; else they stand above the lines: own choice

export const Day: Page = ({ model, doings }) => {
  const [figures, setFigures] = useState(false);
  const [chosen, setChosen] = useState<string | null | undefined>(undefined);
  const room = useRoom(model);
  const [width, height] = useWindow();
  const { day } = model;
  const kept = day?.kept ?? null;
  const shown = kept !== null && wayOut(model) === null ? kept : null;
  const people = shown === null ? [] : peopleOf(shown, model.who?.name ?? null);
  const own = model.who !== null && people[0] === model.who.name ? people[0] : null;
  const who = chosen === undefined || (chosen !== null && !people.includes(chosen)) ? own : chosen;
  const above = room !== 'hand' && width > height && people.length <= MOST_ON_TOP;
  const whose = people.length > 0 && <Whose model={model} people={people} who={who} choose={setChosen} />;
  const key = figures ? 'day.back' : 'day.figures';
  const top = shown !== null && (
    <>
      {above && !figures && whose}
      <Key grow id={figures ? 'back' : 'figures'} onTap={() => { setFigures(!figures); }}>{w(model, key)}</Key>
    </>
  );
  return (
    <Desk model={model} doings={doings} page="day" top={top} at={figures ? 'figures' : `day ${day?.day ?? ''}`}>
      {day === null && <p>{w(model, 'day.not_kept')}</p>}
      {day !== null && kept === null && <NoPlan model={model} day={day} />}
      {kept !== null && shown === null && <p>{w(model, 'day.waits')}</p>}
      {day !== null && shown !== null && (figures ? <Figures model={model} kept={shown} /> : <Planned model={model} day={day} kept={shown} who={who} whose={!above && whose} />)}
    </Desk>
  );
};

function Planned({ model, day, kept, who, whose }: { model: Model; day: DayNow; kept: KeptDay; who: string | null; whose: VNode | false }): VNode {
  const now_s = daySecond(day, model.now_s);
  const lines = linesOf(kept, who);
  return (
    <div class="day">
      <Top model={model} lines={lines} now_s={now_s} />
      {kept.problems.length > 0 && (
        <section aria-label={w(model, 'day.problems')}>
          {kept.problems.map((words) => <p key={words} class="warn">{words}</p>)}
        </section>
      )}
      <StripView model={model} kept={kept} now_s={now_s} />
      {whose}
      <section>
        <h2>{who === null ? w(model, 'day.all_lines') : w(model, 'day.lines_of', { who })}, {dateWords(day.day, model.settings.language)}</h2>
        <Lines model={model} lines={lines} now_s={now_s} />
      </section>
      {kept.cautions.length > 0 && (
        <section class="day-cautions" aria-label={w(model, 'day.cautions')}>
          {kept.cautions.map((words) => <p key={words} class="caution">{words}</p>)}
        </section>
      )}
    </div>
  );
}

function Whose({ model, people, who, choose }: { model: Model; people: readonly string[]; who: string | null; choose: (who: string | null) => void }): VNode {
  return (
    <div class="day-whose" role="group" aria-label={w(model, 'day.whose')}>
      {people.map((one) => <Key key={one} grow id={`who-${one}`} on={one === who} onTap={() => { choose(one); }}>{one}</Key>)}
      <Key grow id="who-everybody" on={who === null} onTap={() => { choose(null); }}>{w(model, 'day.everybody')}</Key>
    </div>
  );
}

function Top({ model, lines, now_s }: { model: Model; lines: readonly DayLine[]; now_s: number }): VNode {
  const { now, more, next } = atTop(lines, now_s);
  const [first] = next;
  return (
    <section class="day-top">
      {now.length === 0 && <p class="day-quiet">{first === undefined ? w(model, 'day.over') : w(model, 'day.nothing_until', { at: clock(first.from_s) })}</p>}
      <ul class="day-now" aria-label={w(model, 'day.now')}>
        {now.map((line) => (
          <li key={`${line.from_s} ${line.who} ${line.what}`}>
            <b class="day-clock">{w(model, 'day.now')}</b>
            <span class="what"><b>{line.what}{line.how_much !== '' && `, ${line.how_much}`}</b><small>{details(model, line, true)}</small></span>
            <span class="who">{line.who}</span>
          </li>
        ))}
      </ul>
      {more > 0 && <p class="hush">{w(model, 'day.more_now', { count: more })}</p>}
      <ol class="day-next">
        {next.map((line) => (
          <li key={`${line.from_s} ${line.who} ${line.what}`}>
            <span class="day-clock">{clock(line.from_s)}</span>
            <span class="what"><span>{line.what}{line.how_much !== '' && `, ${line.how_much}`}</span><small>{w(model, 'day.in', { left: countText(line.from_s - now_s) })}{line.where !== '' && `, ${line.where}`}</small></span>
            <span class="who">{line.who}</span>
          </li>
        ))}
      </ol>
    </section>
  );
}

function Lines({ model, lines, now_s }: { model: Model; lines: readonly DayLine[]; now_s: number }): VNode {
  return (
    <ol class="day-lines">
      {rowsOf(lines, now_s).map((row, n) => {
        if (row.is === 'midnight') return <li key={n} class="day-break hush">{w(model, 'day.after_midnight')}</li>;
        if (row.is === 'clock') return <li key={n} class="day-break day-here">{w(model, 'day.it_is', { at: clock(now_s) })}</li>;
        const { line, stand } = row;
        return (
          <li key={n} class={stand} aria-current={stand === 'now' ? 'time' : undefined}>
            <span class="day-clock">{clock(line.from_s)}</span>
            <span class="what"><b>{line.what}{line.how_much !== '' && `, ${line.how_much}`}</b><small>{details(model, line, false)}</small></span>
            <span class="who">{line.who}<small>{w(model, `day.kind.${line.kind}`)}</small></span>
          </li>
        );
      })}
    </ol>
  );
}

/** Until when, where, by when at the latest and why, as far as the line says. */
function details(model: Model, { where, until_s, due_s, why }: DayLine, now: boolean): string {
  const parts = [
    until_s === null ? '' : w(model, 'day.until', { at: clock(until_s) }),
    where,
    due_s === null ? '' : w(model, 'day.due', { at: clock(due_s) }),
    now ? '' : why,
  ];
  return parts.filter((one) => one !== '').join(' · ');
}

function Figures({ model, kept }: { model: Model; kept: KeptDay }): VNode {
  return (
    <section class="day-figures">
      <h2>{w(model, kept.figures.length === 0 ? 'day.no_figures' : 'day.figures_of')}</h2>
      <dl>
        {kept.figures.map((one) => (
          <div key={one.words}>
            <dt>{one.words}</dt>
            <dd><b>{one.value}</b><span class="hush">{one.sum}</span></dd>
          </div>
        ))}
      </dl>
    </section>
  );
}

function NoPlan({ model, day }: { model: Model; day: DayNow }): VNode {
  const said = { day: dateWords(day.day, model.settings.language), date: day.day };
  if (day.wrong.length === 0) return <p>{w(model, 'day.none', said)}</p>;
  return (
    <section class="day-broken">
      <p class="warn">{w(model, 'day.broken', said)}</p>
      {day.wrong.map((words) => <p key={words}>{words}</p>)}
    </section>
  );
}
