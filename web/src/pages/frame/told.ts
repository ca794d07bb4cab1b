// What was told on this page in the last ten seconds, so that it can be taken back.

import { useState } from 'preact/hooks';

import type { Doings, Model, Waiting } from '../../core/model.ts';
import type { What } from '../../wire.ts';
import { mayTell } from './bands.ts';
import { fresh } from './fresh.ts';

export interface Told {
  readonly list: readonly Waiting[];
  /** The last that can still be taken back. */
  readonly last: Waiting | null;
  tell(what: What): void;
  undo(id: string): void;
}

export function useTold(model: Model, doings: Doings): Told {
  const [all, setAll] = useState<readonly Waiting[]>([]);
  const list = fresh(all, model.now_s);
  return {
    list,
    last: list.at(-1) ?? null,
    tell: (what) => {
      if (!mayTell(model)) return;
      const one = { id: doings.tell(what), at_s: model.now_s, what };
      setAll((before) => [...fresh(before, model.now_s), one]);
    },
    undo: (id) => {
      doings.undo(id);
      setAll((before) => before.filter((one) => one.id !== id));
    },
  };
}
