import assert from 'node:assert/strict';
import { test } from 'node:test';

import { firstSettings } from '../../core/first_settings.ts';
import { move } from '../../core/for_tests.ts';
import type { Model, Waiting } from '../../core/model.ts';
import type { Facts, LivePlate, Shown, ShownMove, ShownStay } from '../../wire.ts';
import { lastAct, nextMoves, NOT_YET_S, tableOf, TAKEN_S } from './next.ts';
import { coming, standing } from './stand.ts';

function plate(key: string, more: Partial<LivePlate> = {}): LivePlate {
  return {
    key,
    dish: 'pizza',
    course: 1,
    spot: null,
    allergy: [],
    off: '',
    done: [],
    later: [],
    seen_done_s: null,
    ...more,
  };
}

function facts(plates: readonly LivePlate[]): Facts {
  const ticket = {
    table: 'B4',
    covers: 2,
    called_s: 0,
    priority: 1,
    allergy: [],
    refire_of: null,
    way: 'tapped' as const,
    courses: [],
    plates,
  };
  return {
    tickets: [ticket],
    gone: [],
    cooks_out: [],
    shut: [],
    dead_platters: 0,
    flame: null,
    flame_out: null,
    gas_shut: null,
    dangers: [],danger_over_s: -1,
    readings: [],
    plan: null,
    wasted: [],
    handover: null,
  };
}

type Asked = Pick<Model, 'shown' | 'facts' | 'queue' | 'now_s' | 'settings'>;

function model(moves: readonly ShownMove[], now_s: number, more: Partial<Asked> = {}): Asked {
  const shown = { moves } as unknown as Shown;
  return { shown, facts: null, queue: [], now_s, settings: firstSettings(['en']), ...more };
}

const MOVES = [
  move('B4-1', 'turn', 130),
  move('B4-2', 'launch', 100),
  move('B4-1', 'pull', 200),
  move('C1-1', 'launch', 160),
];

test('the three soonest, in the order they are due', () => {
  assert.deepEqual(
    nextMoves(model(MOVES, 90)).map((one) => one.move.start_s),
    [100, 130, 160],
  );
});

test('one cook’s screen shows that cook’s moves alone', () => {
  const moves = [...MOVES, move('B4-1', 'cut', 95, { cook: 'Pass' })];
  const settings = { ...firstSettings(['en']), cook: 'Pass' };
  assert.deepEqual(
    nextMoves(model(moves, 90, { settings })).map((one) => one.move.act),
    ['cut'],
  );
  assert.equal(nextMoves(model(moves, 90)).length, 3);
});

test('what was told here counts before the board has answered, and no more once it is undone', () => {
  const done: Waiting = { id: 'd1', at_s: 98, what: { kind: 'done', item: 'B4-2', act: 'launch' } };
  assert.equal(nextMoves(model(MOVES, 99, { queue: [done] }))[0]?.move.act, 'turn');
  const undo: Waiting = { id: 'u1', at_s: 99, what: { kind: 'undo', of: 'd1' } };
  assert.equal(nextMoves(model(MOVES, 99, { queue: [done, undo] }))[0]?.move.act, 'launch');
});

test('a move that was put off comes so much later, told here or by the board', () => {
  const later: Waiting = {
    id: 'n1',
    at_s: 99,
    what: { kind: 'not_yet', item: 'B4-2', act: 'launch', late_s: NOT_YET_S },
  };
  const here = nextMoves(model(MOVES, 100, { queue: [later] })).find((one) => one.move.item === 'B4-2');
  assert.equal(here?.due_s, 129);
  assert.equal(here?.put_off, true);
  const known = facts([plate('B4-2', { later: [{ act: 'launch', nth: 1, until_s: 140 }] })]);
  const there = nextMoves(model(MOVES, 100, { facts: known })).find((one) => one.move.item === 'B4-2');
  assert.equal(there?.due_s, 140);
});

test('a due move nobody contradicts leaves by itself once its hands are over', () => {
  assert.equal(nextMoves(model(MOVES, 105))[0]?.move.item, 'B4-2');
  assert.notEqual(nextMoves(model(MOVES, 114))[0]?.move.item, 'B4-2');
});

test('it is then named as taken as done, for a while, to be contradicted', () => {
  const last = lastAct(model(MOVES, 115), []);
  assert.deepEqual([last?.item, last?.act, last?.assumed, last?.id], ['B4-2', 'launch', true, null]);
  assert.equal(lastAct(model([MOVES[1]!], 110 + TAKEN_S + 1), []), null);
});

test('an act the board took as done is named too; one somebody told is not to be contradicted here', () => {
  const done = { act: 'launch' as const, nth: 1, at_s: 100, by: 'the clock' };
  assert.equal(
    lastAct(model([], 105, { facts: facts([plate('B4-2', { done: [{ ...done, assumed: true }] })]) }), [])
      ?.item,
    'B4-2',
  );
  assert.equal(
    lastAct(model([], 105, { facts: facts([plate('B4-2', { done: [{ ...done, assumed: false }] })]) }), []),
    null,
  );
});

test('what was told here can be taken back for ten seconds', () => {
  const told: Waiting = { id: 'd1', at_s: 100, what: { kind: 'done', item: 'B4-2', act: 'launch' } };
  assert.equal(lastAct(model([], 109), [told])?.id, 'd1');
  assert.equal(lastAct(model([], 110.1), [told]), null);
});

function stay(item: string, from_s: number, until_s: number, x_m = 0): ShownStay {
  return {
    item,
    table: tableOf(item),
    dish: 'pizza',
    from_s,
    until_s,
    x_m,
    y_m: 0.5,
    shape: 'disc',
    width_m: 0.3,
    depth_m: 0.3,
    facing_deg: 10,
    tall: false,
  };
}

test('an item stands from its launch until its time is over, or until somebody pulled it', () => {
  const stays = [stay('B4-1', 50, 200), stay('B4-2', 100, 280)];
  const next = nextMoves(model(MOVES, 90));
  assert.deepEqual(
    standing(stays, next, null, 90).map((one) => one.stay.item),
    ['B4-1'],
  );
  const pulled = facts([
    plate('B4-1', { done: [{ act: 'pull', nth: 1, at_s: 80, by: 'Ana', assumed: false }] }),
  ]);
  assert.deepEqual(standing(stays, next, pulled, 90), []);
});

test('a launch that is put off keeps its item off the stone, a pull put off keeps it on', () => {
  const stays = [stay('B4-2', 100, 280), stay('B4-1', 50, 200)];
  const late: Waiting = {
    id: 'n1',
    at_s: 99,
    what: { kind: 'not_yet', item: 'B4-2', act: 'launch', late_s: 30 },
  };
  const next = nextMoves(model(MOVES, 110, { queue: [late] }));
  assert.deepEqual(
    standing(stays, next, null, 110).map((one) => one.stay.item),
    ['B4-1'],
  );
  const pull: Waiting = {
    id: 'n2',
    at_s: 199,
    what: { kind: 'not_yet', item: 'B4-1', act: 'pull', late_s: 30 },
  };
  const held = nextMoves(model([move('B4-1', 'pull', 200)], 210, { queue: [pull] }));
  assert.deepEqual(
    standing(stays, held, null, 210)
      .map((one) => one.stay.item)
      .sort(),
    ['B4-1', 'B4-2'],
  );
});

test('where the next ones go: launches and moves, with the way from the old place', () => {
  const stays = [stay('B4-1', 50, 150, -0.3), stay('B4-1', 150, 260, 0.3), stay('B4-2', 100, 280)];
  const next = nextMoves(
    model([move('B4-2', 'launch', 100), move('B4-1', 'move', 150), move('B4-1', 'pull', 260)], 95),
  );
  const found = coming(stays, next);
  assert.deepEqual(
    found.map((one) => [one.move.item, one.stay.x_m, one.from?.x_m ?? null]),
    [
      ['B4-2', 0, null],
      ['B4-1', 0.3, -0.3],
    ],
  );
});
