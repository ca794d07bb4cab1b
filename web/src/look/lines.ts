// The landing lines: each table's plates as strands that meet at their minute. Pure layout, in shares of time.

import type { Facts, ShownLanding } from '../wire.ts';

export interface Strand {
  readonly item: string;
  /** Seconds of the night; `from` the first touch, then on the hearth, off it, ready. */
  readonly begins_s: number;
  readonly in_s: number;
  readonly out_s: number;
  readonly ready_s: number;
  /** Where it lies beside the knot's level, in strands: 0 on it, the first to go in nearest. */
  readonly place: number;
}

export interface Line {
  readonly key: string;
  readonly table: string;
  readonly course: number;
  readonly drop: number;
  readonly drops: number;
  readonly covers: number;
  readonly told_s: number;
  readonly lands_s: number;
  /** How it stands to what the room was first told, once that is worth a word. */
  readonly slip: 'late' | 'early' | 'as told';
  readonly slip_s: number;
  readonly strands: readonly Strand[];
}

const WORTH_A_WORD_S = 60; // earlier or later than told by less is as told: own choice
const GONE_S = 180; // after its minute a landing nobody reported leaves the lines: own choice

/** The landings that have not left, in the order they land. */
export function linesOf(
  landings: readonly ShownLanding[],
  facts: Facts | null,
  now_s: number,
): readonly Line[] {
  return landings
    .filter(
      (landing) =>
        landedAt(facts, landing.table, landing.course) === null && landing.planned_s > now_s - GONE_S,
    )
    .map((landing) => lineOf(landing))
    .sort((a, b) => a.lands_s - b.lands_s || a.table.localeCompare(b.table));
}

/** A landing by the minute planned, or by the one to tell the room. */
export function lineOf(landing: ShownLanding, by: 'planned_s' | 'honest_s' = 'planned_s'): Line {
  const slip_s = landing[by] - landing.first_told_s;
  return {
    key: `${landing.table}/${landing.course}/${landing.drop}`,
    table: landing.table,
    course: landing.course,
    drop: landing.drop,
    drops: landing.drops,
    covers: landing.covers,
    told_s: landing.first_told_s,
    lands_s: landing[by],
    slip: Math.abs(slip_s) < WORTH_A_WORD_S ? 'as told' : slip_s > 0 ? 'late' : 'early',
    slip_s,
    strands: strandsOf(landing),
  };
}

/** When a course left for its table; null: it has not. */
export function landedAt(facts: Facts | null, table: string, course: number): number | null {
  const ticket = facts?.tickets.find((one) => one.table === table);
  return ticket?.courses[course - 1]?.landed_s ?? null;
}

function strandsOf(landing: ShownLanding): readonly Strand[] {
  const plates = [...landing.plates].sort((a, b) => a.begins_s - b.begins_s);
  const places = placesOf(plates.length);
  return plates.map((plate, i) => ({ ...plate, place: places[i] ?? 0 }));
}

/** Where strands lie about the middle: the first nearest, later ones outward in turn, so that none crosses. */
export function placesOf(many: number): readonly number[] {
  const all = Array.from({ length: many }, (_, i) => i - (many - 1) / 2);
  return all.sort((a, b) => Math.abs(a) - Math.abs(b) || a - b);
}

export interface Axis {
  readonly from_s: number;
  readonly until_s: number;
  readonly width: number;
}

export function along(axis: Axis, at_s: number): number {
  return ((at_s - axis.from_s) / (axis.until_s - axis.from_s)) * axis.width;
}

/** Whole minutes to mark on the axis, every `every_min`. */
export function ticks(axis: Axis, every_min: number): readonly number[] {
  const step = every_min * 60;
  const found: number[] = [];
  for (let at = Math.ceil(axis.from_s / step) * step; at <= axis.until_s; at += step) found.push(at);
  return found;
}

const BEND = 14; // how far before the knot strands draw together, in the drawing's units: own choice

export interface Drawn {
  readonly waiting: string;
  readonly hot: string;
  readonly resting: string;
}

/** One strand as three paths: thin until it goes in and once it is ready, thick on the hearth, middling at rest. */
export function drawn(strand: Strand, axis: Axis, knot_s: number, pitch: number): Drawn {
  const y = strand.place * pitch;
  const end = along(axis, knot_s);
  const at = (s: number) => Math.min(end, Math.max(0, along(axis, s)));
  const [begins, into, off, ready] = [
    at(strand.begins_s),
    at(strand.in_s),
    at(strand.out_s),
    at(strand.ready_s),
  ];
  return {
    waiting: `${bent(begins, into, y, end)}${bent(ready, end, y, end)}`,
    hot: bent(into, off, y, end),
    resting: bent(off, ready, y, end),
  };
}

/** The part from x1 to x2 of a strand at level y that ends in a knot at (end, 0). */
export function bent(x1: number, x2: number, y: number, end: number): string {
  if (x2 - x1 < 0.05) return '';
  const level = (x: number): number => {
    const share = Math.min(1, Math.max(0, (x - (end - BEND)) / BEND));
    return y * (1 - share * share * (3 - 2 * share));
  };
  const steps = x2 < end - BEND ? 1 : 8;
  const points = Array.from({ length: steps + 1 }, (_, i) => x1 + ((x2 - x1) * i) / steps);
  return `M${points.map((x) => `${r(x)} ${r(level(x))}`).join('L')}`;
}

function r(value: number): string {
  return String(Math.round(value * 100) / 100);
}
