// Sends what was told here, in order, one at a time, until each is answered.

import type { Answered } from '../wire.ts';
import { AskFailed } from './api.ts';
import type { Queued } from './night.ts';
import type { Timers } from './stream.ts';

export const FIRST_WAIT_MS = 500; // doubled after each failure: own choice
export const MOST_WAIT_MS = 5_000;

export interface Post {
  /** The oldest without an answer; null: nothing to send, or nobody to send it for. */
  next(): Queued | null;
  send(command: Queued): Promise<Answered>;
  tried(id: string): void;
  answered(answer: Answered): void;
  /** It will never be taken as it is: these words say why. */
  refused(id: string, words: string): void;
  /** The session has ended; nothing is sent until somebody comes in. */
  shutOut(): void;
}

export interface Outbox {
  /** There may be something to send now: something was told, or the link is back. */
  poke(): void;
}

/** A sender over `post`. A poke while it waits between two tries sends at once. */
export function outbox(post: Post, timers: Timers): Outbox {
  let busy = false;
  let waits = FIRST_WAIT_MS;
  let callOff = () => {};

  async function run(): Promise<void> {
    busy = true;
    try {
      for (let one = post.next(); one !== null && (await sent(one)); one = post.next()) waits = FIRST_WAIT_MS;
    } finally {
      busy = false;
    }
  }

  /** Whether to go on with the next one. */
  async function sent(one: Queued): Promise<boolean> {
    post.tried(one.id);
    try {
      post.answered(await post.send(one));
      return true;
    } catch (err) {
      if (err instanceof AskFailed) return failed(one.id, err);
      throw err;
    }
  }

  function failed(id: string, err: AskFailed): boolean {
    if (isAnswer(err.body)) {
      post.answered(err.body);
      return true;
    }
    if (err.status === 401) {
      post.shutOut();
      return false;
    }
    if (err.status === 403 || err.status === 413 || err.status === 422) {
      post.refused(id, err.message);
      return true;
    }
    callOff = timers.after(err.wait_s === null ? waits : err.wait_s * 1000, poke);
    waits = Math.min(MOST_WAIT_MS, waits * 2);
    return false;
  }

  function poke(): void {
    if (busy) return;
    callOff();
    void run();
  }

  return { poke };
}

function isAnswer(body: unknown): body is Answered {
  return typeof body === 'object' && body !== null && 'taken' in body && 'seq' in body;
}
