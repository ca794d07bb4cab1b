// What is asked of the records, and days as they are said.

import type { Language } from '../../core/model.ts';

/** The path of a question: words in any order, a local date or none. */
export function askedPath(words: string, day: string, path = '/api/records'): string {
  const asked = new URLSearchParams();
  if (words.trim() !== '') asked.set('words', words.trim());
  if (day !== '') asked.set('day', day);
  const said = asked.toString();
  return said === '' ? path : `${path}?${said}`;
}

/** A day as it is said: `Tue 2`. */
export function dayWord(language: Language, day: string): string {
  const at = new Date(`${day}T12:00:00Z`);
  return `${at.toLocaleDateString(language, { weekday: 'short', timeZone: 'UTC' })} ${at.getUTCDate()}`;
}
