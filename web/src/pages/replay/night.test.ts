import assert from 'node:assert/strict';
import { test } from 'node:test';

import type { CourseAgain, Mark, Meant, PlateAgain, Replay } from '../../wire.ts';
import { meantBy, momentOf, share, stepped } from './night.ts';

const meant = (at_s: number, x_m: number, from_s: number, until_s: number): Meant => ({ at_s, stays: [{ from_s, until_s, x_m, y_m: 0.5 }] });
const plate: PlateAgain = {
  item: 'B4-1', table: 'B4', dish: 'pizza', course: 1, off: '',
  meant: [meant(0, 0.1, 900, 1100), meant(600, 0.3, 980, 1180)],
  stood: [{ from_s: 990, until_s: 1215, x_m: 0.3, y_m: 0.5 }],
};
const course: CourseAgain = { table: 'B4', course: 1, covers: 4, called_s: 10, wanted_s: 1300, told: [[10, 1320], [600, 1400]], landed_s: 1500 };
const spill = { at_s: 700, kind: 'spill', of: '', by: 'Ben', words: '', x_m: 0, y_m: 0.4, radius_m: 0.2, until_s: 1120 } as Mark;
const night: Replay = { from_s: 0, until_s: 3600, late_after_s: 120, plates: [plate], courses: [course], marks: [spill], late: [] };

test('a plate stands while it stood, and was meant by the plan chosen', () => {
  assert.deepEqual(momentOf(night, 950, 'first').meant.map((one) => one.x_m), [0.1]);
  assert.deepEqual(momentOf(night, 950, 'then').meant, []);
  assert.deepEqual(momentOf(night, 1000, 'then').meant.map((one) => one.x_m), [0.3]);
  assert.deepEqual(momentOf(night, 989, 'then').stood, []);
  assert.deepEqual(momentOf(night, 990, 'then').stood.map((one) => one.item), ['B4-1']);
  assert.deepEqual(momentOf(night, 1215, 'then').stood, []);
});

test('a stay whose end nobody told goes on', () => {
  const open: Replay = { ...night, plates: [{ ...plate, stood: [{ from_s: 990, until_s: null, x_m: 0, y_m: 0 }] }] };
  assert.equal(momentOf(open, 3600, 'then').stood.length, 1);
});

test('no plan is known before it was told, but the first is laid beside from the start', () => {
  assert.equal(meantBy(plate.meant, 599, 'then')?.at_s, 0);
  assert.equal(meantBy(plate.meant, -1, 'then'), undefined);
  assert.equal(meantBy(plate.meant, -1, 'first')?.at_s, 0);
});

test('a landing knows at each moment only what was known then', () => {
  assert.deepEqual(momentOf(night, 9, 'then').landings, []);
  const at = (s: number) => momentOf(night, s, 'then').landings[0];
  assert.deepEqual([at(10)?.then_s, at(10)?.behind_s, at(10)?.landed_s], [1320, 0, null]);
  assert.deepEqual([at(600)?.then_s, at(600)?.behind_s], [1400, 80]);
  assert.deepEqual([at(1500)?.landed_s, at(1500)?.behind_s], [1500, 180]);
  assert.deepEqual(momentOf(night, 1801, 'then').landings, []);
});

test('a spill shuts its circle until its end, and stands among what was told last', () => {
  assert.deepEqual(momentOf(night, 699, 'then').shut, []);
  assert.deepEqual(momentOf(night, 700, 'then').shut, [spill]);
  assert.deepEqual(momentOf(night, 1120, 'then').shut, []);
  assert.deepEqual(momentOf(night, 1120, 'then').marks, [spill]);
});

test('steps stay inside the night, and the share runs from nothing to all', () => {
  assert.equal(stepped(night, 30, -60), 0);
  assert.equal(stepped(night, 3590, 60), 3600);
  assert.deepEqual([share(night, 0), share(night, 900), share(night, 3600)], [0, 0.25, 1]);
  assert.equal(share({ from_s: 5, until_s: 5 }, 5), 0);
});
