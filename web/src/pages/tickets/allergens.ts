// Words for what a guest may not have, as keys. A mark says what was told; it says of no plate that it is clear.

import type { ShownDish } from '../../wire.ts';

// The fourteen of Regulation (EU) No 1169/2011, annex II, as the board reads them; cereals as one word.
export const TOLD_OFTEN = [
  'gluten', 'milk', 'egg', 'tree nut', 'peanut', 'crustacean', 'mollusc', 'fish', 'soy', 'sesame', 'celery', 'mustard',
  'sulphite', 'lupin',
] as const;

const GROUPS: Readonly<Record<string, readonly string[]>> = {
  gluten: ['wheat', 'rye', 'barley', 'oats'],
  shellfish: ['crustacean', 'mollusc'],
  seafood: ['crustacean', 'mollusc', 'fish'],
};

/** Every word with a key: those the house's dishes hold first, then those guests tell of often. */
export function allergenKeys(dishes: readonly ShownDish[]): string[] {
  const held = dishes.flatMap((dish) => dish.contains);
  return [...new Set([...held, ...TOLD_OFTEN])];
}

/** Which of a guest's words a dish is written down to hold. None found is not a promise of anything. */
export function heldBy(dish: ShownDish | undefined, allergy: readonly string[]): string[] {
  const held = new Set(dish?.contains ?? []);
  return allergy.filter((word) => held.has(word) || (GROUPS[word] ?? []).some((one) => held.has(one)));
}
