import assert from 'node:assert/strict';
import { test } from 'node:test';

import type { DayLine } from '../../wire.ts';
import { atTop, dateWords, daySecond, linesOf, MOMENT_S, peopleOf, rowsOf, standOf } from './day.ts';

const HOUR_S = 3600;

function line(what: string, hour: number, until: number | null, who = 'Ana'): DayLine {
  return { what, who, from_s: hour * HOUR_S, until_s: until === null ? null : until * HOUR_S, kind: 'hearth', where: '', how_much: '', due_s: null, why: '' };
}

const DAY = {
  lines: [line('chill', 15, 17), line('beans out', 31, 31.2, 'Cleo'), line('light', 13, 16, 'Ben'), line('line-up', 16.5, 16.6, ''), line('put in', 14.5, 14.51)],
};
const said = (lines: readonly DayLine[]): string[] => lines.map((one) => one.what);

test('whoever is in stands first, the others as they first come, nobody twice', () => {
  assert.deepEqual(peopleOf(DAY, 'Cleo'), ['Cleo', 'Ben', 'Ana']);
  assert.deepEqual(peopleOf(DAY, 'Iva'), ['Ben', 'Ana', 'Cleo']);
  assert.deepEqual(peopleOf(DAY, null), ['Ben', 'Ana', 'Cleo']);
});

test('a person sees their own lines and those that are nobody’s, by clock', () => {
  assert.deepEqual(said(linesOf(DAY, 'Ana')), ['put in', 'chill', 'line-up']);
  assert.deepEqual(said(linesOf(DAY, null)), ['light', 'put in', 'chill', 'line-up', 'beans out']);
});

test('a line is now from its first second to its last, three minutes at the least', () => {
  const long = { from_s: 1000, until_s: 4000 };
  assert.deepEqual([999, 1000, 3999, 4000].map((at) => standOf(long, at)), ['ahead', 'now', 'now', 'past']);
  for (const short of [{ from_s: 1000, until_s: 1045 }, { from_s: 1000, until_s: null }]) {
    assert.deepEqual([1000 + MOMENT_S - 1, 1000 + MOMENT_S].map((at) => standOf(short, at)), ['now', 'past']);
  }
});

test('on top stands what began last, then the three next', () => {
  const lines = linesOf({ lines: [...DAY.lines, line('watch', 14, 18), line('dough', 16.2, 16.3), line('floor', 16.4, 16.5)] }, null);
  const top = atTop(lines, 15.5 * HOUR_S);
  assert.deepEqual([said(top.now), top.more, said(top.next)], [['chill', 'watch'], 1, ['dough', 'floor', 'line-up']]);
  assert.deepEqual(atTop(lines, 40 * HOUR_S), { now: [], more: 0, next: [] });
});

test('the minute it is stands between what began and what is to come, midnight before what is beyond it', () => {
  const rows = (at: number): string[] => rowsOf(linesOf(DAY, null), at * HOUR_S).map((row) => (row.is === 'line' ? `${row.line.what} ${row.stand}` : row.is));
  assert.deepEqual(rows(15.5), ['light now', 'put in past', 'chill now', 'clock', 'line-up ahead', 'midnight', 'beans out ahead']);
  assert.deepEqual(rows(8)[0], 'light ahead');
  assert.ok(!rows(40).includes('clock'));
});

test('seconds are the day’s own, also on a board whose night was yesterday’s', () => {
  assert.equal(daySecond({ midnight_s: 0 }, 52_500), 52_500);
  assert.equal(daySecond({ midnight_s: 86_400 }, 86_400 + 30_000), 30_000);
});

test('2 June 2026 was a Tuesday in every language', () => {
  assert.deepEqual((['en', 'es', 'it'] as const).map((one) => dateWords('2026-06-02', one)), ['Tuesday 2 June', 'martes, 2 de junio', 'martedì 2 giugno']);
});
