// The wall page, for a screen read at three metres and touched by nobody: the next two moves, the next landings.

import type { VNode } from 'preact';

import { along, linesOf, type Axis, type Line } from '../../look/lines.ts';
import { Knot } from '../../look/lines_view.tsx';
import { useSize } from '../../look/measure.ts';
import { clock, countText, minutes } from '../../look/shown.ts';
import type { Form } from '../../look/sizes.ts';
import { say } from '../../words/say.ts';
import { Frame } from '../frame/frame.tsx';
import { nextMoves } from '../hearth/next.ts';
import { actWord, nounOf } from '../hearth/said.ts';
import type { Page } from '../page.ts';

const MOVES = 2;
const LANDINGS: Readonly<Record<Form, number>> = { wide: 4, tall: 9, hand: 9 };
const AHEAD_MIN = 20;

export const Wall: Page = ({ model, doings }) => {
  const {
    house,
    shown,
    facts,
    now_s,
    settings: { language },
  } = model;
  const moves = nextMoves(model).slice(0, MOVES);
  const lines = linesOf(shown?.landings ?? [], facts, now_s);
  return (
    <Frame model={model} doings={doings} page="wall">
      {({ form }) => (
        <>
          <ol class="wall-moves" aria-label={say(language, 'move.then')}>
            {moves.length === 0 && <li class="huge hush">{say(language, 'move.none')}</li>}
            {moves.map(({ move, due_s }) => (
              <li key={`${move.item}${move.act}${move.nth}`} class={due_s <= now_s ? 'huge due' : 'huge'}>
                <b>{move.table}</b>
                <span class="what">
                  {actWord(language, move.act)} <span class="hush">{nounOf(house, move.dish)}</span>
                </span>
                <span class="count">{due_s <= now_s ? say(language, 'now') : countText(due_s - now_s)}</span>
              </li>
            ))}
          </ol>
          <ol class="wall-landings" aria-label={say(language, 'lines')}>
            {lines.slice(0, LANDINGS[form]).map((line) => (
              <li key={line.key} class="large">
                <b>{line.table}</b>
                <span class="minute">{clock(line.lands_s)}</span>
                <Track line={line} now_s={now_s} />
                <span class={line.slip === 'as told' ? 'slip hush' : 'slip'}>
                  {line.slip === 'as told'
                    ? ''
                    : `${line.slip === 'late' ? '+' : '−'}${minutes(line.slip_s)}`}
                </span>
              </li>
            ))}
          </ol>
        </>
      )}
    </Frame>
  );
};

/** A landing's own line in time, from now on. */
function Track({ line, now_s }: { line: Line; now_s: number }): VNode {
  const [ref, [width, height]] = useSize<HTMLDivElement>();
  const u = height / 12;
  const axis: Axis = { from_s: now_s, until_s: now_s + AHEAD_MIN * 60, width: width - 4 * u };
  const within = (at_s: number) => Math.min(axis.width, Math.max(2 * u, along(axis, at_s)));
  const [knot, told] = [within(line.lands_s), within(line.told_s)];
  return (
    <div class="track lines" ref={ref}>
      {width > 0 && (
        <svg width={width} height={height} viewBox={`0 ${-height / 2} ${width} ${height}`} aria-hidden="true">
          <path class="base" d={`M0 0H${knot}`} />
          {line.slip !== 'as told' && <path class="told" d={`M${told} ${-3 * u}V${3 * u}`} />}
          <Knot slip={line.slip} x={knot} u={u} />
        </svg>
      )}
    </div>
  );
}
