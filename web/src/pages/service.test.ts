import assert from 'node:assert/strict';
import { test } from 'node:test';

import { FIRE, modelOf } from '../core/for_tests.ts';
import type { Model } from '../core/model.ts';
import type { Shown, ShownLanding, ToldLots } from '../wire.ts';
import { bandWords, burning, changeOf, floorAt } from './fire/foreseen.ts';
import { bandsOf } from './frame/bands.ts';
import { actOf, belongsTo, once } from './frame/keys.ts';
import { tapped } from './frame/wiping.ts';
import { atPass, countedWords, news, sizeWords, slipWords } from './pass/landings.ts';
import { probesOf } from './watch/probes.ts';

const planner = { condition: 'ready', made_s: 68990, behind: false, plain: false, trouble: '' } as const;
const fire = {
  ...FIRE,
  floor: [
    { at_s: 69000, zone_C: 360 },
    { at_s: 69600, zone_C: 350 },
    { at_s: 70800, zone_C: 374 },
  ],
};

function landing(table: string, honest_s: number, more: Partial<ShownLanding> = {}): ShownLanding {
  return {
    table,
    course: 1,
    drop: 1,
    drops: 1,
    covers: 2,
    wanted_s: honest_s,
    planned_s: honest_s,
    first_told_s: honest_s,
    honest_s,
    holds: 0.9,
    plates: [{ item: `${table}-1`, dish: 'pizza', begins_s: 0, in_s: 0, out_s: 0, ready_s: honest_s - 60 }],
    ...more,
  };
}

function model(more: Partial<Shown> = {}, and: Partial<Model> = {}): Model {
  return modelOf({ fire, ...more }, and);
}

test('landings by the minute to tell; what is not ready is out; what landed here is gone', () => {
  const two = model({ landings: [landing('C1', 69900), landing('B4', 69300)] });
  assert.deepEqual(
    atPass(two).map((one) => one.line.table),
    ['B4', 'C1'],
  );
  assert.deepEqual(atPass(two)[0]?.out, ['pizza']);
  assert.deepEqual(atPass({ ...two, now_s: 69250 })[0]?.out, []);
  const told = {
    ...two,
    queue: [{ id: 'l1', at_s: 69000, what: { kind: 'landed' as const, table: 'B4', course: 1 } }],
  };
  assert.deepEqual(
    atPass(told).map((one) => one.line.table),
    ['C1'],
  );
  const undone = {
    ...told,
    queue: [...told.queue, { id: 'u1', at_s: 69001, what: { kind: 'undo' as const, of: 'l1' } }],
  };
  assert.equal(atPass(undone).length, 2);
});

test('a course leaves with its last drop', () => {
  const drops = model({
    landings: [landing('C1', 69300, { drops: 2 }), landing('C1', 69660, { drop: 2, drops: 2 })],
  });
  assert.deepEqual(
    atPass(drops).map((one) => one.last_drop),
    [false, true],
  );
});

test('words of a landing', () => {
  const [one] = atPass(
    model({ landings: [landing('B4', 69300, { first_told_s: 69120, covers: 1, course: 2 })] }),
  );
  assert.ok(one !== undefined);
  assert.equal(slipWords('en', one.line), '3 min late');
  assert.equal(sizeWords('en', one.line), '1 cover, course 2');
  assert.equal(countedWords(['pizza', 'shrimp', 'pizza']), '2 pizza, shrimp');
});

test('what slipped, what was forced, what is held or dragged', () => {
  const course = { wanted_s: 0, drops: 1, drops_apart_s: 0, drag_s: 0, held: true, landed_s: null };
  const ticket = {
    table: 'D6',
    covers: 2,
    called_s: 0,
    priority: 1,
    allergy: [],
    refire_of: null,
    way: 'tapped',
    courses: [course, { ...course, held: false, drag_s: 240 }],
    plates: [],
  } as const;
  const facts = {
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
  const found = news(
    model(
      {
        slips: [{ table: 'B7', course: 1, was_s: 69000, is_s: 69300 }],
        forced: [{ item: 'A6-1', kind: 'parked', seconds: 95 }],
      },
      { facts },
    ),
  );
  assert.deepEqual(found, ['B7 slipped 5 min, to 19:15', 'A6-1 parked 2 min', 'D6 held', 'D6 dragged 4 min']);
});

test('the stone between foreseen seconds; nothing beyond them', () => {
  assert.equal(floorAt(fire.floor, 69300), 355);
  assert.equal(floorAt(fire.floor, 69000), 360);
  assert.equal(floorAt(fire.floor, 72000), null);
  assert.equal(floorAt([], 69000), null);
});

test('a temperature beside the house’s band', () => {
  assert.equal(bandWords(model(), 358), 'in band');
  assert.equal(bandWords(model(), 382), '12 above');
  assert.equal(bandWords(model(), 337), '8 below');
});

test('the next change of the flame, until it burns so', () => {
  const changes = [
    { at_s: 69100, level: 'half', up: false },
    { at_s: 70000, level: 'high', up: true },
  ];
  assert.equal(changeOf({ changes }, 'high', 69000)?.level, 'half');
  assert.equal(changeOf({ changes }, 'half', 69150)?.level, 'high');
  assert.equal(changeOf({ changes: [] }, 'half', 69150), null);
});

test('what burns: told here before the board knows, and not once it is undone', () => {
  const out = { id: 'f1', at_s: 69010, what: { kind: 'flame_out' as const } };
  assert.equal(burning(model({}, { queue: [out] })).out_since_s, 69010);
  const lit = { id: 'f2', at_s: 69400, what: { kind: 'flame' as const, level: 'low' } };
  assert.deepEqual(burning(model({}, { queue: [out, lit] })), { level: 'low', out_since_s: null });
  assert.equal(
    burning(model({}, { queue: [out, { id: 'u1', at_s: 69012, what: { kind: 'undo', of: 'f1' } }] }))
      .out_since_s,
    null,
  );
});

test('probes soonest first, with what was read here', () => {
  const probe = {
    item: 'B4-1',
    table: 'B4',
    dish: 'steak',
    wants_C: 52,
    at_s: 69100,
    last_C: null,
    last_s: null,
  };
  const other = { ...probe, item: 'C1-1', at_s: 69050 };
  const read = {
    id: 'r1',
    at_s: 69020,
    what: {
      kind: 'reading' as const,
      of: 'core' as const,
      instrument: 'probe',
      item: 'B4-1',
      temperature_C: 48,
    },
  };
  const found = probesOf(model({ probes: [probe, other] }, { queue: [read] }));
  assert.deepEqual(
    found.map((one) => [one.probe.item, one.last_C]),
    [
      ['C1-1', null],
      ['B4-1', 48],
    ],
  );
});

test('bands say what is wrong, and nothing when all is well', () => {
  assert.deepEqual(bandsOf(model()), []);
  assert.deepEqual(bandsOf(model({}, { who: { name: 'Ida', role: 'inspector' } })), [
    'You read only: nothing you tap is told.',
  ]);
  const queue = [1, 2, 3].map((n) => ({ id: `d${n}`, at_s: 69000, what: { kind: 'flame_out' as const } }));
  assert.deepEqual(bandsOf(model({}, { link: 'lost', lost_since_s: 68640, queue })), [
    'No link since 19:04, counting on. 3 told here wait.',
  ]);
  assert.deepEqual(bandsOf(model({ planner: { ...planner, condition: 'down', made_s: 68520 } })), [
    'Plan of 19:02: the planner is starting again.',
  ]);
});

test('a lot that is to be probed, or cools too slowly, is told', () => {
  const lot = { lot: 'Wings 2', dish: 'wings', cooling_since_s: 65400, next_look_s: 69000, foreseen: null };
  const lots = (part: object) => ({ lots: [{ ...lot, ...part }] }) as unknown as ToldLots;
  assert.deepEqual(bandsOf(model({}, { lots: lots({}) })), ['Probe Wings 2 now: it cools since 18:10.']);
  assert.deepEqual(bandsOf(model({}, { lots: lots({ next_look_s: 69001 }) })), []);
  assert.deepEqual(bandsOf(model({}, { lots: lots({ foreseen: { warnings: ['x'] } }) })), ['Wings 2 cools too slowly: see lots.']);
});

test('one press is one act: pedal, keys, and what has the focus goes before', () => {
  for (const key of [' ', 'PageDown', 'Enter']) assert.equal(actOf(key), 'done');
  assert.equal(actOf('n'), 'not_yet');
  assert.equal(actOf('Backspace'), 'undo');
  assert.equal(actOf('x'), null);
  assert.equal(belongsTo({ tagName: 'BUTTON' }, ' '), true);
  assert.equal(belongsTo({ tagName: 'BUTTON' }, 'PageDown'), false);
  assert.equal(belongsTo({ tagName: 'BODY' }, ' '), false);
});

test('a second tap of two is the same tap', () => {
  let acts = 0;
  const tap = once(() => {
    acts += 1;
  });
  for (const detail of [1, 2, 3, 1, 0]) tap({ detail });
  assert.equal(acts, 3);
});

test('two different corners open the lock, one tapped twice does not', () => {
  assert.equal(tapped(tapped([], 0), 0).length, 1);
  assert.equal(tapped(tapped([], 0), 3).length, 2);
});
