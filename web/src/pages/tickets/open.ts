// The night's open tickets as lines: what each course holds, how far it is, when it lands. Pure.

import type { Facts, LivePlate, LiveTicket, Shown, ShownLanding, Since, What } from '../../wire.ts';
import { counted } from './draft.ts';

export type PlateStage = 'waits' | 'on' | 'off_hearth';

export interface Line {
  readonly table: string;
  readonly course: number;
  readonly courses: number;
  readonly covers: number;
  readonly allergy: readonly string[];
  readonly dishes: readonly [string, number][];
  readonly plates: readonly LivePlate[];
  readonly held: boolean;
  readonly drag_s: number;
  readonly drops: number;
  readonly wanted_s: number;
  /** When it lands as planned, or as wanted where no plan holds it yet. */
  readonly lands_s: number;
  readonly planned: boolean;
  /** Behind what its table was first told; below zero: ahead. */
  readonly behind_s: number;
  readonly on: number;
  readonly off_hearth: number;
}

/** Every course that has not landed and has a plate to make, the soonest first; held ones last. */
export function openLines(facts: Facts, shown: Shown | null): Line[] {
  const lines = facts.tickets.flatMap((ticket) =>
    ticket.courses.flatMap((course, n) => {
      const plates = ticket.plates.filter((plate) => plate.course === n + 1 && plate.off === '');
      return course.landed_s !== null || plates.length === 0 ? [] : [lineOf(ticket, n, plates, shown)];
    }));
  return lines.sort((a, b) => Number(a.held) - Number(b.held) || a.lands_s - b.lands_s || (a.table < b.table ? -1 : 1));
}

function lineOf(ticket: LiveTicket, n: number, plates: readonly LivePlate[], shown: Shown | null): Line {
  const course = ticket.courses[n];
  if (course === undefined) throw new Error(`${ticket.table} has no course ${n + 1}`);
  const landing = lastDrop(shown?.landings ?? [], ticket.table, n + 1);
  const stages = plates.map(stageOf);
  return {
    table: ticket.table,
    course: n + 1,
    courses: ticket.courses.length,
    covers: ticket.covers,
    allergy: ticket.allergy,
    dishes: counted(plates),
    plates,
    held: course.held,
    drag_s: course.drag_s,
    drops: course.drops,
    wanted_s: course.wanted_s,
    lands_s: landing?.planned_s ?? course.wanted_s + course.drag_s,
    planned: landing !== undefined,
    behind_s: landing === undefined ? 0 : landing.planned_s - landing.first_told_s,
    on: stages.filter((stage) => stage === 'on').length,
    off_hearth: stages.filter((stage) => stage === 'off_hearth').length,
  };
}

function lastDrop(landings: readonly ShownLanding[], table: string, course: number): ShownLanding | undefined {
  const own = landings.filter((one) => one.table === table && one.course === course);
  return own.reduce<ShownLanding | undefined>((a, b) => (a === undefined || b.planned_s > a.planned_s ? b : a), undefined);
}

/** Where a plate is: a base dressed at the bench still waits. */
export function stageOf(plate: LivePlate): PlateStage {
  if (plate.done.some((done) => done.act === 'pull')) return 'off_hearth';
  return plate.done.some((done) => done.act !== 'dress') ? 'on' : 'waits';
}

/** Plates as they are acted on: those that wait are one group a dish and mark, those begun stand alone. */
export interface PlateGroup {
  readonly dish: string;
  readonly allergy: readonly string[];
  readonly stage: PlateStage;
  readonly keys: readonly string[];
}

export function groups(plates: readonly LivePlate[]): PlateGroup[] {
  const found = new Map<string, { dish: string; allergy: readonly string[]; stage: PlateStage; keys: string[] }>();
  for (const plate of plates) {
    const stage = stageOf(plate);
    const name = stage === 'waits' ? `${plate.dish} ${plate.allergy.join('/')}` : plate.key;
    const group = found.get(name);
    if (group === undefined) found.set(name, { dish: plate.dish, allergy: plate.allergy, stage, keys: [plate.key] });
    else group.keys.push(plate.key);
  }
  return [...found.values()];
}

/** The plate of a group that is taken off first: the last told. */
export function lastOf(group: PlateGroup): string {
  const key = group.keys[group.keys.length - 1];
  if (key === undefined) throw new Error('a group of plates has none');
  return key;
}

export const MOST_DRAG_S = 3600;

export function dragged(line: Line, by_s: number): What {
  return { kind: 'drag', table: line.table, course: line.course, drag_s: Math.min(MOST_DRAG_S, line.drag_s + by_s) };
}

/** A minute later or sooner than it was wanted, never one in the past. */
export function moved(line: Line, by_s: number, now_s: number): What | null {
  const wanted_s = line.wanted_s + by_s;
  if (wanted_s + line.drag_s <= now_s) return null;
  return { kind: 'amend', table: line.table, course: line.course, wanted_s };
}

export function recovered(line: Line, by: number): What | null {
  const covers = line.covers + by;
  return covers < 1 || covers > 100 ? null : { kind: 'amend', table: line.table, course: line.course, covers };
}

export const SPILL_S = 420; // stone under a spill rests so long before it is looked at again: own choice
export const DROPS_APART_S = 360; // one pair of hands cuts and carries half a large table in it: own choice

export function spilt(x_m: number, y_m: number, radius_m: number, now_s: number): What {
  const round = (m: number): number => Math.round(m * 100) / 100;
  return { kind: 'spill', x_m: round(x_m), y_m: round(y_m), radius_m, until_s: now_s + SPILL_S };
}

export function since(all: readonly Since[], name: string): Since | undefined {
  return all.find((one) => one.name === name);
}

/** A table name for plates made again for a table whose course has left: its own with an R, and a number. */
export function againName(facts: Facts, table: string): string {
  for (let n = 1; ; n += 1) {
    const name = `${table}R${n === 1 ? '' : n}`;
    if (!facts.tickets.some((ticket) => ticket.table === name)) return name;
  }
}

/** Tables of the night whose courses have all landed, the last first. */
export function landedTables(facts: Facts, most: number): string[] {
  return facts.tickets
    .filter((ticket) => ticket.courses.every((course) => course.landed_s !== null))
    .sort((a, b) => lastLanded(b) - lastLanded(a))
    .slice(0, most)
    .map((ticket) => ticket.table);
}

function lastLanded(ticket: LiveTicket): number {
  return Math.max(...ticket.courses.map((course) => course.landed_s ?? 0));
}
