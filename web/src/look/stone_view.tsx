// The stone, drawn: heat as texture with a few figures, the flame where it burns, items where they stand.

import type { VNode } from 'preact';
import { useMemo } from 'preact/hooks';

import type { Settings } from '../core/model.ts';
import type { Facts, Shown, ShownHouse, ShownStay } from '../wire.ts';
import type { Coming, Standing } from '../pages/hearth/stand.ts';
import { useSize } from './measure.ts';
import { degrees } from './shown.ts';
import * as geometry from './stone.ts';
import type { Box, Point } from './stone.ts';

const LETTER = 0.5; // width of a letter of the bundled face, as a share of its size, with room
const WEDGE_MM = 4.6;

export interface StoneProps {
  readonly house: ShownHouse;
  readonly fire: Shown['fire'] | null;
  readonly facts: Facts | null;
  readonly now_s: number;
  readonly standing: readonly Standing[];
  readonly coming: readonly Coming[];
  /** The item of the very next move. */
  readonly first: string | null;
  readonly unit: Settings['temperature'];
  /** Pixels of a millimetre as drawn, and the size of a word's letters in them. */
  readonly u: number;
  readonly word_px: number;
  readonly label: string;
  /** A place that is being pointed at, and what a tap on the stone does. */
  readonly aim?: Point | null;
  readonly onTap?: (at: Point) => void;
}

export function Stone(props: StoneProps): VNode {
  const [ref, [width, height]] = useSize<HTMLDivElement>();
  const view = useMemo(() => geometry.viewOf(props.house), [props.house]);
  const scale = Math.min(width / view.width, height / view.height);
  return (
    <div class="stone" ref={ref}>
      {scale > 0 && <Drawing {...props} view={view} scale={scale} />}
    </div>
  );
}

interface DrawingProps extends StoneProps {
  readonly view: Box;
  readonly scale: number;
}

function Drawing(props: DrawingProps): VNode {
  const { house, view, scale, onTap } = props;
  const tap = (event: MouseEvent): void => {
    const box = (event.currentTarget as Element).getBoundingClientRect();
    onTap?.([(event.clientX - box.left) / scale + view.x, -((event.clientY - box.top) / scale + view.y)]);
  };
  return (
    <svg
      role="img"
      aria-label={props.label}
      width={view.width * scale}
      height={view.height * scale}
      viewBox={`${view.x * scale} ${view.y * scale} ${view.width * scale} ${view.height * scale}`}
      onClick={onTap && tap}
    >
      <g transform={`scale(${scale})`}>
        <path class="slab" d={geometry.outlinePath(house.outline_m)} />
        <Texture house={house} heat_C={props.fire?.heat_C ?? []} />
        <Flames house={house} fire={props.fire} />
        <path class="edge" d={geometry.edgePath(house)} />
      </g>
      <Shut {...props} />
      <Figures {...props} />
      {props.coming.map((one) => (
        <Comes key={one.move.item} one={one} {...props} />
      ))}
      {props.standing.map((one) => (
        <Item key={one.stay.item} one={one} {...props} />
      ))}
      {props.aim && <Aim at={props.aim} {...props} />}
    </svg>
  );
}

function Texture({ house, heat_C }: { house: ShownHouse; heat_C: readonly number[] }): VNode {
  const dots = useMemo(() => geometry.dotsPath(house, heat_C), [house, heat_C]);
  return <path class="heat" d={dots} />;
}

function Flames({ house, fire }: { house: ShownHouse; fire: Shown['fire'] | null }): VNode {
  const level = fire === null ? -1 : house.levels.indexOf(fire.level);
  const out = fire === null || fire.out_since_s !== null;
  const reach_m = 0.05 + (0.15 * (level + 1)) / Math.max(1, house.levels.length);
  return (
    <>
      {house.flames.map((flame, i) => (
        <g key={i} class={out ? 'flame out' : 'flame'}>
          {!out && <path d={geometry.tonguesPath(house, flame.along_m, reach_m)} />}
          <path class="burner" d={`M${flame.along_m.map(([x, y]) => `${x} ${-y}`).join('L')}`} />
        </g>
      ))}
    </>
  );
}

function Shut({ facts, now_s, scale }: DrawingProps): VNode {
  const open = (facts?.shut ?? []).filter((one) => one.from_s <= now_s && now_s < one.until_s);
  return (
    <>
      {open.map((one) => (
        <circle
          key={`${one.x_m} ${one.y_m} ${one.from_s}`}
          class="shut"
          cx={one.x_m * scale}
          cy={-one.y_m * scale}
          r={one.radius_m * scale}
        />
      ))}
    </>
  );
}

/** Temperatures in figures at a few places where the stone is free. */
function Figures({ house, fire, standing, coming, scale, unit, word_px }: DrawingProps): VNode {
  const places = useMemo(() => {
    const items = [...standing.map((one) => one.stay), ...coming.map((one) => one.stay)].map((stay) =>
      geometry.boxOf(stay, 0.03),
    );
    return geometry.figurePlaces(house, items, (3 * LETTER * word_px) / scale, (0.8 * word_px) / scale);
  }, [house, scale, word_px, placesKey(standing), placesKey(coming)]);
  const heat_C = fire?.heat_C ?? [];
  return (
    <>
      {places.map(
        ({ at: [x, y], cell }) =>
          heat_C[cell] !== undefined && (
            <text key={`${x} ${y}`} class="figure" x={x * scale} y={-y * scale + word_px * 0.35}>
              {degrees(heat_C[cell], unit)}
            </text>
          ),
      )}
    </>
  );
}

function placesKey(all: readonly { readonly stay: ShownStay }[]): string {
  return all.map(({ stay }) => `${stay.item}${stay.x_m},${stay.y_m}`).join(' ');
}

function Outline({ stay, scale, kind }: { stay: ShownStay; scale: number; kind: string }): VNode {
  const [w, h] = [stay.width_m * scale, stay.depth_m * scale];
  return stay.shape === 'disc' ? (
    <circle class={kind} r={w / 2} />
  ) : (
    <rect class={kind} x={-w / 2} y={-h / 2} width={w} height={h} rx={Math.min(w, h) * 0.08} />
  );
}

function Item({
  one: { stay, facing_deg, next },
  coming,
  first,
  scale,
  u,
  word_px,
  view,
}: DrawingProps & { one: Standing }): VNode {
  const mine = stay.item === first;
  const turning =
    mine && next !== null && (next.move.act === 'turn' || next.move.act === 'spin') ? next.move.to_deg : null;
  const others = coming.map((one) => geometry.boxOf(one.stay));
  return (
    <g class={mine ? 'item first' : 'item'} style={placeStyle(stay, scale)}>
      <Outline stay={stay} scale={scale} kind="body" />
      <g transform={`scale(${scale})`}>
        {turning !== null && (
          <path class="wedge ghost" d={geometry.wedgePath(stay, turning, (WEDGE_MM * u) / scale)} />
        )}
        {facing_deg !== null && (
          <path class="wedge" d={geometry.wedgePath(stay, facing_deg, (WEDGE_MM * u) / scale)} />
        )}
      </g>
      <Name stay={stay} scale={scale} word_px={word_px} view={view} others={others} />
    </g>
  );
}

function Comes({
  one: { move, stay, from },
  standing,
  first,
  scale,
  u,
  word_px,
  view,
}: DrawingProps & { one: Coming }): VNode {
  const others = standing.map((one) => geometry.boxOf(one.stay));
  return (
    <>
      {from !== null && (
        <line
          class="way"
          x1={from.x_m * scale}
          y1={-from.y_m * scale}
          x2={stay.x_m * scale}
          y2={-stay.y_m * scale}
        />
      )}
      <g class={move.item === first ? 'coming first' : 'coming'} style={placeStyle(stay, scale)}>
        <Outline stay={stay} scale={scale} kind="body" />
        {move.to_deg !== null && (
          <g transform={`scale(${scale})`}>
            <path class="wedge ghost" d={geometry.wedgePath(stay, move.to_deg, (WEDGE_MM * u) / scale)} />
          </g>
        )}
        <Name stay={stay} scale={scale} word_px={word_px} view={view} others={others} />
      </g>
    </>
  );
}

/** The table's name: inside, or beside an item too small for it. */
function Name({
  stay,
  scale,
  word_px,
  view,
  others,
}: {
  stay: ShownStay;
  scale: number;
  word_px: number;
  view: Box;
  others: readonly Box[];
}): VNode {
  const wide_m = (stay.table.length * LETTER * word_px) / scale;
  const high_m = (0.86 * word_px) / scale;
  const fits = Math.min(stay.width_m, 1e9) > wide_m && stay.depth_m > high_m;
  const [x, y] = fits
    ? [0, 0]
    : relative(geometry.labelBeside(geometry.boxOf(stay), wide_m, high_m, others, view), stay);
  return (
    <text class={fits ? 'name' : 'name beside'} x={x * scale} y={-y * scale + word_px * 0.35}>
      {stay.table}
    </text>
  );
}

function relative([x, y]: Point, stay: ShownStay): Point {
  return [x - stay.x_m, y - stay.y_m];
}

function placeStyle(stay: ShownStay, scale: number): { transform: string } {
  return { transform: `translate(${(stay.x_m * scale).toFixed(1)}px, ${(-stay.y_m * scale).toFixed(1)}px)` };
}

function Aim({ at: [x, y], scale, u }: DrawingProps & { at: Point }): VNode {
  const r = 6 * u;
  return (
    <g class="aim" transform={`translate(${x * scale} ${-y * scale})`}>
      <circle r={r} />
      <path
        d={`M${-r * 1.5} 0H${-r * 0.5}M${r * 0.5} 0H${r * 1.5}M0 ${-r * 1.5}V${-r * 0.5}M0 ${r * 0.5}V${r * 1.5}`}
      />
    </g>
  );
}
