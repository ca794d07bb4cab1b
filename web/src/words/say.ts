// One message catalogue for every screen, each message in all its languages side by side.

import type { Language } from '../core/model.ts';
import { acts } from './acts.ts';
import { danger } from './danger.ts';
import { after } from './after.ts';
import { day } from './day.ts';
import { frame } from './frame.ts';
import { records } from './records.ts';
import { service } from './service.ts';
import { session } from './session.ts';
import { tickets } from './tickets.ts';
import { told } from './told.ts';

/** A message in every language; `{name}` stands for a value given to `say`. */
export type Message = Readonly<Record<Language, string>>;

// A part of the catalogue is one file: whoever adds screens adds a part here.
export const CATALOGUE = { ...session, ...frame, ...acts, ...service, ...tickets, ...after, ...records, ...day, ...danger, ...told };
export const PARTS: readonly Readonly<Record<string, Message>>[] = [session, frame, acts, service, tickets, after, records, day, danger, told];

export type Key = keyof typeof CATALOGUE;
export type Values = Readonly<Record<string, string | number>>;

/** The message in a language, with its values. Throws where a value is missing: a screen never shows `{name}`. */
export function say(language: Language, key: Key, values: Values = {}): string {
  return CATALOGUE[key][language].replace(/\{(\w+)\}/g, (_, name: string) => {
    const value = values[name];
    if (value === undefined) throw new Error(`message ${key} wants {${name}}, which was not given`);
    return String(value);
  });
}

/** What a message's values are called, in order of their names. */
export function placeholders(text: string): string[] {
  return [...text.matchAll(/\{(\w+)\}/g)].map((found) => found[1] ?? '').sort();
}
