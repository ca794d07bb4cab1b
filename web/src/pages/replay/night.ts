// A night at one of its moments: what stood where, what was meant, how each landing stood. Pure.

import type { CourseAgain, Mark, Meant, PlateAgain, Replay, Stood } from '../../wire.ts';

export const SPEED = 60; // a minute of the night in a second: an evening in six minutes
/** A course is shown from its call until so long after it left. */
const AFTER_S = 300;

/** Which plan is laid beside what happened: the first that held the plate, or the one of that moment. */
export type Beside = 'first' | 'then';

export interface OnStone {
  readonly item: string;
  readonly table: string;
  readonly dish: string;
  readonly x_m: number;
  readonly y_m: number;
}

export interface Landing {
  readonly table: string;
  readonly course: number;
  readonly covers: number;
  readonly called_s: number;
  readonly wanted_s: number;
  readonly first_s: number | null;
  /** As the plan of that moment had it. */
  readonly then_s: number | null;
  readonly landed_s: number | null;
  /** Behind what was first told: as landed, or as foreseen then. */
  readonly behind_s: number;
}

export interface Moment {
  readonly at_s: number;
  readonly stood: readonly OnStone[];
  readonly meant: readonly OnStone[];
  readonly landings: readonly Landing[];
  readonly shut: readonly Mark[];
  readonly marks: readonly Mark[];
}

export function momentOf(replay: Replay, at_s: number, beside: Beside, mostMarks = 4): Moment {
  return {
    at_s,
    stood: replay.plates.flatMap((plate) => placed(plate, plate.stood, at_s)),
    meant: replay.plates.flatMap((plate) => placed(plate, meantBy(plate.meant, at_s, beside)?.stays ?? [], at_s)),
    landings: replay.courses.filter((course) => isShown(course, at_s)).map((course) => landingOf(course, at_s)).sort(bySoonest),
    shut: replay.marks.filter((mark) => mark.radius_m !== null && mark.at_s <= at_s && at_s < (mark.until_s ?? 0)),
    marks: replay.marks.filter((mark) => mark.at_s <= at_s).slice(-mostMarks).reverse(),
  };
}

function placed(plate: PlateAgain, stays: readonly Stood[], at_s: number): OnStone[] {
  const now = stays.find((stay) => stay.from_s <= at_s && (stay.until_s === null || at_s < stay.until_s));
  return now === undefined ? [] : [{ item: plate.item, table: plate.table, dish: plate.dish, x_m: now.x_m, y_m: now.y_m }];
}

/** The plan of a moment is the last told by then; the first holds even before it was told. */
export function meantBy(meant: readonly Meant[], at_s: number, beside: Beside): Meant | undefined {
  return beside === 'first' ? meant[0] : meant.findLast((one) => one.at_s <= at_s);
}

function isShown(course: CourseAgain, at_s: number): boolean {
  return course.called_s <= at_s && (course.landed_s === null || at_s <= course.landed_s + AFTER_S);
}

function landingOf(course: CourseAgain, at_s: number): Landing {
  const first_s = course.told[0]?.[1] ?? null;
  const then_s = course.told.findLast(([told_s]) => told_s <= at_s)?.[1] ?? null;
  const landed_s = course.landed_s !== null && course.landed_s <= at_s ? course.landed_s : null;
  const { table, course: number, covers, called_s, wanted_s } = course;
  const ends_s = landed_s ?? then_s;
  return {
    table, course: number, covers, called_s, wanted_s, first_s, then_s, landed_s,
    behind_s: first_s === null || ends_s === null ? 0 : ends_s - first_s,
  };
}

function bySoonest(a: Landing, b: Landing): number {
  return (a.landed_s ?? a.then_s ?? a.wanted_s) - (b.landed_s ?? b.then_s ?? b.wanted_s) || (a.table < b.table ? -1 : 1);
}

/** The moment after a step, never outside the night. */
export function stepped(replay: Pick<Replay, 'from_s' | 'until_s'>, at_s: number, by_s: number): number {
  return Math.min(replay.until_s, Math.max(replay.from_s, at_s + by_s));
}

/** How far through the night, 0 to 1. */
export function share(replay: Pick<Replay, 'from_s' | 'until_s'>, at_s: number): number {
  const long_s = replay.until_s - replay.from_s;
  return long_s <= 0 ? 0 : (at_s - replay.from_s) / long_s;
}
