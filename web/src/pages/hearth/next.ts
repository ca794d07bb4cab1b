// What is next for a cook, and what was last: the plan's moves with what was told here that the plan does not know.

import { dangersNow } from '../../core/danger.ts';
import type { Model, Waiting } from '../../core/model.ts';
import type { ActDone, Facts, LivePlate, MoveDone, NotYet, ShownMove } from '../../wire.ts';
import { fresh } from '../frame/fresh.ts';

export const MOST_MOVES = 3;
/** How much later "not yet" says an act will be: own choice. */
export const NOT_YET_S = 30;
/** How long an act taken as done stays named, to be contradicted: own choice. */
export const TAKEN_S = 30;
/** How long the board may take to say that a due act is taken as done before this screen does: own choice. */
const SLACK_S = 3;

export interface NextMove {
  readonly move: ShownMove;
  /** When it is to begin, with what was put off. */
  readonly due_s: number;
  readonly put_off: boolean;
}

export interface LastAct {
  readonly item: string;
  readonly act: MoveDone['act'];
  readonly nth: number;
  readonly at_s: number;
  /** Nobody told it: it was due, and nobody contradicted. */
  readonly assumed: boolean;
  /** The command to undo; null where it was not told on this device. */
  readonly id: string | null;
}

const EMPTYING: readonly ShownMove['act'][] = ['pull', 'cut'];

type Named = Pick<MoveDone, 'item' | 'act' | 'nth'>;

/** One act by its name. A nth that is left out is the first. */
export function nameOf(act: Named): string {
  return `${act.item} ${act.act} ${act.nth ?? 1}`;
}

/** The moves to show, soonest first, three at most. */
export function nextMoves(
  model: Pick<Model, 'shown' | 'facts' | 'queue' | 'now_s' | 'settings'>,
): readonly NextMove[] {
  const { shown, facts, queue, now_s, settings } = model;
  const told = namesDone(facts, queue);
  const later = putOff(facts, queue);
  const inDanger = dangersNow(model).size > 0; // the board knows it a moment later: only what empties the oven is left
  return (shown?.moves ?? [])
    .filter((move) => !inDanger || EMPTYING.includes(move.act))
    .filter((move) => settings.cook === null || move.cook === settings.cook)
    .filter((move) => !told.has(nameOf(move)))
    .map((move) => {
      const until_s = later.get(nameOf(move)) ?? -Infinity;
      return { move, due_s: Math.max(move.start_s, until_s), put_off: until_s > move.start_s };
    })
    .filter(({ move, due_s }) => due_s + move.hands_s + SLACK_S > now_s)
    .sort((a, b) => a.due_s - b.due_s || a.move.table.localeCompare(b.move.table))
    .slice(0, MOST_MOVES);
}

/** Whether an act is done, so far as this device knows; what waits in the queue counts as told. */
function namesDone(facts: Facts | null, queue: readonly Waiting[]): ReadonlySet<string> {
  const names = new Set<string>();
  for (const plate of platesOf(facts)) {
    for (const done of plate.done) names.add(nameOf({ item: plate.key, act: done.act, nth: done.nth }));
  }
  const undone = new Set(queue.map(({ what }) => (what.kind === 'undo' ? what.of : '')));
  for (const { id, what } of queue) {
    if (what.kind === 'done' && !undone.has(id)) names.add(nameOf(what));
    if (what.kind === 'not_yet') names.delete(nameOf(what));
  }
  return names;
}

/** Until when acts are put off, by name. */
function putOff(facts: Facts | null, queue: readonly Waiting[]): ReadonlyMap<string, number> {
  const until = new Map<string, number>();
  for (const plate of platesOf(facts)) {
    for (const later of plate.later) until.set(nameOf({ item: plate.key, ...later }), later.until_s);
  }
  for (const { at_s, what } of queue) {
    if (what.kind === 'not_yet') until.set(nameOf(what), at_s + what.late_s);
  }
  return until;
}

/** The last act, while it can still be taken back: told here for ten seconds, taken as done for thirty. */
export function lastAct(
  model: Pick<Model, 'shown' | 'facts' | 'queue' | 'now_s' | 'settings'>,
  told: readonly Waiting[],
): LastAct | null {
  const mine = (cook: string | undefined) =>
    model.settings.cook === null || cook === undefined || cook === model.settings.cook;
  const found: LastAct[] = [];
  for (const { id, at_s, what } of fresh(told, model.now_s)) {
    if (what.kind === 'done') found.push({ ...named(what), at_s, assumed: false, id });
  }
  for (const plate of platesOf(model.facts)) {
    for (const done of plate.done)
      if (isTaken(done, model.now_s)) found.push({ item: plate.key, ...bare(done) });
  }
  const known = namesDone(model.facts, model.queue);
  const later = putOff(model.facts, model.queue);
  for (const move of model.shown?.moves ?? []) {
    const over_s = Math.max(move.start_s, later.get(nameOf(move)) ?? 0) + move.hands_s;
    const due = over_s + SLACK_S <= model.now_s && model.now_s - over_s < TAKEN_S;
    if (due && mine(move.cook) && !known.has(nameOf(move))) {
      found.push({ ...named(move), at_s: over_s, assumed: true, id: null });
    }
  }
  return found.reduce<LastAct | null>(
    (last, one) => (last === null || one.at_s >= last.at_s ? one : last),
    null,
  );
}

function isTaken(done: ActDone, now_s: number): boolean {
  return done.assumed && now_s - done.at_s < TAKEN_S && done.at_s <= now_s;
}

function named(act: Named): { item: string; act: MoveDone['act']; nth: number } {
  return { item: act.item, act: act.act, nth: act.nth ?? 1 };
}

function bare(done: ActDone): Omit<LastAct, 'item'> {
  return { act: done.act, nth: done.nth, at_s: done.at_s, assumed: true, id: null };
}

function platesOf(facts: Facts | null): readonly LivePlate[] {
  return facts?.tickets.flatMap((ticket) => ticket.plates) ?? [];
}

/** What to tell when a move is done. */
export function doneOf(move: Named): MoveDone {
  return { kind: 'done', ...named(move) };
}

/** What to tell when an act is not done, and will not be for a while. */
export function notYetOf(act: Named): NotYet {
  return { kind: 'not_yet', ...named(act), late_s: NOT_YET_S };
}

/** The table of a plate's key: `B4-2+` is of B4. */
export function tableOf(item: string): string {
  return item.slice(0, Math.max(0, item.lastIndexOf('-')));
}
