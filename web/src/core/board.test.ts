import assert from 'node:assert/strict';
import { test } from 'node:test';

import type { Shown, ShownMove, ShownPlanner } from '../wire.ts';
import { DONE, shown, tablet } from './for_tests.ts';
import { SAVE_MS } from './kept.ts';
import type { Model } from './model.ts';
import { SILENT_MS } from './stream.ts';

function model(one: { board: { seen(): { model: Model | null } } }): Model {
  const found = one.board.seen().model;
  assert.ok(found !== null);
  return found;
}

test('it takes the state first and follows the stream from there', async () => {
  const one = await tablet();
  assert.equal(one.server.stream.path, '/api/stream?after=0');
  assert.equal(model(one).link, 'live');
  assert.equal(model(one).now_s, one.server.now_s);
});

test('what is told is sent once, under its own id and time, and leaves the queue when the facts hold it', async () => {
  const one = await tablet();
  const id = one.board.doings.tell(DONE);
  assert.deepEqual(model(one).queue.map((waits) => waits.id), [id]);
  await one.clock.pass(1_000);
  const told = one.server.said.filter(({ path }) => path === '/api/commands');
  assert.deepEqual(told.map(({ body }) => [body.id, body.at_s, body.what]), [[id, 68_400, DONE]]);
  assert.deepEqual(model(one).queue, []);
  assert.equal(model(one).seq, 1);
});

test('a command stays in the queue while the facts do not hold it yet', async () => {
  const one = await tablet();
  one.board.doings.tell(DONE);
  await one.clock.pass(0);
  assert.equal(one.server.taken.size, 1);
  assert.equal(model(one).queue.length, 1);
});

test('without a network it is kept, and sent in order once the network is back', async () => {
  const one = await tablet();
  one.server.up = false;
  one.server.stream.say('error');
  const ids = [one.board.doings.tell(DONE), one.board.doings.tell({ kind: 'landed', table: 'B4' })];
  await one.clock.pass(20_000);
  assert.equal(model(one).link, 'lost');
  assert.equal(model(one).queue.length, 2);
  one.server.up = true;
  await one.clock.pass(6_000);
  one.server.stream.say('open');
  await one.clock.pass(2_000);
  assert.deepEqual([...one.server.taken.keys()], ids);
  assert.deepEqual(model(one).queue, []);
  const times = one.server.said.filter(({ path }) => path === '/api/commands').map(({ body }) => body.at_s);
  assert.deepEqual(new Set(times), new Set([68_400]), 'each under the time it was seen here');
});

test('a reading of a lot goes into the records, waits like everything told, and leaves the queue with its answer', async () => {
  const one = await tablet();
  one.server.up = false;
  one.server.stream.say('error');
  const reading = { kind: 'lot_reading', lot: 'wings', value: '165', unit: 'F', point: 'coldest', instrument: 'probe 1' } as const;
  const ids = [one.board.doings.tell(reading), one.board.doings.tell(DONE)];
  await one.clock.pass(20_000);
  assert.equal(model(one).queue.length, 2);
  one.server.up = true;
  await one.clock.pass(6_000);
  one.server.stream.say('open');
  await one.clock.pass(2_000);
  const sent = one.server.said.filter(({ path, body }) => 'id' in body && (path === '/api/records' || path === '/api/commands'));
  assert.deepEqual([...new Map(sent.map(({ path, body }) => [body.id, path]))], [[ids[0], '/api/records'], [ids[1], '/api/commands']]);
  assert.deepEqual(model(one).queue, []);
});

test('an entry the records refuse stands here with its words', async () => {
  const one = await tablet();
  one.server.refuses.set('first-0001', 'cooked: unproven.');
  one.board.doings.tell({ kind: 'lot_became', lot: 'wings', state: 'cooked' });
  await one.clock.pass(1_000);
  assert.deepEqual(model(one).refused.map((told) => told.words), ['cooked: unproven.']);
});

test('lots are drawn as they were last told', async () => {
  const one = await tablet();
  assert.equal(model(one).lots, null);
  one.server.stream.say('lots', '{"lots":[],"rules":"a set"}');
  assert.equal(model(one).lots?.rules, 'a set');
});

test('the day stays as it was last told, also after a reload without a network', async () => {
  const before = await tablet();
  assert.equal(model(before).day, null);
  before.server.stream.say('day', '{"day":"2026-06-02","midnight_s":0,"kept":null,"wrong":[]}');
  await before.clock.pass(SAVE_MS);
  before.server.up = false;
  const one = await tablet(before);
  assert.equal(model(one).day?.day, '2026-06-02');
});

test('an answer that is lost is asked for again under the same id', async () => {
  const one = await tablet();
  one.server.losesAnswers = 2;
  one.board.doings.tell(DONE);
  await one.clock.pass(10_000);
  assert.equal(one.server.taken.size, 1);
  assert.equal(one.server.said.filter(({ path }) => path === '/api/commands').length, 3);
  assert.deepEqual(model(one).queue, []);
});

test('what waits outlives a reload, in its order and under its ids', async () => {
  const before = await tablet();
  before.server.up = false;
  before.server.stream.say('error');
  const ids = [before.board.doings.tell(DONE), before.board.doings.tell({ kind: 'landed', table: 'B4' })];
  await before.clock.pass(SAVE_MS);
  const one = await tablet(before);
  assert.deepEqual(model(one).queue.map(({ id }) => id), ids);
  one.server.up = true;
  await one.clock.pass(6_000);
  one.server.stream.say('open');
  await one.clock.pass(2_000);
  assert.deepEqual([...one.server.taken.keys()], ids);
});

test('a reload without a network shows the last night known, since when, and counts on', async () => {
  const before = await tablet();
  before.server.stream.say('shown', shown({ seq: 7 }));
  await before.clock.pass(SAVE_MS);
  before.server.up = false;
  await before.clock.pass(90_000);
  const one = await tablet(before);
  assert.equal(model(one).link, 'lost');
  assert.equal(model(one).shown?.seq, 7);
  assert.ok(Math.abs(model(one).lost_since_s! - 68_400) < 10);
  assert.ok(Math.abs(model(one).now_s - 68_400 - 92) < 1);
  await one.clock.pass(30_000);
  assert.ok(Math.abs(model(one).now_s - 68_400 - 122) < 1);
});

test('what was refused is kept with the board’s words until it has been looked at', async () => {
  const one = await tablet();
  one.server.refuses.set('first-0001', 'launch of B4-1: done by Ana already.');
  const id = one.board.doings.tell(DONE);
  await one.clock.pass(1_000);
  assert.deepEqual(model(one).refused.map(({ words }) => words), ['launch of B4-1: done by Ana already.']);
  assert.deepEqual(model(one).queue, []);
  const again = await tablet(one);
  assert.equal(model(again).refused.length, 1);
  again.board.doings.seen(id);
  assert.deepEqual(model(again).refused, []);
  await again.clock.pass(0);
  assert.deepEqual(model(await tablet(again)).refused, []);
});

test('silence is a lost link after five seconds, and a new stream goes on from the last entry', async () => {
  const one = await tablet();
  const first = one.server.stream;
  first.say('message', JSON.stringify({ seq: 4 }));
  one.server.seq = 4;
  await one.clock.pass(SILENT_MS - 100);
  assert.equal(model(one).link, 'live');
  await one.clock.pass(200);
  assert.equal(model(one).link, 'lost');
  assert.ok(first.closed);
  await one.clock.pass(1_500);
  assert.notEqual(one.server.stream, first);
  assert.equal(one.server.stream.path, '/api/stream?after=4');
});

test('a word every two seconds keeps the link', async () => {
  const one = await tablet();
  for (let n = 0; n < 10; n++) {
    await one.clock.pass(2_000);
    one.server.stream.say('here', '.');
  }
  assert.equal(model(one).link, 'live');
  assert.equal(one.server.sources.length, 1);
});

test('an entry has the facts asked for until they hold it', async () => {
  const one = await tablet();
  one.server.seq = 3;
  one.server.stream.say('message', JSON.stringify({ seq: 3 }));
  await one.clock.pass(500);
  assert.equal(model(one).seq, 3);
});

test('a board that keeps another night by now is believed', async () => {
  const one = await tablet();
  one.server.seq = 40;
  one.server.stream.say('message', JSON.stringify({ seq: 40 }));
  await one.clock.pass(500);
  one.server.seq = 2;
  one.server.stream.say('error');
  await one.clock.pass(1_500);
  assert.equal(model(one).seq, 2);
  assert.equal(one.server.stream.path, '/api/stream?after=2');
});

test('a page nobody looks at holds no stream', async () => {
  const one = await tablet();
  one.board.hide(true);
  assert.ok(one.server.stream.closed);
  await one.clock.pass(60_000);
  assert.equal(one.server.sources.length, 1);
  one.board.hide(false);
  await one.clock.pass(100);
  assert.equal(one.server.sources.length, 2);
});

test('a session that ended asks for a name and keeps the queue; the same person’s is then sent', async () => {
  const one = await tablet();
  one.server.signed_in = false;
  one.board.doings.tell(DONE);
  await one.clock.pass(100);
  assert.equal(one.board.seen().who, null);
  await one.board.entry.comeIn('Ben', '1470');
  one.server.stream.say('open');
  await one.clock.pass(2_000);
  assert.equal(one.server.taken.size, 1);
  assert.deepEqual(model(one).queue, []);
});

test('what one person told is never sent under another’s name', async () => {
  const one = await tablet();
  one.server.signed_in = false;
  one.board.doings.tell(DONE);
  await one.clock.pass(100);
  await one.board.entry.comeIn('Ana', '2580');
  await one.clock.pass(2_000);
  assert.equal(one.server.taken.size, 0);
  assert.match(model(one).refused[0]!.words, /told by Ben/);
});

test('an undo of what never left the device takes it out; of what may have, it is told', async () => {
  const one = await tablet();
  one.server.up = false;
  const first = one.board.doings.tell(DONE);
  const second = one.board.doings.tell({ kind: 'landed', table: 'B4' });
  await one.clock.pass(100);
  one.board.doings.undo(second);
  assert.deepEqual(model(one).queue.map(({ id }) => id), [first]);
  one.board.doings.undo(first);
  assert.deepEqual(model(one).queue.map(({ what }) => what.kind), ['done', 'undo']);
});

test('a device is enrolled by its code and remembers its token', async () => {
  const one = await tablet();
  await one.board.entry.enrol('12345678', 'hearth 01');
  assert.equal(one.board.seen().enrolled, true);
  await one.board.entry.comeIn('Ana', '2580');
  const session = one.server.said.find(({ path }) => path === '/api/sessions');
  assert.equal(session?.token, 'Bearer device-token');
});

test('settings stay over a reload', async () => {
  const before = await tablet();
  before.board.doings.set({ language: 'es', polarity: 'light' });
  const one = await tablet(before);
  assert.equal(model(one).settings.language, 'es');
  assert.equal(model(one).settings.polarity, 'light');
  assert.equal(model(one).settings.temperature, 'C');
});

test('what somebody has no right to tell is refused in the board’s words, and the next is sent', async () => {
  const one = await tablet();
  one.server.forbids.add('first-0001');
  one.board.doings.tell(DONE);
  const second = one.board.doings.tell({ kind: 'landed', table: 'B4' });
  await one.clock.pass(1_000);
  assert.deepEqual(model(one).refused.map(({ words }) => words), ['that needs the session of a cook.']);
  assert.deepEqual([...one.server.taken.keys()], [second]);
});

test('a board that cannot write now is asked again when it said so, and not before', async () => {
  const one = await tablet();
  one.server.putsOff = { times: 1, wait_s: 30 };
  one.board.doings.tell(DONE);
  for (let s = 0; s < 28; s += 2) {
    await one.clock.pass(2_000);
    one.server.stream.say('here', '.');
  }
  assert.equal(one.server.count('/api/commands'), 1);
  for (let s = 0; s < 4; s += 2) {
    await one.clock.pass(2_000);
    one.server.stream.say('here', '.');
  }
  assert.equal(one.server.taken.size, 1);
});

test('an answer that comes after the facts that hold its command ends its waiting', async () => {
  const one = await tablet();
  one.server.losesAnswers = 1;
  one.board.doings.tell(DONE);
  await one.clock.pass(100);
  one.server.stream.say('message', JSON.stringify({ seq: 1 }));
  await one.clock.pass(300);
  assert.equal(model(one).seq, 1);
  await one.clock.pass(1_000);
  assert.deepEqual(model(one).queue, []);
});

test('of a board that keeps another night no entry is waited for that it does not have', async () => {
  const one = await tablet();
  one.server.seq = 40;
  one.board.doings.tell(DONE);
  await one.clock.pass(0);
  assert.equal(model(one).queue[0]?.id, 'first-0001');
  one.server.seq = 2;
  one.server.stream.say('error');
  await one.clock.pass(1_500);
  one.server.stream.say('open');
  assert.deepEqual(model(one).queue, []);
  one.server.stream.say('message', JSON.stringify({ seq: 2 }));
  await one.clock.pass(500);
  const before = one.server.count('/api/state');
  for (let s = 0; s < 10; s += 2) {
    await one.clock.pass(2_000);
    one.server.stream.say('here', '.');
  }
  assert.equal(one.server.count('/api/state'), before);
});

test('on a quiet night the clock is asked for every minute', async () => {
  const one = await tablet();
  const before = one.server.count('/api/state');
  for (let s = 0; s < 180; s += 2) {
    await one.clock.pass(2_000);
    one.server.stream.say('here', '.');
  }
  assert.equal(one.server.count('/api/state'), before + 3);
});

test('a page hidden while it connects opens no stream', async () => {
  const one = await tablet();
  one.board.hide(true);
  one.board.hide(false);
  one.board.hide(true);
  await one.clock.pass(1_000);
  assert.equal(one.server.sources.filter(({ closed }) => !closed).length, 0);
});

test('a device that was put out is enrolled anew; a wrong PIN alone puts none out', async () => {
  const one = await tablet();
  await assert.rejects(one.board.entry.comeIn('Ben', 'wrong'), /do not fit/);
  assert.equal(one.board.seen().enrolled, true);
  one.server.enrolled = false;
  await assert.rejects(one.board.entry.comeIn('Ben', 'wrong'), /do not fit/);
  await one.clock.pass(0);
  assert.equal(one.board.seen().enrolled, false);
});

test('a stream is lost once, however often it says so', async () => {
  const one = await tablet();
  const { stream } = one.server;
  stream.say('error');
  stream.say('error');
  await one.clock.pass(1_100);
  assert.equal(one.server.sources.length, 2);
  stream.say('error');
  await one.clock.pass(2_000);
  assert.equal(one.server.sources.length, 2);
});

test('a board that starts again says so, and its last plan stays until there is one', async () => {
  const one = await tablet();
  const planner = (condition: ShownPlanner['condition'], made_s: number | null): ShownPlanner => ({
    condition,
    made_s,
    behind: false,
    plain: false,
    trouble: '',
  });
  const moves = [{ item: 'B4-1', act: 'launch' } as ShownMove];
  const says = (seq: number, part: Partial<Shown>): void =>
    one.server.stream.say('shown', shown({ seq, ...part }));
  says(5, { planner: planner('ready', 68_000), moves });
  says(5, { planner: planner('starting', null), moves: [] });
  assert.deepEqual(model(one).shown?.moves, moves);
  assert.deepEqual(model(one).shown?.planner, planner('starting', 68_000));
  says(2, { planner: planner('starting', null), moves: [] });
  assert.deepEqual(model(one).shown?.moves, [], 'another night is another plan');
  says(6, { planner: planner('ready', 68_300), moves });
  says(7, { planner: planner('ready', 68_400), moves: [] });
  assert.deepEqual(model(one).shown?.moves, [], 'a plan without moves is a plan');
});
