// Calls of the board's API, each with a time limit; what went wrong in the board's own words.

import type { Trouble } from '../wire.ts';

export const LIMIT_MS = 4_000; // a call without an answer by then counts as lost: own choice

/** A call that was answered by a refusal, or (status 0) not at all. */
export class AskFailed extends Error {
  readonly status: number;
  readonly body: unknown;
  /** Seconds to wait before the next try, where the board said so. */
  readonly wait_s: number | null;

  constructor(status: number, words: string, body: unknown = null, wait_s: number | null = null) {
    super(words);
    this.status = status;
    this.body = body;
    this.wait_s = wait_s;
  }
}

export interface Call {
  readonly method?: 'GET' | 'POST' | 'DELETE';
  readonly body?: unknown;
  /** A device's token; without it the browser's session cookie counts. */
  readonly token?: string;
}

export type Fetch = (path: string, init: RequestInit) => Promise<Response>;

/** The JSON answer to a call. Rejects with AskFailed. */
export async function call<T>(fetch: Fetch, path: string, { method, body, token }: Call = {}): Promise<T> {
  const headers: Record<string, string> = {};
  if (body !== undefined) headers['Content-Type'] = 'application/json';
  if (token !== undefined) headers['Authorization'] = `Bearer ${token}`;
  const response = await answered(fetch, path, {
    method: method ?? (body === undefined ? 'GET' : 'POST'),
    headers,
    credentials: 'same-origin',
    cache: 'no-store',
    signal: AbortSignal.timeout(LIMIT_MS),
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  });
  const answer = response.status === 204 ? null : await read(response);
  if (response.ok) return answer as T;
  const wait = Number(response.headers.get('Retry-After') ?? NaN);
  throw new AskFailed(response.status, wordsOf(answer), answer, Number.isFinite(wait) ? wait : null);
}

async function answered(fetch: Fetch, path: string, init: RequestInit): Promise<Response> {
  try {
    return await fetch(path, init);
  } catch (err) {
    throw new AskFailed(0, String(err));
  }
}

async function read(response: Response): Promise<unknown> {
  try {
    return await response.json();
  } catch (err) {
    throw new AskFailed(0, `the answer broke off: ${String(err)}`);
  }
}

function wordsOf(answer: unknown): string {
  const words = (answer as Partial<Trouble> | null)?.words;
  return typeof words === 'string' ? words : 'The board answered something this page does not know.';
}
