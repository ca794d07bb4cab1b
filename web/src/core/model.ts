// What every page is given and may do. Nothing here knows of the browser or of how it is drawn.

import type { DayNow, Facts, Noted, Shown, ShownHouse, ToldLots, What } from '../wire.ts';

/** What may be told from here: to the night, or into the records. */
export type Told = What | Noted;

export type Language = 'en' | 'es' | 'it';
export type Polarity = 'dark' | 'light';

/** How this device shows things: its own, kept on it, told to nobody. */
export interface Settings {
  readonly language: Language;
  readonly temperature: 'C' | 'F';
  readonly length: 'cm' | 'in';
  readonly mass: 'g' | 'oz';
  readonly polarity: Polarity;
  /** Measured against a card held to the glass; sizes on screen are in true millimetres by it. */
  readonly px_per_mm: number;
  readonly sound: boolean;
  readonly speech: boolean;
  /** Moves of this cook alone; null: everybody's. */
  readonly cook: string | null;
}

/** A command told on this device that the board has not answered yet. */
export interface Waiting {
  readonly id: string;
  readonly at_s: number;
  readonly what: Told;
}

/** A command the board could not apply, with its words, until somebody here has looked at it. */
export interface RefusedHere extends Waiting {
  readonly words: string;
}

export interface Model {
  readonly house: ShownHouse;
  readonly shown: Shown | null;
  readonly facts: Facts | null;
  /** The lots that are watched; null where the board keeps no records, or has not told them yet. */
  readonly lots: ToldLots | null;
  /** The day it is, and its plan; null where the board keeps no days, or has not told them yet. */
  readonly day: DayNow | null;
  /** The last entry of the night's log that this device has taken in. */
  readonly seq: number;
  readonly link: 'live' | 'lost' | 'starting';
  readonly lost_since_s: number | null;
  readonly queue: readonly Waiting[];
  readonly refused: readonly RefusedHere[];
  readonly who: { readonly name: string; readonly role: string } | null;
  readonly settings: Settings;
  /** Seconds of the night by the server's clock, as well as this device knows it. */
  readonly now_s: number;
  /** Whether what is told here outlives a reload; false where the browser refuses to keep anything. */
  readonly keeps: boolean;
}

export interface Doings {
  /** Queues a command and sends it; gives its id. */
  tell(what: Told): string;
  /** Takes back a command told within the last ten seconds. */
  undo(id: string): void;
  set(part: Partial<Settings>): void;
  /** A refusal has been looked at. */
  seen(id: string): void;
  /** A call of the API outside the queue: GET without a body, POST with one, or DELETE. Rejects with `AskFailed`. */
  ask<T>(path: string, body?: unknown, method?: 'DELETE'): Promise<T>;
  /** Ends this person's session; the device stays enrolled. Rejects with `AskFailed`. */
  leave(): Promise<void>;
}
