// The night again: the stone as it was beside what was meant, the landing lines, and why late tables were late.

import './replay.css';

import type { VNode } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';

import type { Doings, Model } from '../../core/model.ts';
import { clock, minutes } from '../../look/shown.ts';
import { edgePath, outlinePath, tonguesPath, viewOf } from '../../look/stone.ts';
import type { Late, Replay as Again } from '../../wire.ts';
import type { Page } from '../page.ts';
import { Desk, useRoom } from '../tickets/desk.tsx';
import { Key } from '../tickets/keys.tsx';
import { w } from '../tickets/words.ts';
import { causeWords, oneCause } from './causes.ts';
import { SPEED, momentOf, share, stepped, type Beside, type Landing, type Moment, type OnStone } from './night.ts';

const TICK_MS = 250;

export const Replay: Page = ({ model, doings }) => {
  const [again, words] = useReplay(model, doings);
  const [at_s, setAt] = useState<number | null>(null);
  const [plays, setPlays] = useState(false);
  const [beside, setBeside] = useState<Beside>('first');
  const [seen, setSeen] = useState<'night' | 'late'>('night');
  const now_s = again === null ? 0 : at_s ?? again.from_s;
  usePlaying(plays && again !== null, () => {
    if (again === null) return;
    const next = stepped(again, now_s, (SPEED * TICK_MS) / 1000);
    setAt(next);
    if (next >= again.until_s) setPlays(false);
  });
  const go = (by_s: number): void => { if (again !== null) setAt(stepped(again, now_s, by_s)); };
  return (
    <Desk model={model} doings={doings} page="replay" at={seen} top={
      <>
        <Key id="see-night" grow on={seen === 'night'} onTap={() => { setSeen('night'); }}>{w(model, 'replay.stone')}</Key>
        <Key id="see-late" grow on={seen === 'late'} onTap={() => { setSeen('late'); }}>{w(model, 'replay.late_n', { n: again?.late.length ?? 0 })}</Key>
        <Key id="beside" grow onTap={() => { setBeside(beside === 'first' ? 'then' : 'first'); }}>{w(model, `replay.beside.${beside}`)}</Key>
        
      </>
    } foot={again !== null && seen === 'night' && (
      <Time model={model} again={again} now_s={now_s} plays={plays} go={go} play={() => { setPlays(!plays); }} />
    )}>
      {words !== '' && <p class="warn" role="alert">{words}</p>}
      {again === null ? <p>{w(model, 'replay.asking')}</p> : seen === 'late' ? (
        <WhyLate model={model} late={again.late} at={(s) => { setAt(stepped(again, s, 0)); setSeen('night'); }} />
      ) : (
        <Night model={model} moment={momentOf(again, now_s, beside)} />
      )}
    </Desk>
  );
};

/** Asked for once: a night that goes on is asked for again by coming back to the page. */
function useReplay(model: Model, doings: Doings): readonly [Again | null, string] {
  const [again, setAgain] = useState<Again | null>(null);
  const [words, setWords] = useState('');
  useEffect(() => {
    if (again !== null) return undefined;
    let still = true;
    doings.ask<Again>('/api/replay').then(
      (told) => { if (still) { setAgain(told); setWords(''); } },
      (err: unknown) => { if (still) setWords(err instanceof Error ? err.message : String(err)); },
    );
    return () => { still = false; };
  }, [model.link]);
  return [again, words];
}

/** Ticks while it plays. The page is drawn anew more often than that: the timer must outlive a drawing. */
function usePlaying(plays: boolean, tick: () => void): void {
  const last = useRef(tick);
  last.current = tick;
  useEffect(() => {
    if (!plays) return undefined;
    const timer = setInterval(() => { last.current(); }, TICK_MS);
    return () => { clearInterval(timer); };
  }, [plays]);
}

interface TimeProps {
  readonly model: Model;
  readonly again: Again;
  readonly now_s: number;
  readonly plays: boolean;
  readonly go: (by_s: number) => void;
  readonly play: () => void;
}

function Time({ model, again, now_s, plays, go, play }: TimeProps): VNode {
  const done = `${(100 * share(again, now_s)).toFixed(2)}%`;
  return (
    <div class="replay-time">
      <div class="replay-span" role="img" aria-label={w(model, 'replay.span', { from: clock(again.from_s), until: clock(again.until_s), at: clock(now_s) })}>
        <span style={{ width: done }} />
        {again.late.map((late) => <i key={`${late.table}/${late.course}`} style={{ left: `${(100 * share(again, late.landed_s)).toFixed(2)}%` }} />)}
      </div>
      <div class="keys">
        <Key id="back-10" onTap={() => { go(-600); }} label={`−10, ${w(model, 'replay.back', { n: 10 })}`}>−10</Key>
        <Key id="back-1" onTap={() => { go(-60); }} label={`−1, ${w(model, 'replay.back', { n: 1 })}`}>−1</Key>
        <b class="replay-clock">{clock(Math.floor(now_s / 60) * 60)}</b>
        <Key id="on-1" onTap={() => { go(60); }} label={`+1, ${w(model, 'replay.on', { n: 1 })}`}>+1</Key>
        <Key id="on-10" onTap={() => { go(600); }} label={`+10, ${w(model, 'replay.on', { n: 10 })}`}>+10</Key>
        <Key id="play" grow on={plays} onTap={play}>{plays ? w(model, 'replay.stop') : w(model, 'replay.play')}</Key>
      </div>
    </div>
  );
}

function Night({ model, moment }: { model: Model; moment: Moment }): VNode {
  const room = useRoom(model);
  return (
    <div class="replay-night" data-room={room}>
      <figure>
        <StoneThen model={model} moment={moment} />
        <figcaption><span class="is">{w(model, 'replay.is')}</span> <span class="meant">{w(model, 'replay.meant')}</span></figcaption>
      </figure>
      <div class="replay-beside">
        <ul class="lines">
          {moment.landings.length === 0 && <li>{w(model, 'replay.no_landing')}</li>}
          {moment.landings.map((one) => <LandingThen key={`${one.table}/${one.course}`} model={model} landing={one} at_s={moment.at_s} />)}
        </ul>
        <ul class="replay-marks">
          {moment.marks.map((mark) => <li key={`${mark.at_s}${mark.words}`}><small>{clock(mark.at_s)}</small> {oneCause(model, mark)}</li>)}
        </ul>
      </div>
    </div>
  );
}

function StoneThen({ model, moment }: { model: Model; moment: Moment }): VNode {
  const house = model.house;
  const view = viewOf(house);
  return (
    <svg class="replay-stone" viewBox={`${view.x} ${view.y} ${view.width} ${view.height}`} role="img" aria-label={stoneWords(model, moment)}>
      <path class="floor" d={outlinePath(house.outline_m)} />
      <path class="edge" d={edgePath(house)} />
      {house.flames.map((flame, n) => <path key={n} class="flame" d={tonguesPath(house, flame.along_m, 0.1)} />)}
      {moment.shut.map((mark) => <circle key={`${mark.at_s}`} class="shut" cx={mark.x_m ?? 0} cy={-(mark.y_m ?? 0)} r={mark.radius_m ?? 0} />)}
      {moment.meant.map((one) => <Item key={one.item} model={model} item={one} kind="meant" />)}
      {moment.stood.map((one) => <Item key={one.item} model={model} item={one} kind="stood" />)}
    </svg>
  );
}

function stoneWords(model: Model, moment: Moment): string {
  return moment.stood.length === 0 ? w(model, 'stone.empty') : moment.stood.map((one) => one.item).join(', ');
}

/** To scale as the house's dish is; how it was turned is not kept, so boxes stand square. */
function Item({ model, item, kind }: { model: Model; item: OnStone; kind: 'meant' | 'stood' }): VNode {
  const dish = model.house.dishes.find((one) => one.key === item.dish);
  const [width, depth] = [dish?.width_m ?? 0.2, dish?.depth_m ?? 0.2];
  return (
    <g class={kind}>
      {dish?.shape === 'box'
        ? <rect x={item.x_m - width / 2} y={-item.y_m - depth / 2} width={width} height={depth} />
        : <circle cx={item.x_m} cy={-item.y_m} r={width / 2} />}
      {kind === 'stood' && <text x={item.x_m} y={-item.y_m}>{item.table}</text>}
    </g>
  );
}

const BACK_S = 600; // of a landing line before now, and ahead
const AHEAD_S = 2400;

/** One strand: from its call to its landing, with the minute first told as a hollow mark. */
function LandingThen({ model, landing, at_s }: { model: Model; landing: Landing; at_s: number }): VNode {
  const x = (s: number): number => Math.min(100, Math.max(0, (100 * (s - at_s + BACK_S)) / (BACK_S + AHEAD_S)));
  const ends_s = landing.landed_s ?? landing.then_s ?? landing.wanted_s;
  const n = minutes(landing.behind_s);
  const late = n === 0 ? w(model, 'as_told') : landing.behind_s > 0 ? w(model, 'late', { minutes: n }) : w(model, 'early', { minutes: n });
  return (
    <li>
      <b class="replay-table">{landing.table}</b>
      <span class="what">
        <svg class="replay-line" viewBox="0 0 100 8" preserveAspectRatio="none" aria-hidden="true">
          <line class="now" x1={x(at_s)} x2={x(at_s)} y1="0" y2="8" />
          <line class="strand" x1={x(landing.called_s)} x2={x(ends_s)} y1="4" y2="4" />
          {landing.first_s !== null && <line class="told" x1={x(landing.first_s)} x2={x(landing.first_s)} y1="0.5" y2="7.5" />}
          <line class={landing.landed_s === null ? 'lands' : 'landed'} x1={x(ends_s)} x2={x(ends_s)} y1="0.5" y2="7.5" />
        </svg>
        <small>{landing.landed_s === null ? w(model, 'replay.then', { at: clock(ends_s) }) : w(model, 'replay.landed', { at: clock(ends_s) })}{landing.first_s !== null && ` · ${w(model, 'replay.first', { at: clock(landing.first_s) })} · ${late}`}</small>
      </span>
    </li>
  );
}

function WhyLate({ model, late, at }: { model: Model; late: readonly Late[]; at: (s: number) => void }): VNode {
  if (late.length === 0) return <p>{w(model, 'closing.none_late', { n: minutes(model.house.late_after_s) })}</p>;
  return (
    <ul class="replay-late">
      {late.map((one) => (
        <li key={`${one.table}/${one.course}`}>
          <h2>{w(model, 'closing.late_line', { table: one.table, told: clock(one.told_s), landed: clock(one.landed_s), n: minutes(one.landed_s - one.told_s) })}</h2>
          <ul class="lines">
            {one.steps.map((step) => (
              <li key={`${step.at_s}${step.added_s}`}>
                <span class="what">{causeWords(model, step)}</span>
                <Key id={`at-${one.table}-${Math.round(step.at_s)}`} onTap={() => { at(step.at_s - 60); }} label={w(model, 'replay.see', { at: clock(step.at_s) })}>{clock(step.at_s)}</Key>
              </li>
            ))}
          </ul>
          <p class="hush">{w(model, 'late.sum', { n: minutes(one.landed_s - one.told_s) })}</p>
        </li>
      ))}
    </ul>
  );
}
