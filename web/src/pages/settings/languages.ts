import type { Language } from '../../core/model.ts';

/** Each language under its own name. */
export const LANGUAGES: readonly (readonly [Language, string])[] = [
  ['en', 'English'],
  ['es', 'Español'],
  ['it', 'Italiano'],
];
