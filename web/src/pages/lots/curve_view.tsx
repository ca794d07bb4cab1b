// The picture of a cooling lot, drawn in millimetres of the glass.

import type { VNode } from 'preact';

import type { Model } from '../../core/model.ts';
import type { ToldLot } from '../../wire.ts';
import { useRoom } from '../tickets/desk.tsx';
import { w } from '../tickets/words.ts';
import { curveOf } from './curve.ts';

const MARGIN = { left: 4, top: 8, right: 6, below: 9 };

export function CurveView({ model, lot }: { model: Model; lot: ToldLot }): VNode | null {
  const hand = useRoom(model) === 'hand';
  const wide = hand ? 96 : 190;
  const high = hand ? 62 : 70;
  const drawn = curveOf(lot, { wide, high }, model.settings.temperature, model.now_s);
  if (drawn === null) return null;
  const box = `${-MARGIN.left} ${-MARGIN.top} ${wide + MARGIN.left + MARGIN.right} ${high + MARGIN.top + MARGIN.below}`;
  const every = hand ? 2 : 1;
  return (
    <figure class="lot-curve">
      <svg viewBox={box} role="img" aria-label={w(model, 'lots.picture')}>
        <path class="late" d={drawn.stair} />
        <path class="base" d={`M0 ${high}L${wide} ${high}`} />
        {drawn.hours.filter((_, n) => n % every === 0).map((one) => <text key={one.words} x={one.x} y={high + 6.5} class="hour">{one.words}</text>)}
        {drawn.corners.map((one) => <text key={one.words} x={one.x + 1.5} y={one.y - 2} class="limit">{one.words}</text>)}
        {drawn.foreseen !== '' && <path class="foreseen" d={drawn.foreseen} />}
        {drawn.now !== null && <path class="now" d={`M${drawn.now} ${-MARGIN.top + 5}L${drawn.now} ${high}`} />}
        {drawn.now !== null && <text x={drawn.now} y={-3.5} class="now-word">{w(model, 'lots.now')}</text>}
        {drawn.dots.map((one, n) => (
          <g key={n}>
            <circle cx={one.x} cy={one.y} r="1.9" />
            <text x={one.x + 3} y={one.y - 1.5} class="read">{one.words}</text>
          </g>
        ))}
      </svg>
      {lot.foreseen !== null && <figcaption class="hush">{w(model, 'lots.foreseen', { way: lot.foreseen.way })}</figcaption>}
    </figure>
  );
}
