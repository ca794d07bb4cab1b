// What stands on the stone at a second, and what is to stand there next.

import type { Facts, ShownMove, ShownStay } from '../../wire.ts';
import type { NextMove } from './next.ts';

export interface Standing {
  readonly stay: ShownStay;
  /** Where its leading edge points now; null where no act says. */
  readonly facing_deg: number | null;
  /** What the next move will do to it, if it is this item's. */
  readonly next: NextMove | null;
}

export interface Coming {
  readonly move: ShownMove;
  readonly stay: ShownStay;
  /** Where it stands now, for one that is moved. */
  readonly from: ShownStay | null;
}

const COME: readonly ShownMove['act'][] = ['launch', 'load', 'move'];

/** What stands there: from its launch, as long as nobody has pulled it and its time is not over. */
export function standing(
  stays: readonly ShownStay[],
  next: readonly NextMove[],
  facts: Facts | null,
  now_s: number,
): readonly Standing[] {
  const latest = new Map<string, ShownStay>();
  const out = itemsOut(facts);
  for (const stay of stays) {
    if (stay.from_s > now_s || out.has(stay.item)) continue;
    const waits = next.find(({ move }) => move.item === stay.item);
    const held = waits !== undefined && waits.put_off && !COME.includes(waits.move.act);
    if ((now_s < stay.until_s || held) && !hasYetToCome(stay, waits)) {
      const other = latest.get(stay.item);
      if (other === undefined || other.from_s < stay.from_s) latest.set(stay.item, stay);
    }
  }
  return [...latest.values()].map((stay) => ({
    stay,
    facing_deg: stay.facing_deg,
    next: next.find(({ move }) => move.item === stay.item) ?? null,
  }));
}

/** A stay whose own launch still waits among the moves has not begun, whatever its planned second says. */
function hasYetToCome(stay: ShownStay, waits: NextMove | undefined): boolean {
  return waits !== undefined && COME.includes(waits.move.act) && stay.from_s >= waits.move.start_s - 1;
}

/** What somebody pulled, or is no longer made. */
function itemsOut(facts: Facts | null): ReadonlySet<string> {
  const plates = facts?.tickets.flatMap((ticket) => ticket.plates) ?? [];
  return new Set(
    plates
      .filter((one) => one.off !== '' || one.done.some(({ act, assumed }) => act === 'pull' && !assumed))
      .map(({ key }) => key),
  );
}

/** Where the next moves put something: its place, and where it comes from if it is on the stone already. */
export function coming(stays: readonly ShownStay[], next: readonly NextMove[]): readonly Coming[] {
  return next.flatMap(({ move }) => {
    if (!COME.includes(move.act) || move.x_m === null) return [];
    const stay = stays.find(
      (one) => one.item === move.item && Math.abs(one.from_s - move.start_s) <= Math.max(15, move.hands_s),
    );
    if (stay === undefined) return [];
    const from =
      stays.find((one) => one.item === move.item && one.until_s <= stay.from_s + 15 && one !== stay) ?? null;
    return [{ move, stay, from: move.act === 'move' ? from : null }];
  });
}

/** What stands and comes where, in one word: the same word, the same drawing. */
export function placesKey(onStone: readonly Standing[], comes: readonly Coming[]): string {
  const stays = onStone.map(
    ({ stay, facing_deg, next }) => `${stay.item} ${stay.x_m} ${stay.y_m} ${facing_deg} ${next?.move.act}`,
  );
  return [...stays, ...comes.map(({ move, stay }) => `${move.item} to ${stay.x_m} ${stay.y_m}`)].join(';');
}
