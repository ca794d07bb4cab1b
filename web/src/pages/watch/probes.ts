// What to temp next, with what was read here and the board does not know yet.

import type { Model } from '../../core/model.ts';
import type { Reading, ShownProbe } from '../../wire.ts';

export interface Probe {
  readonly probe: ShownProbe;
  readonly last_C: number | null;
  readonly last_s: number | null;
}

/** The probes to come, soonest first. */
export function probesOf({ shown, queue }: Pick<Model, 'shown' | 'queue'>): readonly Probe[] {
  const read = new Map(
    queue.flatMap(({ at_s, what }) =>
      what.kind === 'reading' && what.item ? [[what.item, { what, at_s }] as const] : [],
    ),
  );
  return [...(shown?.probes ?? [])]
    .sort((a, b) => a.at_s - b.at_s || a.item.localeCompare(b.item))
    .map((probe) => {
      const here = read.get(probe.item);
      return here === undefined
        ? { probe, last_C: probe.last_C, last_s: probe.last_s }
        : { probe, last_C: here.what.temperature_C, last_s: here.at_s };
    });
}

export function coreOf(probe: Pick<ShownProbe, 'item'>, temperature_C: number): Reading {
  return { kind: 'reading', of: 'core', instrument: 'probe', item: probe.item, temperature_C };
}
