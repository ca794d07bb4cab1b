// What the pass has to know of each landing, and what has gone otherwise than planned.

import type { Language, Model } from '../../core/model.ts';
import { lineOf, landedAt, type Line } from '../../look/lines.ts';
import { clock, minutes } from '../../look/shown.ts';
import type { Shown } from '../../wire.ts';
import { say } from '../../words/say.ts';

export interface AtPass {
  readonly line: Line;
  /** Dishes of plates that are not ready yet, each as often as it is waited for. */
  readonly out: readonly string[];
  /** Whether "landed" can be told of it: a course leaves with its last drop. */
  readonly last_drop: boolean;
  /** In how many of ten the minute holds within three minutes; null where nobody reckoned it. */
  readonly holds_in_10: number | null;
}

/** The landings still to come, in the order of the minutes to tell. What was told here and waits counts. */
export function atPass(model: Pick<Model, 'shown' | 'facts' | 'queue' | 'now_s'>): readonly AtPass[] {
  const gone = goneHere(model);
  return (model.shown?.landings ?? [])
    .filter(
      (one) =>
        landedAt(model.facts, one.table, one.course) === null && !gone.has(`${one.table}/${one.course}`),
    )
    .map((one) => ({
      line: lineOf(one, 'honest_s'),
      out: one.plates.filter((plate) => plate.ready_s > model.now_s).map((plate) => plate.dish),
      last_drop: one.drop >= one.drops,
      holds_in_10: one.holds === null ? null : Math.round(one.holds * 10),
    }))
    .sort((a, b) => a.line.lands_s - b.line.lands_s || a.line.key.localeCompare(b.line.key));
}

function goneHere({ queue }: Pick<Model, 'queue'>): ReadonlySet<string> {
  const undone = new Set(queue.map(({ what }) => (what.kind === 'undo' ? what.of : '')));
  return new Set(
    queue.flatMap(({ id, what }) =>
      what.kind === 'landed' && !undone.has(id) ? [`${what.table}/${what.course ?? 1}`] : [],
    ),
  );
}

/** How it stands to what the room was first told. */
export function slipWords(language: Language, line: Pick<Line, 'slip' | 'slip_s'>): string {
  if (line.slip === 'as told') return say(language, 'as_told');
  return say(language, line.slip, { minutes: minutes(line.slip_s) });
}

/** Dishes with how many of each, such as `2 pizza, shrimp`. */
export function countedWords(names: readonly string[]): string {
  const many = new Map<string, number>();
  for (const name of names) many.set(name, (many.get(name) ?? 0) + 1);
  return [...many].map(([name, count]) => (count === 1 ? name : `${count} ${name}`)).join(', ');
}

/** Covers, and which course and drop where there is more than one. */
export function sizeWords(language: Language, line: Line): string {
  const covers =
    line.covers === 1 ? say(language, 'covers.one') : say(language, 'covers.many', { count: line.covers });
  const course = line.course === 1 ? '' : say(language, 'landing.course', { course: line.course });
  const drop = line.drops === 1 ? '' : say(language, 'landing.drop', { drop: line.drop, drops: line.drops });
  return [covers, course, drop].filter((part) => part !== '').join(', ');
}

/** What slipped, what is held or dragged, what food had to be done otherwise: one line each, the newest kind first. */
export function news(model: Pick<Model, 'shown' | 'facts' | 'settings'>): readonly string[] {
  const {
    shown,
    facts,
    settings: { language },
  } = model;
  return shown === null
    ? []
    : [
        ...shown.slips.map((slip) =>
          say(language, 'slipped', {
            table: courseName(language, slip),
            minutes: minutes(slip.is_s - slip.was_s),
            clock: clock(slip.is_s),
          }),
        ),
        ...shown.forced.map((one) =>
          say(language, `forced.${one.kind}`, { item: one.item, minutes: Math.max(1, minutes(one.seconds)) }),
        ),
        ...(facts?.tickets ?? []).flatMap((ticket) =>
          ticket.courses.flatMap((course, i) => {
            if (course.landed_s !== null) return [];
            const held = course.held
              ? [
                  i === 0
                    ? say(language, 'held', { table: ticket.table })
                    : say(language, 'held.course', { table: ticket.table, course: i + 1 }),
                ]
              : [];
            const dragged =
              course.drag_s > 0
                ? [say(language, 'dragged', { table: ticket.table, minutes: minutes(course.drag_s) })]
                : [];
            return [...held, ...dragged];
          }),
        ),
      ];
}

function courseName(language: Language, of: Pick<Shown['slips'][number], 'table' | 'course'>): string {
  return of.course === 1 ? of.table : `${of.table} ${say(language, 'landing.course', { course: of.course })}`;
}
