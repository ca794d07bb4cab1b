// What deserves a sound: exceptions only, never every pie. Pure: what is so now, and what was called before.

import { dangersNow } from '../core/danger.ts';
import type { Model } from '../core/model.ts';
import { burning } from '../pages/fire/foreseen.ts';
import { nextMoves } from '../pages/hearth/next.ts';
import { actWord, nounOf } from '../pages/hearth/said.ts';
import { probesOf } from '../pages/watch/probes.ts';
import type { Facts } from '../wire.ts';
import { say } from '../words/say.ts';

/** Three levels and no more: a hazard, something to do by a clock, a note. */
export type Level = 'hazard' | 'act' | 'note';

export interface Call {
  /** What it is about: the same thing is called once. */
  readonly key: string;
  readonly level: Level;
  readonly words: string;
}

const PROBE_AHEAD_S = 10; // own choice: time to pick the probe up
const FIRST_AHEAD_S = 20; // own choice: time to get a first plate ready
const OUT_OF_ORDER_S = 20; // a later act done so much before an earlier one that is still due: own choice
const FLAME_AHEAD_S = 15;
const LOOK_S = 600; // a look that was due longer ago is shown and no longer sounded: own choice
const FLOOR_MINUTES = 5; // own choice

/** Everything that is an exception now, the gravest first. A screen for one cook hears that cook's. */
export function callsNow(model: Model): readonly Call[] {
  if (dangersNow(model).size > 0) return flameCalls(model).filter((call) => call.level === 'hazard');
  if (model.shown === null) return lotCalls(model);
  return [
    ...flameCalls(model),
    ...lotCalls(model),
    ...probeCalls(model),
    ...lateCalls(model),
    ...orderCalls(model),
    ...floorCalls(model),
    ...firstCalls(model),
  ];
}

function flameCalls(model: Model): Call[] {
  const {
    settings: { language },
    now_s,
    shown,
  } = model;
  const { level, out_since_s } = burning(model);
  if (out_since_s !== null)
    return [{ key: `out ${out_since_s}`, level: 'hazard', words: say(language, 'spoken.out') }];
  return (shown?.fire.changes ?? [])
    .filter(
      (change) => change.level !== level && change.at_s - FLAME_AHEAD_S <= now_s && now_s < change.at_s + 120,
    )
    .map((change) => ({
      key: `flame ${change.at_s}`,
      level: 'act' as const,
      words: say(language, 'spoken.flame', { level: change.level }),
    }));
}

/** A lot that cools is to be probed, once for each look; one that is foreseen too slow, once. */
function lotCalls({ house, lots, now_s, settings: { language } }: Model): Call[] {
  return (lots?.lots ?? []).flatMap(({ lot, dish, next_look_s, foreseen }) => {
    const noun = nounOf(house, dish);
    const calls: Call[] = [];
    if ((foreseen?.warnings.length ?? 0) > 0)
      calls.push({ key: `slow ${lot}`, level: 'act', words: say(language, 'spoken.slow', { dish: noun }) });
    if (next_look_s !== null && next_look_s <= now_s && now_s < next_look_s + LOOK_S)
      calls.push({ key: `look ${lot} ${next_look_s}`, level: 'act', words: say(language, 'spoken.look', { dish: noun }) });
    return calls;
  });
}

/** A core that decides is wanted now, and nobody has read it in the last minute. */
function probeCalls(model: Model): Call[] {
  const {
    house,
    settings: { language },
    now_s,
  } = model;
  return probesOf(model)
    .filter(
      ({ probe, last_s }) =>
        probe.at_s - PROBE_AHEAD_S <= now_s &&
        now_s < probe.at_s + 120 &&
        (last_s === null || last_s < probe.at_s - 60),
    )
    .map(({ probe }) => ({
      key: `probe ${probe.item}`,
      level: 'act' as const,
      words: say(language, 'spoken.probe', { table: probe.table, dish: nounOf(house, probe.dish) }),
    }));
}

/** A table slipped for those who stand at the hearth: once for each further late minute the house minds. */
function lateCalls({ house, shown, settings: { language } }: Model): Call[] {
  return (shown?.slips ?? [])
    .filter((slip) => slip.is_s - slip.was_s >= house.late_after_s)
    .map((slip) => ({
      key: `late ${slip.table}/${slip.course} ${Math.floor((slip.is_s - slip.was_s) / house.late_after_s)}`,
      level: 'note' as const,
      words: say(language, 'spoken.late', {
        table: slip.table,
        minutes: Math.round((slip.is_s - slip.was_s) / 60),
      }),
    }));
}

/** Somebody told a later act before an earlier one of the same cook that is due. */
function orderCalls(model: Model): Call[] {
  const {
    settings: { language },
    now_s,
  } = model;
  const [first] = nextMoves(model);
  if (first === undefined || first.put_off || now_s < first.due_s) return [];
  const told = toldActs(model.facts).find(
    (one) => one.at_s > now_s - 15 && one.item !== first.move.item && plannedAfter(model, one, first.due_s),
  );
  if (told === undefined) return [];
  return [
    {
      key: `order ${first.move.item} ${first.move.act} ${first.move.nth}`,
      level: 'note',
      words: say(language, 'spoken.order', { table: first.move.table, other: told.table }),
    },
  ];
}

interface ToldAct {
  readonly item: string;
  readonly table: string;
  readonly act: string;
  readonly nth: number;
  readonly at_s: number;
}

function toldActs(facts: Facts | null): ToldAct[] {
  return (facts?.tickets ?? []).flatMap((ticket) =>
    ticket.plates.flatMap((plate) =>
      plate.done
        .filter((done) => !done.assumed)
        .map((done) => ({
          item: plate.key,
          table: ticket.table,
          act: done.act,
          nth: done.nth,
          at_s: done.at_s,
        })),
    ),
  );
}

/** Whether the plan still has a done act among those to come, well after another. */
function plannedAfter({ shown }: Model, one: ToldAct, due_s: number): boolean {
  const move = shown?.moves.find(
    (other) => other.item === one.item && other.act === one.act && other.nth === one.nth,
  );
  return move !== undefined && move.start_s > due_s + OUT_OF_ORDER_S;
}

/** The stone is out of the house's band and stays so for the minutes foreseen next: a load dips it for less. */
function floorCalls({ house, shown, settings: { language } }: Model): Call[] {
  const next = (shown?.fire.floor ?? []).slice(0, FLOOR_MINUTES).map((one) => one.zone_C);
  if (next.length === 0) return [];
  if (Math.min(...next) > house.band_C[1])
    return [{ key: 'floor high', level: 'note', words: say(language, 'spoken.high') }];
  if (Math.max(...next) < house.band_C[0])
    return [{ key: 'floor low', level: 'note', words: say(language, 'spoken.low') }];
  return [];
}

function firstCalls(model: Model): Call[] {
  const {
    house,
    now_s,
    settings: { language },
  } = model;
  return nextMoves(model)
    .filter(({ move, due_s }) => move.first_of_table && due_s - FIRST_AHEAD_S <= now_s && now_s < due_s)
    .map(({ move }) => ({
      key: `first ${move.table}`,
      level: 'note' as const,
      words: say(language, 'spoken.first', {
        table: move.table,
        dish: nounOf(house, move.dish),
        act: actWord(language, move.act),
      }),
    }));
}
