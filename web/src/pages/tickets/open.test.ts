import assert from 'node:assert/strict';
import { test } from 'node:test';

import type { ActDone, Facts, LiveCourse, LivePlate, LiveTicket, Shown, ShownLanding } from '../../wire.ts';
import { againName, dragged, groups, landedTables, lastOf, moved, openLines, recovered, spilt, stageOf } from './open.ts';

const T = 68400;
const course = (part: Partial<LiveCourse> = {}): LiveCourse =>
  ({ wanted_s: T + 1320, drops: 1, drops_apart_s: 0, drag_s: 0, held: false, landed_s: null, ...part });
const plate = (key: string, dish: string, part: Partial<LivePlate> = {}): LivePlate =>
  ({ key, dish, course: 1, spot: null, allergy: [], off: '', done: [], later: [], seen_done_s: null, ...part });
const did = (act: ActDone['act']): ActDone => ({ act, nth: 1, at_s: T, by: 'Ana', assumed: false });
const ticket = (table: string, courses: LiveCourse[], plates: LivePlate[]): LiveTicket =>
  ({ table, covers: 4, called_s: T, priority: 1, allergy: [], refire_of: null, way: 'tapped', courses, plates });
const facts = (...tickets: LiveTicket[]): Facts => ({ tickets } as unknown as Facts);
const landing = (table: string, planned_s: number, first_told_s: number, drop = 1): ShownLanding =>
  ({ table, course: 1, drop, planned_s, first_told_s } as unknown as ShownLanding);
const shown = (...landings: ShownLanding[]): Shown => ({ landings } as unknown as Shown);

test('lines are the courses still to land, the soonest first, held ones last', () => {
  const night = facts(
    ticket('B4', [course({ held: true, wanted_s: T + 60 })], [plate('B4-1', 'pizza')]),
    ticket('B5', [course({ landed_s: T })], [plate('B5-1', 'pizza')]),
    ticket('B6', [course({ wanted_s: T + 900 }), course()], [plate('B6-1', 'pizza'), plate('B6-2', 'dip', { course: 2 })]),
    ticket('B7', [course()], [plate('B7-1', 'pizza', { off: '86' })]),
  );
  assert.deepEqual(openLines(night, null).map((line) => [line.table, line.course]), [['B6', 1], ['B6', 2], ['B4', 1]]);
});

test('a line lands as its last drop is planned, and says how far behind what was first told', () => {
  const night = facts(ticket('B4', [course({ drag_s: 60 })], [plate('B4-1', 'pizza')]));
  const [planned] = openLines(night, shown(landing('B4', T + 1400, T + 1320), landing('B4', T + 1800, T + 1600, 2)));
  assert.deepEqual([planned?.lands_s, planned?.behind_s, planned?.planned], [T + 1800, 200, true]);
  const [unplanned] = openLines(night, shown());
  assert.deepEqual([unplanned?.lands_s, unplanned?.behind_s, unplanned?.planned], [T + 1380, 0, false]);
});

test('a base dressed at the bench waits, one launched is on, one pulled is off the hearth', () => {
  assert.equal(stageOf(plate('a', 'pizza', { done: [did('dress')] })), 'waits');
  assert.equal(stageOf(plate('a', 'pizza', { done: [did('dress'), did('launch')] })), 'on');
  assert.equal(stageOf(plate('a', 'pizza', { done: [did('launch'), did('pull')] })), 'off_hearth');
});

test('plates that wait are one group a dish and mark, those begun stand alone', () => {
  const found = groups([
    plate('B4-1', 'pizza'), plate('B4-2', 'pizza', { done: [did('launch')] }), plate('B4-3', 'pizza'),
    plate('B4-4', 'pizza', { allergy: ['milk'] }),
  ]);
  assert.deepEqual(found.map((group) => group.keys), [['B4-1', 'B4-3'], ['B4-2'], ['B4-4']]);
  assert.equal(lastOf(found[0]!), 'B4-3');
});

test('a drag is added to the one before and ends at an hour', () => {
  const [line] = openLines(facts(ticket('B4', [course({ drag_s: 300 })], [plate('B4-1', 'pizza')])), null);
  assert.deepEqual(dragged(line!, 120), { kind: 'drag', table: 'B4', course: 1, drag_s: 420 });
  assert.equal((dragged(line!, 9999) as { drag_s: number }).drag_s, 3600);
});

test('no minute is moved into the past, no table is left without guests', () => {
  const [line] = openLines(facts(ticket('B4', [course()], [plate('B4-1', 'pizza')])), null);
  assert.equal(moved(line!, -1320, T), null);
  assert.deepEqual(moved(line!, -300, T), { kind: 'amend', table: 'B4', course: 1, wanted_s: T + 1020 });
  assert.equal(recovered(line!, -4), null);
  assert.deepEqual(recovered(line!, 1), { kind: 'amend', table: 'B4', course: 1, covers: 5 });
});

test('a spill is a circle to the centimetre, shut for seven minutes', () => {
  assert.deepEqual(spilt(0.1234, 0.5, 0.2, T), { kind: 'spill', x_m: 0.12, y_m: 0.5, radius_m: 0.2, until_s: T + 420 });
});

test('plates made again go under a name nobody has, for tables that have landed', () => {
  const gone = [course({ landed_s: T + 5 })];
  const night = facts(ticket('B4', gone, []), ticket('B4R', [course()], []), ticket('B5', [course({ landed_s: T + 9 })], []));
  assert.equal(againName(night, 'B4'), 'B4R2');
  assert.equal(againName(night, 'B5'), 'B5R');
  assert.deepEqual(landedTables(night, 5), ['B5', 'B4']);
});
