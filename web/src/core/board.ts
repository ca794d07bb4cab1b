// The board as one device knows it: joins what came, what was told here and the link into the model of the pages.

import type { Answered, DayNow, Person, Shown, ShownHouse, StateNow, Token, ToldLots } from '../wire.ts';
import { AskFailed, call, type Fetch } from './api.ts';
import { nightSeconds, withSample, type Skew } from './clock.ts';
import type { Device, Who } from './device.ts';
import type { Keep } from './keep.ts';
import { keeper, kept } from './kept.ts';
import type { Doings, Model, Told } from './model.ts';
import { after, nextToSend, NOTHING, type Happening, type Night } from './night.ts';
import { isNoted } from './noted.ts';
import { outbox } from './outbox.ts';
import { AGAIN_MS, follow, type Source, type Timers } from './stream.ts';

export const REFETCH_MS = 150; // entries that come together are taken in together: own choice
export const RESAMPLE_MS = 60_000; // so often the clock is asked for on a quiet night: own choice

/** What a board needs of the browser. */
export interface Ground extends Timers {
  now_ms(): number;
  newId(): string;
  readonly fetch: Fetch;
  source(path: string): Source;
}

/** What can be drawn: the whole model once a house is known, and until then what the way in needs. */
export interface Seen {
  readonly model: Model | null;
  readonly settings: Model['settings'];
  readonly link: Model['link'];
  readonly who: Who | null;
  readonly enrolled: boolean;
}

export interface Entry {
  enrol(code: string, name: string): Promise<void>;
  people(): Promise<readonly Person[]>;
  comeIn(name: string, pin: string): Promise<void>;
  leave(): Promise<void>;
}

export class Board {
  readonly doings: Doings;
  readonly entry: Entry;
  private night: Night = NOTHING;
  private skew: Skew | null = null;
  private link: Model['link'] = 'starting';
  private heard_ms: number | null = null;
  private close: (() => void) | null = null;
  private callOff: () => void = () => {};
  private asking = false;
  private hidden = false;
  private turn = 0;
  private readonly listeners = new Set<() => void>();
  private readonly outbox = outbox(
    {
      next: () => (this.device.who === null ? null : nextToSend(this.night)),
      send: ({ id, at_s, what, night = '' }) =>
        isNoted(what)
          ? this.call<Answered>('/api/records', { id, at_s, what, night })
          : this.call<Answered>('/api/commands', { id, at_s, what }),
      tried: (id) => this.happens({ is: 'tried', id }),
      answered: (answer) => {
        this.happens({ is: 'answered', answer });
        void this.catchUp();
      },
      refused: (id, words) => this.happens({ is: 'lost_right', id, words }),
      shutOut: () => this.shutOut(),
    },
    { after: (ms, then) => this.ground.after(ms, then) },
  );

  private readonly ground: Ground;
  private readonly device: Device;
  private readonly keep: Keep;
  private readonly save: ReturnType<typeof keeper>;

  constructor(ground: Ground, device: Device, keep: Keep) {
    this.ground = ground;
    this.device = device;
    this.keep = keep;
    this.save = keeper(keep, ground);
    this.doings = {
      tell: (what) => this.tell(what),
      undo: (id) => this.undo(id),
      set: (part) => {
        device.settings = { ...device.settings, ...part };
        this.changed();
      },
      seen: (id) => this.happens({ is: 'seen', id }),
      ask: (path, body, method) => this.call(path, body, method),
      leave: () => this.entry.leave(),
    };
    this.entry = {
      enrol: (code, name) => this.enrol(code, name),
      people: () => call<readonly Person[]>(ground.fetch, '/api/people', this.asDevice()),
      comeIn: (name, pin) => this.comeIn(name, pin),
      leave: () => this.leave(),
    };
  }

  /** Takes up what this device kept, then asks the board. */
  async start(): Promise<void> {
    const found = await kept(this.keep);
    this.night = found.night;
    this.skew = found.skew;
    this.heard_ms = found.known_ms;
    this.changed();
    await this.connect();
  }

  listen(listener: () => void): void {
    this.listeners.add(listener);
  }

  seen(): Seen {
    const { who, settings, token } = this.device;
    return { model: this.model(), settings, link: this.link, who, enrolled: token !== null };
  }

  /** A page nobody looks at holds no stream: a browser has six for all its tabs. */
  hide(hidden: boolean): void {
    if (hidden === this.hidden) return;
    this.hidden = hidden;
    if (hidden) {
      this.disconnect();
      this.link = 'starting';
    } else void this.connect();
  }

  /** The network may be back: tries at once. */
  retry(): void {
    if (this.close === null) void this.connect();
  }

  private model(): Model | null {
    const { house, shown, facts, lots, day, seq, queue, refused } = this.night;
    if (house === null || this.skew === null) return null;
    return {
      house,
      shown,
      facts,
      lots,
      day,
      seq,
      link: this.link,
      lost_since_s: this.link === 'live' || this.heard_ms === null ? null : nightSeconds(this.skew, this.heard_ms),
      queue,
      refused,
      who: this.device.who,
      settings: this.device.settings,
      now_s: this.now_s(),
      keeps: this.keep.lasts,
    };
  }

  private now_s(): number {
    return this.skew === null ? 0 : nightSeconds(this.skew, this.ground.now_ms());
  }

  private tell(what: Told): string {
    const { who } = this.device;
    if (who === null) throw new Error('nobody is in: nothing can be told');
    const id = this.ground.newId();
    this.happens({ is: 'told', id, at_s: this.now_s(), what, by: who.name, night: this.night.house?.night ?? '' });
    this.outbox.poke();
    return id;
  }

  private undo(id: string): void {
    const waiting = this.night.queue.find((one) => one.id === id);
    if (waiting !== undefined && !waiting.tried) this.happens({ is: 'dropped', id });
    else this.tell({ kind: 'undo', of: id });
  }

  private async enrol(code: string, name: string): Promise<void> {
    const { token } = await call<Token>(this.ground.fetch, '/api/devices', { body: { code, device: name } });
    this.device.token = token;
    this.changed();
  }

  private async comeIn(name: string, pin: string): Promise<void> {
    const session = { ...this.asDevice(), body: { name, pin } };
    const { role } = await this.orPutOut(call<Token>(this.ground.fetch, '/api/sessions', session));
    for (const told of this.night.queue.filter((one) => one.by !== name && one.taken_as === null)) {
      const words = `told by ${told.by}, whose session ended before it reached the board. Tell it again if it is so.`;
      this.happens({ is: 'lost_right', id: told.id, words });
    }
    this.device.who = { name, role };
    this.changed();
    await this.connect();
  }

  private async leave(): Promise<void> {
    await call(this.ground.fetch, '/api/sessions', { method: 'DELETE' });
    this.shutOut();
  }

  private asDevice(): { token: string } {
    return { token: this.device.token ?? '' };
  }

  /** A device that the chef has put out must be enrolled anew; a wrong PIN is answered so too, so people are asked. */
  private async orPutOut<T>(asked: Promise<T>): Promise<T> {
    try {
      return await asked;
    } catch (err) {
      if (err instanceof AskFailed && err.status === 401) {
        await this.entry.people().catch((other: unknown) => {
          if (other instanceof AskFailed && other.status === 401) this.putOut();
        });
      }
      throw err;
    }
  }

  private putOut(): void {
    this.device.token = null;
    this.changed();
  }

  private async call<T>(path: string, body?: unknown, method?: 'DELETE'): Promise<T> {
    try {
      return await call<T>(this.ground.fetch, path, method === undefined ? { body } : { body, method });
    } catch (err) {
      if (err instanceof AskFailed && err.status === 401) this.shutOut();
      throw err;
    }
  }

  private shutOut(): void {
    this.device.who = null;
    this.disconnect();
    this.link = 'starting';
    this.changed();
  }

  private disconnect(): void {
    this.turn += 1;
    this.callOff();
    this.close?.();
    this.close = null;
  }

  /** The night as it stands, then the stream from there; again until it works. */
  private async connect(): Promise<void> {
    this.disconnect();
    if (this.hidden || this.device.who === null) return;
    const turn = this.turn;
    try {
      await this.takeState(true);
      this.happens({ is: 'house', house: await this.call<ShownHouse>('/api/house') });
    } catch (err) {
      if (!(err instanceof AskFailed)) throw err;
      if (turn === this.turn) this.lost();
      return;
    }
    if (turn !== this.turn) return;
    this.close = follow(this.ground.source(`/api/stream?after=${this.night.seq}`), this.ground, {
      onAlive: () => this.heard(),
      onOpen: () => this.live(),
      onEntry: (seq) => {
        this.happens({ is: 'entry', seq });
        void this.catchUp();
      },
      onLots: (body) => this.happens({ is: 'lots', lots: JSON.parse(body) as ToldLots }),
      onDay: (body) => this.happens({ is: 'day', day: JSON.parse(body) as DayNow }),
      onShown: (body) => this.happens({ is: 'shown', shown: JSON.parse(body) as Shown }),
      onLost: () => {
        this.close = null;
        this.lost();
      },
    });
    this.resampleLater(turn);
  }

  private live(): void {
    this.link = 'live';
    this.changed();
    this.outbox.poke();
  }

  private lost(): void {
    this.link = 'lost';
    this.changed();
    this.callOff();
    this.callOff = this.ground.after(AGAIN_MS, () => void this.connect());
  }

  private async takeState(anew = false): Promise<void> {
    const sent_ms = this.ground.now_ms();
    const { seq, now_s, facts } = await this.call<StateNow>('/api/state');
    this.skew = withSample(this.skew, { sent_ms, got_ms: this.ground.now_ms(), server_s: now_s });
    this.heard();
    this.happens({ is: 'state', seq, facts, anew });
  }

  private heard(): void {
    this.heard_ms = this.ground.now_ms();
  }

  /** Asks for the facts until they are as far as the last entry heard of. */
  private async catchUp(): Promise<void> {
    if (this.asking) return;
    this.asking = true;
    try {
      while (this.night.heard > this.night.seq && this.device.who !== null) {
        await new Promise<void>((resolve) => this.ground.after(REFETCH_MS, resolve));
        await this.takeState();
      }
    } catch (err) {
      if (!(err instanceof AskFailed)) throw err;
      if (this.close !== null) this.lost(); // connecting anew takes the facts in
    } finally {
      this.asking = false;
    }
  }

  private resampleLater(turn: number): void {
    this.ground.after(RESAMPLE_MS, () => {
      if (turn !== this.turn || this.close === null) return;
      void this.takeState().catch((err: unknown) => {
        if (!(err instanceof AskFailed)) throw err;
      });
      this.resampleLater(turn);
    });
  }

  private happens(happening: Happening): void {
    const before = this.night;
    this.night = after(before, happening);
    this.save(this.night, before, this.skew, this.heard_ms ?? 0);
    this.changed();
  }

  private changed(): void {
    for (const listener of this.listeners) listener();
  }
}
