// How large things are: words by the angle they fill at the reader's distance, keys in millimetres of glass.

import type { Settings } from '../core/model.ts';

/** Height of a capital of the bundled face, as a share of its font size. */
export const CAP = 0.7;

// Angles a hearth asks for: 30 minutes of arc for a word, 45 for the one number that matters
// (own choice above ISO 9241's 20 to 22; at 1 m, 8.7 mm and 13.1 mm).
export const WORD_ARCMIN = 30;
export const NUMBER_ARCMIN = 45;

/** Where a screen is read from, m: in the hand, beside the oven, and the one move across the kitchen. */
export const HAND_M = 0.5;
export const OVEN_M = 1;
export const ACROSS_M = 2;
export const WALL_M = 3;

/** Millimetres of glass each way that an act in service, another key and the room between keys need. */
export const ACT_MM = 40;
export const KEY_MM = 25;
export const GAP_MM = 6;

export type Form = 'wide' | 'tall' | 'hand';

/** The glass each form is laid out on, mm; a larger one shows everything larger. */
export const LAID_ON: Readonly<Record<Form, readonly [number, number]>> = {
  wide: [216, 135],
  tall: [135, 216],
  hand: [65, 140],
};
const LEAST_SIDE_MM = 100; // below this it is a phone: own choice
const LEAST_GROWN = 0.8;
const MOST_GROWN = 2.2;

export interface Glass {
  readonly form: Form;
  /** CSS pixels in a millimetre of glass. */
  readonly mm: number;
  /** How much larger than laid out everything is drawn. */
  readonly grown: number;
}

/** Height a capital needs to fill an angle at a distance, mm. */
export function capitalMm(arcmin: number, from_m: number): number {
  return 2000 * from_m * Math.tan((arcmin / 60 / 2) * (Math.PI / 180));
}

/** How a screen of so many CSS pixels is laid out. */
export function glassOf(width_px: number, height_px: number, settings: Pick<Settings, 'px_per_mm'>): Glass {
  const mm = settings.px_per_mm;
  const [wide, high] = [width_px / mm, height_px / mm];
  const form: Form = Math.min(wide, high) < LEAST_SIDE_MM ? 'hand' : wide >= high ? 'wide' : 'tall';
  const [w, h] = LAID_ON[form];
  const grown = Math.min(MOST_GROWN, Math.max(LEAST_GROWN, Math.min(wide / w, high / h)));
  return { form, mm, grown };
}

/** The distance at which a glass's ordinary words fill their angle, m. */
export function readFrom(glass: Glass): number {
  return glass.grown * (glass.form === 'hand' ? HAND_M : OVEN_M);
}

/** The CSS variables all sizes are made of: `--mm` of glass, `--u` the same as much larger as all is drawn. */
export function sizeVars(glass: Glass): Readonly<Record<'--mm' | '--u', string>> {
  return { '--mm': `${glass.mm.toFixed(4)}px`, '--u': `${(glass.mm * glass.grown).toFixed(4)}px` };
}
