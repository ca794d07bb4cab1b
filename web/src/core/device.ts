// What this device remembers of itself: its token, who is in, how it shows things.

import { firstSettings } from './first_settings.ts';
import type { Settings } from './model.ts';

export interface Who {
  readonly name: string;
  readonly role: string;
}

/** As much of the browser's local storage as is used. */
export interface Shelf {
  getItem(key: string): string | null;
  setItem(key: string, value: string): void;
  removeItem(key: string): void;
}

const TOKEN = 'hearthtide.device';
const WHO = 'hearthtide.who';
const SETTINGS = 'hearthtide.settings';

export interface Device {
  token: string | null;
  who: Who | null;
  settings: Settings;
}

/** A device's memory of itself over a shelf; each property is written as it is set. */
export function device(shelf: Shelf, languages: readonly string[]): Device {
  const write = (key: string, value: unknown) =>
    value === null ? shelf.removeItem(key) : shelf.setItem(key, JSON.stringify(value));
  const first = firstSettings(languages);
  return {
    get token() {
      return read<string>(shelf, TOKEN);
    },
    set token(token) {
      write(TOKEN, token);
    },
    get who() {
      return read<Who>(shelf, WHO);
    },
    set who(who) {
      write(WHO, who);
    },
    get settings() {
      return { ...first, ...read<Partial<Settings>>(shelf, SETTINGS) };
    },
    set settings(settings) {
      write(SETTINGS, settings);
    },
  };
}

function read<T>(shelf: Shelf, key: string): T | null {
  const text = shelf.getItem(key);
  return text === null ? null : (JSON.parse(text) as T);
}

/** A shelf that lasts as long as the page, where the browser refuses its own. */
export function memoryShelf(): Shelf {
  const kept = new Map<string, string>();
  return {
    getItem: (key) => kept.get(key) ?? null,
    setItem: (key, value) => void kept.set(key, value),
    removeItem: (key) => void kept.delete(key),
  };
}
