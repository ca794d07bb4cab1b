import type { Language, Settings } from './model.ts';

const CSS_PX_PER_MM = 96 / 25.4; // by definition of the CSS pixel; a real screen differs until it is measured

/** Settings of a device nobody has set yet, from what its browser says of its owner. */
export function firstSettings(languages: readonly string[]): Settings {
  const american = languages[0] === 'en-US';
  return {
    language: languages.map((one) => one.slice(0, 2)).find(isLanguage) ?? 'en',
    temperature: american ? 'F' : 'C',
    length: american ? 'in' : 'cm',
    mass: american ? 'oz' : 'g',
    polarity: 'dark',
    px_per_mm: CSS_PX_PER_MM,
    sound: true,
    speech: false,
    cook: null,
  };
}

function isLanguage(code: string): code is Language {
  return code === 'en' || code === 'es' || code === 'it';
}
