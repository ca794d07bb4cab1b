// A ticket being tapped together: pure steps, each giving the next draft. Sent only once a minute is accepted.

import type { Plate, Ticket, TicketCalled } from '../../wire.ts';

export const MOST_COVERS = 100;
export const MOST_OF_A_DISH = 60; // plates of one course, as the board takes them
export const MOST_COURSES = 6;
export const MOST_ALLERGIES = 8;
export const BETWEEN_COURSES_S = 1200; // a starter eaten and cleared: common practice, no source
export const MOST_BETWEEN_S = 7200;

export interface DraftPlate {
  readonly dish: string;
  readonly allergy: readonly string[];
}

export interface DraftCourse {
  readonly plates: readonly DraftPlate[];
  /** Behind the course before it; of no meaning for the first. */
  readonly after_s: number;
}

export interface Draft {
  readonly letter: string;
  readonly number: string;
  readonly covers: number;
  readonly courses: readonly DraftCourse[];
  /** The course that dishes are tapped into. */
  readonly course: number;
  readonly allergy: readonly string[];
  readonly refire_of: string | null;
}

const FIRST: DraftCourse = { plates: [], after_s: 0 };
export const EMPTY: Draft = {
  letter: '', number: '', covers: 0, courses: [FIRST], course: 0, allergy: [], refire_of: null,
};

export function tableOf(draft: Draft): string {
  return draft.letter + draft.number;
}

/** The table's letter; another letter begins another table. */
export function lettered(draft: Draft, letter: string): Draft {
  return { ...draft, letter, number: '' };
}

/** One more digit of the table's number: two at most, then a new number begins. */
export function numbered(draft: Draft, digit: string): Draft {
  return { ...draft, number: draft.number.length >= 2 ? digit : draft.number + digit };
}

export function covered(draft: Draft, covers: number): Draft {
  return { ...draft, covers: Math.max(0, Math.min(MOST_COVERS, covers)) };
}

export function count(draft: Draft, dish: string, course = draft.course): number {
  return draft.courses[course]?.plates.filter((plate) => plate.dish === dish).length ?? 0;
}

export function plates(draft: Draft): number {
  return draft.courses.reduce((sum, course) => sum + course.plates.length, 0);
}

/** One more of a dish in the course being tapped. */
export function more(draft: Draft, dish: string): Draft {
  const now = draft.courses[draft.course];
  if (now === undefined || now.plates.length >= MOST_OF_A_DISH) return draft;
  return withPlates(draft, [...now.plates, { dish, allergy: [] }]);
}

/** One fewer: the last without an allergy of its own first, so that no mark is lost by the way. */
export function fewer(draft: Draft, dish: string): Draft {
  const own = draft.courses[draft.course]?.plates ?? [];
  const last = own.findLastIndex((plate) => plate.dish === dish && plate.allergy.length === 0);
  const at = last >= 0 ? last : own.findLastIndex((plate) => plate.dish === dish);
  return at < 0 ? draft : withPlates(draft, own.filter((_, n) => n !== at));
}

/** Taps go into that course from now on; one behind the last is begun if that one has plates. */
export function toCourse(draft: Draft, course: number): Draft {
  if (course < draft.courses.length) return { ...draft, course };
  const last = draft.courses[draft.courses.length - 1];
  if (draft.courses.length >= MOST_COURSES || last === undefined || last.plates.length === 0) return draft;
  const next: DraftCourse = { plates: [], after_s: BETWEEN_COURSES_S };
  return { ...draft, courses: [...draft.courses, next], course: draft.courses.length };
}

/** The course being tapped comes so much later behind the one before it. */
export function apart(draft: Draft, by_s: number): Draft {
  const now = draft.courses[draft.course];
  if (now === undefined || draft.course === 0) return draft;
  const after_s = Math.max(300, Math.min(MOST_BETWEEN_S, now.after_s + by_s));
  return withCourse(draft, { ...now, after_s });
}

/** Where an allergy is marked: the whole ticket, or one plate of a course. */
export type Target = { readonly course: number; readonly plate: number } | null;

export function allergyOf(draft: Draft, target: Target): readonly string[] {
  if (target === null) return draft.allergy;
  return draft.courses[target.course]?.plates[target.plate]?.allergy ?? [];
}

/** Marks an allergy there, or takes the mark away. */
export function marked(draft: Draft, target: Target, word: string): Draft {
  const now = allergyOf(draft, target);
  const next = now.includes(word) ? now.filter((one) => one !== word) : [...now, word];
  if (next.length > MOST_ALLERGIES) return draft;
  if (target === null) return { ...draft, allergy: next };
  const course = draft.courses[target.course];
  if (course?.plates[target.plate] === undefined) return draft;
  const own = course.plates.map((plate, n) => (n === target.plate ? { ...plate, allergy: next } : plate));
  return {
    ...draft,
    courses: draft.courses.map((one, n) => (n === target.course ? { ...course, plates: own } : one)),
  };
}

/** What is still missing before a minute can be asked for, in the order it is tapped. */
export function missing(draft: Draft): 'table' | 'covers' | 'dishes' | null {
  // A table made again for has its whole name already.
  if (draft.letter === '' || (draft.number === '' && draft.refire_of === null)) return 'table';
  if (draft.covers < 1) return 'covers';
  return draft.courses[0] !== undefined && draft.courses[0].plates.length > 0 ? null : 'dishes';
}

/** The plates a quote is asked for: those of the first course, under all their guests may not have. */
export function quoted(draft: Draft): { covers: number; plates: { dish: string; allergy: string[] }[] } {
  const first = draft.courses[0] ?? FIRST;
  const own = first.plates.map((plate) => ({
    dish: plate.dish,
    allergy: [...new Set([...draft.allergy, ...plate.allergy])],
  }));
  return { covers: draft.covers, plates: own };
}

/** The ticket as it is told, its first course to land at `wanted_s`; courses without plates are left out. */
export function called(draft: Draft, now_s: number, wanted_s: number): TicketCalled {
  let lands_s = wanted_s;
  const courses: { wanted_s: number; plates: Plate[] }[] = [];
  draft.courses.forEach((course, n) => {
    if (course.plates.length === 0) return;
    lands_s += n === 0 ? 0 : course.after_s;
    courses.push({ wanted_s: lands_s, plates: course.plates.map((one) => ({ dish: one.dish, allergy: [...one.allergy] })) });
  });
  const ticket: Ticket = {
    table: tableOf(draft), covers: draft.covers, called_s: now_s, courses, allergy: [...draft.allergy],
    ...(draft.refire_of === null ? {} : { refire_of: draft.refire_of }),
  };
  return { kind: 'ticket', ticket, way: 'tapped' };
}

/** Plates as words are made of them: each dish with how many, in the order first tapped. */
export function counted(own: readonly { readonly dish: string }[]): [string, number][] {
  const found = new Map<string, number>();
  for (const { dish } of own) found.set(dish, (found.get(dish) ?? 0) + 1);
  return [...found];
}

function withPlates(draft: Draft, own: readonly DraftPlate[]): Draft {
  const now = draft.courses[draft.course];
  return now === undefined ? draft : withCourse(draft, { ...now, plates: own });
}

function withCourse(draft: Draft, course: DraftCourse): Draft {
  return { ...draft, courses: draft.courses.map((one, n) => (n === draft.course ? course : one)) };
}
