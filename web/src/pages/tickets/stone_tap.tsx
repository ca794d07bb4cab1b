// The stone to scale, to say by one tap where something is spilt; by keyboard with arrows and Enter.

import type { VNode } from 'preact';
import { useRef, useState } from 'preact/hooks';

import type { Model } from '../../core/model.ts';
import { edgePath, inside, outlinePath, tonguesPath, viewOf, type Point } from '../../look/stone.ts';
import { w } from './words.ts';

const STEP_M = 0.05;

interface Props {
  readonly model: Model;
  readonly radius_m: number;
  readonly onTap: (x_m: number, y_m: number) => void;
}

export function StoneTap({ model, radius_m, onTap }: Props): VNode {
  const svg = useRef<SVGSVGElement>(null);
  const house = model.house;
  const view = viewOf(house);
  const [at, setAt] = useState<Point>([0, view.height / 2]);
  const [told_at, setTold] = useState<number | null>(null);
  const told = (point: Point): void => {
    setAt(point);
    setTold(model.now_s);
    if (inside(house.outline_m, point)) onTap(point[0], point[1]);
  };
  const now = model.now_s;
  return (
    <svg
      ref={svg} class="tk-stone" viewBox={`${view.x} ${view.y} ${view.width} ${view.height}`} role="button" tabindex={0}
      aria-label={w(model, 'tk.tap_stone')} data-key="stone"
      onClick={(tap) => {
        const point = placeOf(svg.current, tap.clientX, tap.clientY);
        if (point !== null) told(point);
      }}
      onKeyDown={(press) => {
        const by = ARROWS[press.key];
        if (by !== undefined) setAt(([x_m, y_m]) => [x_m + by[0] * STEP_M, y_m + by[1] * STEP_M]);
        else if (press.key === 'Enter') told(at);
        else return;
        press.preventDefault();
      }}
    >
      <path class="tk-floor" d={outlinePath(house.outline_m)} />
      <path class="tk-edge" d={edgePath(house)} />
      {house.flames.map((flame, n) => <path key={n} class="tk-flame" d={tonguesPath(house, flame.along_m, 0.12)} />)}
      {(model.shown?.stays ?? []).filter((stay) => stay.from_s <= now && now < stay.until_s).map((stay) => (
        <g key={stay.item}>
          {stay.shape === 'disc'
            ? <circle class="tk-item" cx={stay.x_m} cy={-stay.y_m} r={stay.width_m / 2} />
            : <rect class="tk-item" x={stay.x_m - stay.width_m / 2} y={-stay.y_m - stay.depth_m / 2} width={stay.width_m} height={stay.depth_m} />}
          <text class="tk-item-name" x={stay.x_m} y={-stay.y_m}>{stay.table}</text>
        </g>
      ))}
      {(model.facts?.shut ?? []).filter((shut) => shut.until_s > now).map((shut, n) => (
        <circle key={n} class="tk-shut" cx={shut.x_m} cy={-shut.y_m} r={shut.radius_m} />
      ))}
      <circle class={told_at === null ? 'tk-aim' : 'tk-aim told'} cx={at[0]} cy={-at[1]} r={radius_m} />
    </svg>
  );
}

const ARROWS: Readonly<Record<string, Point>> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

/** Where on the stone a point of the screen lies, m. */
function placeOf(svg: SVGSVGElement | null, x_px: number, y_px: number): Point | null {
  const matrix = svg?.getScreenCTM();
  if (matrix === null || matrix === undefined) return null;
  const point = new DOMPoint(x_px, y_px).matrixTransform(matrix.inverse());
  return [point.x, -point.y];
}
