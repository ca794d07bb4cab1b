// The pass page: tables in the order they land, early as well as late, and what went otherwise.

import { Fragment, type VNode } from 'preact';

import type { Language } from '../../core/model.ts';
import { along, type Axis, type Line } from '../../look/lines.ts';
import { Knot } from '../../look/lines_view.tsx';
import { useSize } from '../../look/measure.ts';
import { Back } from '../../look/round.tsx';
import { clock, minutes } from '../../look/shown.ts';
import type { Form } from '../../look/sizes.ts';
import type { ShownHouse } from '../../wire.ts';
import { say } from '../../words/say.ts';
import { Frame, PagesKey } from '../frame/frame.tsx';
import { once } from '../frame/keys.ts';
import { useTold } from '../frame/told.ts';
import { nounOf } from '../hearth/said.ts';
import type { Page } from '../page.ts';
import { atPass, countedWords, news, sizeWords, slipWords, type AtPass } from './landings.ts';

// Landings shown large, each with its key: those the pass is plating.
const LARGE: Readonly<Record<Form, number>> = { wide: 2, tall: 2, hand: 1 };

export const Pass: Page = ({ model, doings }) => {
  const {
    house,
    now_s,
    settings: { language },
  } = model;
  const told = useTold(model, doings);
  const landings = atPass(model);
  const last = told.last;
  return (
    <Frame model={model} doings={doings} page="pass">
      {({ u, form, banded }) => {
        const large = Math.max(1, LARGE[form] - (banded ? 1 : 0));
        return (
          <>
            {landings.length === 0 && <p class="word hush none">{say(language, 'lines.none')}</p>}
            {landings.slice(0, large).map((one) => (
              <Landing
                key={one.line.key}
                one={one}
                house={house}
                language={language}
                now_s={now_s}
                u={u}
                onLanded={() => told.tell({ kind: 'landed', table: one.line.table, course: one.line.course })}
              />
            ))}
            <div class="rest">
              <Later landings={landings.slice(large)} language={language} />
              {news(model).map((words) => (
                <p key={words} class="word">
                  {words}
                </p>
              ))}
            </div>
            {last !== null && last.what.kind === 'landed' ? (
              <button type="button" class="key act undo" onClick={() => told.undo(last.id)}>
                <Back />
                <span class="word">{say(language, 'landed.undo', { table: last.what.table })}</span>
              </button>
            ) : (
              <PagesKey language={language} />
            )}
          </>
        );
      }}
    </Frame>
  );
};

interface LandingProps {
  readonly one: AtPass;
  readonly house: ShownHouse;
  readonly language: Language;
  readonly now_s: number;
  readonly u: number;
  readonly onLanded: () => void;
}

function Landing({
  one: { line, out, last_drop, holds_in_10 },
  house,
  language,
  now_s,
  u,
  onLanded,
}: LandingProps): VNode {
  const names = out.map((dish) => nounOf(house, dish));
  return (
    <section
      class="landing"
      aria-label={say(language, 'landing', { table: line.table, clock: clock(line.lands_s) })}
    >
      <Rule line={line} now_s={now_s} u={u} />
      <div class="told">
        <p class="far">
          <b>{line.table}</b>
          <span class={line.slip === 'as told' ? 'minute' : 'minute off'}>{clock(line.lands_s)}</span>
        </p>
        <p class="word size">{sizeWords(language, line)}</p>
        <p class="word slip">
          {slipWords(language, line)}
          {holds_in_10 !== null && holds_in_10 < 8 && `, ${say(language, 'sure', { share: holds_in_10 })}`}
        </p>
        <p class="word plates">
          {out.length === 0
            ? say(language, 'all_ready')
            : say(language, 'out', { plates: countedWords(names) })}
        </p>
      </div>
      {last_drop && (
        <button
          type="button"
          class="key act"
          onClick={once(onLanded)}
          aria-label={`${line.table}: ${say(language, 'landed')}`}
        >
          <span class="word">{say(language, 'landed')}</span>
        </button>
      )}
    </section>
  );
}

const AHEAD_MIN = 20;

/** The rule over a landing is its line in time: where it was told first, where it lands, all on one axis. */
function Rule({ line, now_s, u }: { line: Line; now_s: number; u: number }): VNode {
  const [ref, [width]] = useSize<HTMLDivElement>();
  const axis: Axis = { from_s: now_s - 60, until_s: now_s + AHEAD_MIN * 60, width };
  const within = (at_s: number) => Math.min(width - 3 * u, Math.max(3 * u, along(axis, at_s)));
  const [knot, told] = [within(line.lands_s), within(line.told_s)];
  return (
    <div class="rule lines" ref={ref}>
      {width > 0 && (
        <svg width={width} height={8 * u} viewBox={`0 ${-4 * u} ${width} ${8 * u}`} aria-hidden="true">
          <path class="base" d={`M0 0H${width}`} />
          <path class="now" d={`M${along(axis, now_s)} ${-3.5 * u}V${3.5 * u}`} />
          {line.slip !== 'as told' && (
            <path class="told" d={`M${told} ${-2.5 * u}V${2.5 * u}M${told} 0H${knot}`} />
          )}
          <Knot slip={line.slip} x={knot} u={u} />
        </svg>
      )}
    </div>
  );
}

function Later({ landings, language }: { landings: readonly AtPass[]; language: Language }): VNode | null {
  if (landings.length === 0) return null;
  return (
    <p class="word later">
      <span class="hush">{say(language, 'more')}</span>
      {landings.slice(0, 3).map(({ line }) => (
        <Fragment key={line.key}>
          {' '}
          <span class="one">
            <b>{line.table}</b> {clock(line.lands_s)}
            {line.slip !== 'as told' && ` ${line.slip === 'late' ? '+' : '−'}${minutes(line.slip_s)}`}
          </span>
        </Fragment>
      ))}
    </p>
  );
}
