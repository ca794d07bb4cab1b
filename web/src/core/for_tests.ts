// What tests stand on: a clock and timers set by hand, a board that answers as it is told to, acts and a model.

import type { Facts, Shown, ShownHouse, ShownMove, What } from '../wire.ts';
import { Board, type Ground } from './board.ts';
import { device, memoryShelf } from './device.ts';
import { firstSettings } from './first_settings.ts';
import { memoryKeep, type Keep } from './keep.ts';
import type { Model } from './model.ts';
import type { Source } from './stream.ts';

export const DONE: What = { kind: 'done', item: 'B4-1', act: 'launch' };
export const NO_FACTS: Facts = { tickets: [] } as unknown as Facts;
export const HOUSE = { name: 'Test house', cooks: ['Oven cook'] } as unknown as ShownHouse;

/** Timers that fire when the clock is moved on, in the order of their times. */
export class HandClock {
  now_ms = 1_000_000;
  private waiting: { at_ms: number; then: () => void }[] = [];

  after(ms: number, then: () => void): () => void {
    const one = { at_ms: this.now_ms + ms, then };
    this.waiting.push(one);
    return () => {
      this.waiting = this.waiting.filter((other) => other !== one);
    };
  }

  async pass(ms: number): Promise<void> {
    const end_ms = this.now_ms + ms;
    await settled();
    for (let next = this.next(end_ms); next !== undefined; next = this.next(end_ms)) {
      this.waiting = this.waiting.filter((one) => one !== next);
      this.now_ms = next.at_ms;
      next.then();
      await settled();
    }
    this.now_ms = end_ms;
    await settled();
  }

  private next(end_ms: number) {
    return this.waiting.filter((one) => one.at_ms <= end_ms).sort((a, b) => a.at_ms - b.at_ms)[0];
  }
}

/** Lets every promise that can be kept now be kept. */
export async function settled(): Promise<void> {
  for (let turn = 0; turn < 5; turn++) await new Promise((resolve) => setImmediate(resolve));
}

export class HandSource implements Source {
  readonly path: string;
  closed = false;
  private readonly heard = new Map<string, (event: { data?: unknown }) => void>();

  constructor(path: string) {
    this.path = path;
  }

  addEventListener(kind: string, heard: (event: { data?: unknown }) => void): void {
    this.heard.set(kind, heard);
  }

  close(): void {
    this.closed = true;
  }

  say(kind: string, data?: unknown): void {
    this.heard.get(kind)?.({ data });
  }
}

interface Said {
  readonly path: string;
  readonly body: { id: string; at_s: number; what: What; name?: string } & Record<string, unknown>;
  readonly token: string | null;
}

/** A board whose answers a test decides; it numbers what it takes and gives a repeat its first answer. */
export class HandBoard {
  up = true;
  signed_in = true;
  seq = 0;
  now_s = 68_400;
  refuses = new Map<string, string>();
  /** Commands whose teller has no right to tell them. */
  forbids = new Set<string>();
  /** So many commands are put off, each by this many seconds. */
  putsOff = { times: 0, wait_s: 0 };
  enrolled = true;
  /** Commands it takes, but whose answers are lost on the way. */
  losesAnswers = 0;
  readonly said: Said[] = [];
  readonly taken = new Map<string, number>();
  readonly sources: HandSource[] = [];

  readonly fetch = async (path: string, init: RequestInit): Promise<Response> => {
    if (!this.up) throw new TypeError('no network');
    const body = JSON.parse(String(init.body ?? '{}')) as Said['body'];
    const token = (init.headers as Record<string, string>)['Authorization'] ?? null;
    this.said.push({ path, body, token });
    if (!(init.signal instanceof AbortSignal)) throw new Error('a call without a time limit');
    if (path === '/api/people') return this.enrolled ? json(200, []) : json(401, { words: 'not enrolled.', findings: [] });
    if (path === '/api/devices') return json(200, { token: 'device-token', name: 'hearth 01', role: '' });
    if (path === '/api/sessions') {
      if (body['pin'] === 'wrong') return json(401, { words: 'name and PIN do not fit.', findings: [] });
      this.signed_in = true;
      return json(200, { token: 'x', name: body.name, role: 'cook' });
    }
    if (!this.signed_in) return json(401, { words: 'no session here.', findings: [] });
    if (path === '/api/state') return json(200, { seq: this.seq, now_s: this.now_s, facts: NO_FACTS });
    if (path === '/api/house') return json(200, HOUSE);
    if (path === '/api/commands' || path === '/api/records') return this.told(body);
    throw new Error(`nothing at ${path}`);
  };

  get stream(): HandSource {
    return this.sources.at(-1)!;
  }

  count(path: string): number {
    return this.said.filter((one) => one.path === path).length;
  }

  private told({ id }: Said['body']): Response {
    if (this.forbids.has(id)) return json(403, { words: 'that needs the session of a cook.', findings: [] });
    if (this.putsOff.times > 0) {
      this.putsOff.times -= 1;
      return json(503, { words: 'the disk is full.', findings: [] }, { 'Retry-After': String(this.putsOff.wait_s) });
    }
    const words = this.refuses.get(id) ?? '';
    const repeat = this.taken.has(id);
    if (!repeat) this.taken.set(id, ++this.seq);
    if (this.losesAnswers > 0) {
      this.losesAnswers -= 1;
      throw new TypeError('the answer was lost');
    }
    return json(words === '' ? 200 : 409, { id, seq: this.taken.get(id), taken: words === '', words, repeat, cautions: [] });
  }
}

function json(status: number, body: unknown, headers: Record<string, string> = {}): Response {
  return new Response(JSON.stringify(body), { status, headers: { 'Content-Type': 'application/json', ...headers } });
}

export interface Tablet {
  readonly board: Board;
  readonly server: HandBoard;
  readonly clock: HandClock;
  readonly keep: Keep;
  readonly shelf: ReturnType<typeof memoryShelf>;
}

/** A tablet of Ben's, started, with its stream open; `like` another: the same device after a reload. */
export async function tablet(like?: Tablet, open = true): Promise<Tablet> {
  const server = like?.server ?? new HandBoard();
  const clock = like?.clock ?? new HandClock();
  const keep = like?.keep ?? memoryKeep();
  const shelf = like?.shelf ?? memoryShelf();
  const here = device(shelf, ['en-GB']);
  if (like === undefined) {
    here.token = 'device-token';
    here.who = { name: 'Ben', role: 'cook' };
  }
  let ids = 0;
  const ground: Ground = {
    now_ms: () => clock.now_ms,
    newId: () => `${like === undefined ? 'first' : 'again'}-${String(++ids).padStart(4, '0')}`,
    fetch: server.fetch,
    source: (path) => {
      const source = new HandSource(path);
      server.sources.push(source);
      return source;
    },
    after: (ms, then) => clock.after(ms, then),
  };
  const board = new Board(ground, here, keep);
  await board.start();
  if (open && server.up && server.signed_in) server.stream.say('open');
  await settled();
  return { board, server, clock, keep, shelf };
}

export function shown(part: Partial<Shown>): string {
  return JSON.stringify({ seq: 1, now_s: 68_400, moves: [], ...part });
}

/** One act on a pizza by the test house's only cook. */
export function move(
  item: string,
  act: ShownMove['act'],
  start_s: number,
  more: Partial<ShownMove> = {},
): ShownMove {
  return {
    item,
    table: item.slice(0, item.lastIndexOf('-')),
    dish: 'pizza',
    act,
    nth: 1,
    start_s,
    hands_s: 10,
    cook: 'Oven cook',
    x_m: 0,
    y_m: 0.5,
    zone: 'mid',
    to_deg: 120,
    by_deg: 120,
    told: false,
    first_of_table: false,
    words: '',
    hazard: null,
    cautions: [],
    ...more,
  };
}

export const FIRE: Shown['fire'] = {
  level: 'high',
  out_since_s: null,
  floor: [{ at_s: 69000, zone_C: 360 }],
  changes: [],
  heat_C: [],
  read_C: null,
  read_s: null,
};

/** What a page draws at 19:10 of a board in reach, on which nothing happens but what is given. */
export function modelOf(shown: Partial<Shown> = {}, more: Partial<Model> = {}): Model {
  return {
    house: {
      band_C: [345, 370],
      late_after_s: 120,
      plans: true,
      dishes: [
        { key: 'steak', name: 'Strip steak' },
        { key: 'pizza', name: 'Pizza' },
      ],
    } as unknown as ShownHouse,
    shown: {
      seq: 1,
      now_s: 69000,
      planner: { condition: 'ready', made_s: 69000, behind: false, plain: false, trouble: '' },
      moves: [],
      stays: [],
      landings: [],
      probes: [],
      fire: FIRE,
      slips: [],
      forced: [],
      left_out: [],
      ...shown,
    },
    facts: null,
    lots: null,
    day: null,
    seq: 1,
    link: 'live',
    lost_since_s: null,
    queue: [],
    refused: [],
    who: null,
    settings: firstSettings(['en']),
    now_s: 69000,
    keeps: true,
    ...more,
  };
}
