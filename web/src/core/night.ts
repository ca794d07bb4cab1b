// What a device knows of the night, folded from what came: pure, the same happenings give the same state.

import type { Answered, DayNow, Facts, Shown, ShownHouse, ToldLots } from '../wire.ts';
import type { RefusedHere, Told, Waiting } from './model.ts';
import { isNoted } from './noted.ts';

/** A command told here, until the facts that hold it have come. */
export interface Queued extends Waiting {
  /** Its turn among those that wait. */
  readonly turn: number;
  /** Whose seconds `at_s` are: a device may wait past the night it was told in. */
  readonly night?: string;
  /** Whose it is; it is sent under no other name. */
  readonly by: string;
  /** Whether it may have reached the board. */
  readonly tried: boolean;
  /** The entry it became, once answered; the queue keeps it until the facts are as far. */
  readonly taken_as: number | null;
}

export interface Night {
  readonly house: ShownHouse | null;
  readonly shown: Shown | null;
  readonly facts: Facts | null;
  readonly lots: ToldLots | null;
  readonly day: DayNow | null;
  readonly seq: number;
  /** The last entry heard of on the stream; the facts are asked for anew while they lag behind it. */
  readonly heard: number;
  readonly queue: readonly Queued[];
  readonly refused: readonly RefusedHere[];
}

export const NOTHING: Night = { house: null, shown: null, facts: null, lots: null, day: null, seq: 0, heard: 0, queue: [], refused: [] };

export type Happening =
  | { readonly is: 'house'; readonly house: ShownHouse }
  /** The night as it stands; `anew` when the stream is then followed from there. */
  | { readonly is: 'state'; readonly seq: number; readonly facts: Facts; readonly anew: boolean }
  | { readonly is: 'shown'; readonly shown: Shown }
  | { readonly is: 'lots'; readonly lots: ToldLots }
  | { readonly is: 'day'; readonly day: DayNow }
  | { readonly is: 'entry'; readonly seq: number }
  | { readonly is: 'told'; readonly id: string; readonly at_s: number; readonly what: Told; readonly by: string; readonly night: string }
  | { readonly is: 'tried'; readonly id: string }
  | { readonly is: 'answered'; readonly answer: Answered }
  | { readonly is: 'lost_right'; readonly id: string; readonly words: string }
  | { readonly is: 'dropped'; readonly id: string }
  | { readonly is: 'seen'; readonly id: string };

/** The night after one more happening. */
export function after(night: Night, happening: Happening): Night {
  switch (happening.is) {
    case 'house':
      return { ...night, house: happening.house };
    case 'state':
      return withFacts(night, happening);
    case 'shown':
      return { ...night, shown: stillShown(night.shown, happening.shown) };
    case 'lots':
      return { ...night, lots: happening.lots };
    case 'day':
      return { ...night, day: happening.day };
    case 'entry':
      return { ...night, heard: Math.max(night.heard, happening.seq) };
    case 'told': {
      const { id, at_s, what, by, night: of } = happening;
      const turn = 1 + Math.max(0, ...night.queue.map((one) => one.turn));
      return { ...night, queue: [...night.queue, { id, at_s, what, by, night: of, turn, tried: false, taken_as: null }] };
    }
    case 'tried':
      return { ...night, queue: changed(night.queue, happening.id, { tried: true }) };
    case 'answered':
      return answered(night, happening.answer);
    case 'lost_right':
      return refusedHere(night, happening.id, happening.words);
    case 'dropped':
      return { ...night, queue: without(night.queue, happening.id) };
    case 'seen':
      return { ...night, refused: without(night.refused, happening.id) };
  }
}

/** A board that was started again has no plan until its planner is ready: the last one of its night stays, with its age. */
function stillShown(before: Shown | null, now: Shown): Shown {
  const made_s = before?.planner.made_s ?? null;
  if (before === null || made_s === null || now.planner.made_s !== null || now.seq < before.seq) return now;
  return { ...before, seq: now.seq, now_s: now.now_s, planner: { ...now.planner, made_s } };
}

/** The board's facts count, also where they are behind those known: anew, it may keep another night by now. */
function withFacts(night: Night, { seq, facts, anew }: Extract<Happening, { is: 'state' }>): Night {
  const queue = night.queue.filter((one) => one.taken_as === null || (!anew && one.taken_as > seq));
  return { ...night, seq, facts, heard: anew ? seq : Math.max(seq, night.heard), queue };
}

function answered(night: Night, answer: Answered): Night {
  if (!answer.taken) return refusedHere(night, answer.id, answer.words);
  const told = night.queue.find((one) => one.id === answer.id);
  if (answer.seq <= night.seq || (told !== undefined && isNoted(told.what))) return { ...night, queue: without(night.queue, answer.id) };
  return {
    ...night,
    heard: Math.max(night.heard, answer.seq),
    queue: changed(night.queue, answer.id, { tried: true, taken_as: answer.seq }),
  };
}

function refusedHere(night: Night, id: string, words: string): Night {
  const told = night.queue.find((one) => one.id === id);
  if (told === undefined) return night;
  const { at_s, what } = told;
  return { ...night, queue: without(night.queue, id), refused: [...night.refused, { id, at_s, what, words }] };
}

function without<T extends { readonly id: string }>(list: readonly T[], id: string): readonly T[] {
  return list.filter((one) => one.id !== id);
}

function changed(queue: readonly Queued[], id: string, part: Partial<Queued>): readonly Queued[] {
  return queue.map((one) => (one.id === id ? { ...one, ...part } : one));
}

/** The next command to send: the oldest without an answer. */
export function nextToSend(night: Night): Queued | null {
  return night.queue.find((one) => one.taken_as === null) ?? null;
}
