// How long what was told can be taken back.

import type { Waiting } from '../../core/model.ts';

/** How long what was told here can be taken back: as the board takes it. */
export const UNDO_S = 10;

/** What of a list can still be taken back at a second. */
export function fresh(list: readonly Waiting[], now_s: number): readonly Waiting[] {
  return list.filter(({ at_s }) => now_s - at_s < UNDO_S);
}
