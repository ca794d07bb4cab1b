import assert from 'node:assert/strict';
import { test } from 'node:test';

import { firstSettings } from '../core/first_settings.ts';
import { FIRE as fire, modelOf as model, move } from '../core/for_tests.ts';
import type { Model } from '../core/model.ts';
import { callsNow, type Call } from './calls.ts';
import { Ear } from './ear.ts';
import { EACH_S, paced, perTenMinutes, QUIET, SAVED, type Pace } from './pace.ts';
import { TONES } from './tones.ts';

const words = (of: Model): string[] => callsNow(of).map((call) => call.words);

test('a pie that goes as planned is never called', () => {
  assert.deepEqual(
    words(
      model({
        moves: [move('B4-1', 'turn', 69000), move('B4-1', 'pull', 69060), move('B4-2', 'launch', 69005)],
      }),
    ),
    [],
  );
});

test('exceptions are: late, first of a table, probe now, floor out of band, flame', () => {
  assert.deepEqual(words(model({ slips: [{ table: 'B4', course: 1, was_s: 69000, is_s: 69240 }] })), [
    'B4, 4 late',
  ]);
  assert.deepEqual(words(model({ slips: [{ table: 'B4', course: 1, was_s: 69000, is_s: 69060 }] })), []);
  assert.deepEqual(words(model({ moves: [move('B4-1', 'launch', 69010, { first_of_table: true })] })), [
    'B4 starts: pizza in',
  ]);
  const probe = {
    item: 'B4-2',
    table: 'B4',
    dish: 'steak',
    wants_C: 52,
    at_s: 69005,
    last_C: null,
    last_s: null,
  };
  assert.deepEqual(words(model({ probes: [probe] })), ['B4, temp steak']);
  assert.deepEqual(words(model({ probes: [{ ...probe, last_C: 50, last_s: 68990 }] })), []);
  assert.deepEqual(words(model({ fire: { ...fire, floor: [{ at_s: 69000, zone_C: 380 }] } })), [
    'stone too hot',
  ]);
  assert.deepEqual(words(model({ fire: { ...fire, floor: [{ at_s: 69000, zone_C: 340 }] } })), [
    'stone too cool',
  ]);
  assert.deepEqual(
    words(
      model({
        fire: {
          ...fire,
          floor: [
            { at_s: 69000, zone_C: 340 },
            { at_s: 69060, zone_C: 352 },
          ],
        },
      }),
    ),
    [],
  );
  assert.deepEqual(
    words(model({ fire: { ...fire, changes: [{ at_s: 69010, level: 'half', up: false }] } })),
    ['flame half'],
  );
  assert.deepEqual(
    words(model({ fire: { ...fire, changes: [{ at_s: 69400, level: 'half', up: false }] } })),
    [],
  );
});

test('a later act told before an earlier one that is due is out of order', () => {
  const done = [{ act: 'pull' as const, nth: 1, at_s: 68998, by: 'Ana', assumed: false }];
  const plate = {
    key: 'C1-1',
    dish: 'pizza',
    course: 1,
    spot: null,
    allergy: [],
    off: '',
    done,
    later: [],
    seen_done_s: null,
  };
  const ticket = {
    table: 'C1',
    covers: 2,
    called_s: 0,
    priority: 1,
    allergy: [],
    refire_of: null,
    way: 'tapped' as const,
    courses: [],
    plates: [plate],
  };
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
  const moves = [move('B4-1', 'pull', 68995), move('C1-1', 'pull', 69060)];
  assert.deepEqual(words(model({ moves }, { facts })), ['B4 before C1']);
  assert.deepEqual(words(model({ moves })), []);
});

test('a lot that cools is called once for each look, and once when it is foreseen too slow', () => {
  const lot = { lot: 'Wings 2', dish: 'steak', cooling_since_s: 65400, next_look_s: 69000, foreseen: null };
  const lots = (part: object) => ({ lots: [{ ...lot, ...part }] }) as unknown as Model['lots'];
  assert.deepEqual(words(model({}, { lots: lots({}) })), ['probe steak, it cools']);
  assert.deepEqual(words(model({}, { lots: lots({ next_look_s: 69001 }) })), []);
  assert.deepEqual(words(model({}, { lots: lots({ next_look_s: 68300 }) })), [], 'long due: shown, no longer sounded');
  assert.deepEqual(words(model({}, { lots: lots({ next_look_s: null, foreseen: { warnings: ['x'] } }) })), ['steak cools too slowly']);
});

test('the flame out is a hazard and comes first', () => {
  const out = model({ fire: { ...fire, out_since_s: 68990, floor: [{ at_s: 69000, zone_C: 340 }] } });
  assert.deepEqual(
    callsNow(out).map((call) => call.level),
    ['hazard', 'note'],
  );
});

const note = (key: string): Call => ({ key, level: 'note', words: key });
const hazard: Call = { key: 'out', level: 'hazard', words: 'flame out' };

function run(
  seconds: number,
  calls: (at_s: number) => readonly Call[],
): { pace: Pace; called: [number, string][] } {
  let pace = QUIET;
  const called: [number, string][] = [];
  for (let at_s = 0; at_s <= seconds; at_s++) {
    const step = paced(pace, calls(at_s), at_s);
    pace = step.pace;
    if (step.call !== null) called.push([at_s, step.call.key]);
  }
  return { pace, called };
}

test('the same thing is called once while it lasts', () => {
  assert.deepEqual(run(300, () => [note('a')]).called, [[0, 'a']]);
});

test('however much happens, there is one call in ten minutes on average', () => {
  const { pace, called } = run(6 * 3600, (at_s) => [note(`n${Math.floor(at_s / 7)}`)]);
  assert.ok(called.length <= SAVED + (6 * 3600) / EACH_S, `${called.length}`);
  assert.ok(pace.kept_quiet > 1000);
  const average = perTenMinutes(pace, 6 * 3600);
  assert.ok(average !== null && average <= 1.06, `${average}`);
});

test('a hazard is called whatever was called before, and again while it lasts', () => {
  const { pace, called } = run(95, (at_s) => (at_s < 5 ? [note('a'), note('b'), note('c')] : [hazard]));
  assert.deepEqual(
    called.filter(([, key]) => key === 'out').map(([at_s]) => at_s),
    [5, 35, 65, 95],
  );
  assert.equal(pace.hazards, 4);
  assert.equal(pace.heard, SAVED);
});

test('of two at once the one with a clock is called', () => {
  assert.equal(paced(QUIET, [note('a'), { key: 'p', level: 'act', words: 'probe' }], 0).call?.key, 'p');
});

test('the ear sounds what is set, and counts what it would have interrupted all the same', () => {
  const heard: string[] = [];
  const ear = new Ear({
    tone: (call) => heard.push(`tone ${call.level}`),
    speak: (said) => heard.push(said),
  });
  const hot = { fire: { ...fire, floor: [{ at_s: 69000, zone_C: 380 }] } };
  const settings = { ...firstSettings(['en']), sound: true, speech: true };
  assert.equal(ear.listen(model(hot, { settings })).count, 1);
  assert.deepEqual(heard, ['tone note', 'stone too hot']);
  const quiet = new Ear({
    tone: () => assert.fail('sound is off'),
    speak: () => assert.fail('speech is off'),
  });
  assert.equal(quiet.listen(model(hot, { settings: { ...settings, sound: false, speech: false } })).count, 1);
});

test('three levels, three rhythms; nothing flashes or beats faster than three times a second', () => {
  const rhythms = Object.values(TONES).map((notes) => notes.map((one) => one.at_s).join());
  assert.equal(new Set(rhythms).size, 3);
  for (const notes of Object.values(TONES))
    for (const one of notes) assert.ok(one.from_Hz >= 400 && one.from_Hz <= 1600);
});
