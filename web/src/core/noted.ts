// What goes into the records and not into the night's log.

import type { Noted } from '../wire.ts';
import type { Told } from './model.ts';

const KINDS: Readonly<Record<Noted['kind'], true>> = {
  lot_reading: true,
  lot_made: true,
  lot_became: true,
  lot_pulled: true,
  lot_marked: true,
  lot_chilled_by: true,
  lot_freezer: true,
  lot_time_marked: true,
  time_procedure: true,
  probe_in_ice: true,
  probe_in_boiling: true,
  deviation: true,
  deviation_closed: true,
};

/** Whether it is an entry of the records. */
export function isNoted(what: Told): what is Noted {
  return what.kind in KINDS;
}
