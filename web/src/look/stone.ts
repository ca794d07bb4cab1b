// The stone to scale as the cook sees it who stands at the mouth: pure geometry, in metres; up the screen is -y.

import type { ShownHouse, ShownStay } from '../wire.ts';

export type Point = readonly [number, number];

export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

const MARGIN_M = 0.02;
const SILL_M = 0.06; // of room below the sill, for the mouth's two ends

/** The drawing's box about the stone, its sill at the bottom. */
export function viewOf(house: Pick<ShownHouse, 'outline_m'>): Box {
  const xs = house.outline_m.map(([x]) => x);
  const ys = house.outline_m.map(([, y]) => y);
  const [left, right] = [Math.min(...xs) - MARGIN_M, Math.max(...xs) + MARGIN_M];
  const [near, far] = [Math.min(...ys, 0) - SILL_M, Math.max(...ys) + MARGIN_M];
  return { x: left, y: -far, width: right - left, height: far - near };
}

/** The stone's edge as a path, open at the mouth: the part of the outline that is not the sill. */
export function edgePath(house: Pick<ShownHouse, 'outline_m' | 'mouth_m'>): string {
  const inMouth = ([x, y]: Point) => y < 0.01 && Math.abs(x) < house.mouth_m / 2 - 1e-6;
  const points = house.outline_m;
  const parts: string[] = [];
  points.forEach((to, i) => {
    const from = points[(i + points.length - 1) % points.length];
    if (from === undefined || inMouth(mid(from, to))) return;
    parts.push(`M${n(from[0])} ${n(-from[1])}L${n(to[0])} ${n(-to[1])}`);
  });
  return parts.join('');
}

/** The whole outline, closed. */
export function outlinePath(outline_m: readonly Point[]): string {
  return `M${outline_m.map(([x, y]) => `${n(x)} ${n(-y)}`).join('L')}Z`;
}

// Stone temperatures with the least and the largest dot; the same in print: own choice.
const COLD_C = 200;
const HOT_C = 450;

/** How much of its cell's width a dot fills. */
export function dotShare(stone_C: number): number {
  const share = Math.min(1, Math.max(0, (stone_C - COLD_C) / (HOT_C - COLD_C)));
  return 0.06 + 0.76 * share;
}

const CLEAR_M = 0.055; // of dots about a flame, so that it stands out: own choice

/** Heat as texture: a dot in each cell, the hotter the larger; none outside the stone or under a flame. */
export function dotsPath(house: ShownHouse, heat_C: readonly number[]): string {
  const fires = house.flames.flatMap((flame) => flame.along_m);
  const parts: string[] = [];
  house.cells_m.forEach(([x, y], i) => {
    const stone_C = heat_C[i];
    if (stone_C === undefined) return;
    const r = (house.cell_side_m * dotShare(stone_C)) / 2;
    const rim: Point[] = [
      [x - r, y],
      [x + r, y],
      [x, y - r],
      [x, y + r],
    ];
    if (!rim.every((at) => inside(house.outline_m, at)) || fires.some((at) => apart(at, [x, y]) < CLEAR_M))
      return;
    parts.push(
      `M${n(x - r)} ${n(-y)}a${n(r)} ${n(r)} 0 1 0 ${n(2 * r)} 0a${n(r)} ${n(r)} 0 1 0 ${n(-2 * r)} 0`,
    );
  });
  return parts.join('');
}

/** A flame's tongues: triangles from its line inward over the stone. */
export function tonguesPath(
  house: Pick<ShownHouse, 'outline_m'>,
  along_m: readonly Point[],
  reach_m: number,
): string {
  const [cx, cy] = middleOf(house.outline_m);
  const parts: string[] = [];
  for (let i = 0; i + 1 < along_m.length; i += 2) {
    const [a, b] = [along_m[i], along_m[Math.min(i + 2, along_m.length - 1)]];
    if (a === undefined || b === undefined) continue;
    const m = mid(a, b);
    const d = apart(m, [cx, cy]) || 1;
    const tip: Point = [m[0] + ((cx - m[0]) / d) * reach_m, m[1] + ((cy - m[1]) / d) * reach_m];
    parts.push(`M${n(a[0])} ${n(-a[1])}L${n(tip[0])} ${n(-tip[1])}L${n(b[0])} ${n(-b[1])}Z`);
  }
  return parts.join('');
}

/** How far from its middle an item's edge lies along a bearing (clockwise from straight in), m. */
export function edgeAlong(
  stay: Pick<ShownStay, 'shape' | 'width_m' | 'depth_m'>,
  bearing_deg: number,
): number {
  if (stay.shape === 'disc') return stay.width_m / 2;
  const [dx, dy] = direction(bearing_deg);
  return Math.min(
    stay.width_m / 2 / Math.max(Math.abs(dx), 1e-9),
    stay.depth_m / 2 / Math.max(Math.abs(dy), 1e-9),
  );
}

/** The mark of a leading edge: a wedge across the item's outline that points out along the bearing. */
export function wedgePath(
  stay: Pick<ShownStay, 'shape' | 'width_m' | 'depth_m'>,
  bearing_deg: number,
  size_m: number,
): string {
  const reach = edgeAlong(stay, bearing_deg);
  const [dx, dy] = direction(bearing_deg);
  const at = (along: number, across: number): string =>
    `${n(dx * (reach + along) + dy * across)} ${n(-(dy * (reach + along) - dx * across))}`;
  return `M${at(size_m * 0.75, 0)}L${at(-size_m * 0.6, -size_m * 0.6)}L${at(-size_m * 0.6, size_m * 0.6)}Z`;
}

/** An arc that shows how far round, clockwise, with its head: for a unit circle of radius 1 about the middle. */
export function roundPath(by_deg: number): { readonly arc: string; readonly head: string } {
  const turned = Math.min(330, Math.max(20, by_deg));
  const [x, y] = direction(turned);
  const [tx, ty] = [y, -x];
  const h = 0.42;
  const back: Point = [x - tx * 0.1, y - ty * 0.1];
  return {
    arc: `M0 -1A1 1 0 ${turned > 180 ? 1 : 0} 1 ${n(x)} ${n(-y)}`,
    head: `M${n(back[0] + tx * 0.75)} ${n(-(back[1] + ty * 0.75))}L${n(back[0] + x * h)} ${n(-(back[1] + y * h))}L${n(back[0] - x * h)} ${n(-(back[1] - y * h))}Z`,
  };
}

/** Where figures may stand, the most telling first: middle, back, front, sides. Clear of items and fire. */
export function figurePlaces(
  house: ShownHouse,
  items: readonly Box[],
  width_m: number,
  height_m: number,
): readonly { readonly at: Point; readonly cell: number }[] {
  const [cx, cy] = middleOf(house.outline_m);
  const view = viewOf(house);
  const rings: Point[] = [[cx, cy]];
  for (const share of [0.36, 0.26, 0.16]) {
    for (let i = 0; i < 12; i++) {
      const a = (i * Math.PI) / 6;
      rings.push([cx + share * view.width * Math.sin(a), cy + share * view.height * Math.cos(a)]);
    }
  }
  const fires = house.flames.flatMap((flame) => flame.along_m);
  const taken: Box[] = [...items];
  const found: { at: Point; cell: number }[] = [];
  for (const at of rings) {
    const box = boxAbout(at, width_m, height_m);
    const corners = cornersOf(box);
    if (!corners.every((corner) => inside(house.outline_m, corner))) continue;
    if (fires.some((fire) => apart(fire, at) < 0.17)) continue;
    if (taken.some((other) => overlap(box, other))) continue;
    if (found.some((other) => apart(other.at, at) < 0.3)) continue;
    taken.push(box);
    found.push({ at, cell: nearest(house.cells_m, at) });
  }
  return found;
}

/** The upright box about an item, in metres of the stone (y inward). */
export function boxOf(stay: Pick<ShownStay, 'x_m' | 'y_m' | 'width_m' | 'depth_m'>, room_m = 0): Box {
  return boxAbout([stay.x_m, stay.y_m], stay.width_m + 2 * room_m, stay.depth_m + 2 * room_m);
}

/** Where the table's name goes for an item too small to hold it: the side that covers least, clear of the rest. */
export function labelBeside(
  item: Box,
  width_m: number,
  height_m: number,
  others: readonly Box[],
  view: Box,
): Point {
  const [cx, cy] = [item.x + item.width / 2, item.y + item.height / 2];
  const [dx, dy] = [(item.width + width_m) / 2, (item.height + height_m) / 2];
  const sides: Point[] = [
    [cx, cy - dy],
    [cx, cy + dy],
    [cx + dx, cy],
    [cx - dx, cy],
    [cx + dx, cy + dy],
    [cx - dx, cy + dy],
    [cx + dx, cy - dy],
    [cx - dx, cy - dy],
  ];
  const cost = (at: Point): number => {
    const box = boxAbout(at, width_m, height_m);
    const out = Math.max(0, view.x - box.x) + Math.max(0, box.x + width_m - view.x - view.width);
    return others.filter((other) => overlap(box, other)).length + out * 100;
  };
  return sides.reduce((best, side) => (cost(side) < cost(best) ? side : best));
}

/** Front, middle or back third, and left or right where it lies there. */
export function thirdOf(
  house: Pick<ShownHouse, 'outline_m'>,
  [x, y]: Point,
): readonly ['front' | 'middle' | 'back', '' | 'left' | 'right'] {
  const xs = house.outline_m.map(([one]) => one);
  const ys = house.outline_m.map(([, one]) => one);
  const across = Math.max(...xs) - Math.min(...xs);
  const deep = Math.max(...ys);
  const depth = y < deep / 3 ? 'front' : y < (2 * deep) / 3 ? 'middle' : 'back';
  return [depth, x < -across / 6 ? 'left' : x > across / 6 ? 'right' : ''];
}

export function inside(outline: readonly Point[], [x, y]: Point): boolean {
  let within = false;
  outline.forEach(([x1, y1], i) => {
    const [x2, y2] = outline[(i + outline.length - 1) % outline.length] ?? [x1, y1];
    if (y1 > y !== y2 > y && x < ((x2 - x1) * (y - y1)) / (y2 - y1) + x1) within = !within;
  });
  return within;
}

export function nearest(cells_m: readonly Point[], at: Point): number {
  let best = 0;
  cells_m.forEach((cell, i) => {
    if (apart(cell, at) < apart(cells_m[best] ?? cell, at)) best = i;
  });
  return best;
}

export function overlap(a: Box, b: Box): boolean {
  return a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;
}

function boxAbout([x, y]: Point, width: number, height: number): Box {
  return { x: x - width / 2, y: y - height / 2, width, height };
}

function cornersOf(box: Box): Point[] {
  const [x, y, r, t] = [box.x, box.y, box.x + box.width, box.y + box.height];
  return [
    [x, y],
    [r, y],
    [r, t],
    [x, t],
  ];
}

function middleOf(outline: readonly Point[]): Point {
  const xs = outline.map(([x]) => x);
  const ys = outline.map(([, y]) => y);
  return [(Math.min(...xs) + Math.max(...xs)) / 2, (Math.min(...ys) + Math.max(...ys)) / 2];
}

function direction(bearing_deg: number): Point {
  const angle = (bearing_deg * Math.PI) / 180;
  return [Math.sin(angle), Math.cos(angle)];
}

function mid(a: Point, b: Point): Point {
  return [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
}

function apart(a: Point, b: Point): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1]);
}

/** Tenths of a millimetre are enough for a path. */
function n(value: number): string {
  return String(Math.round(value * 1e4) / 1e4);
}
