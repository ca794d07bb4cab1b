// The words of these pages in this device's language.

import type { Model } from '../../core/model.ts';
import { CATALOGUE, say, type Key, type Values } from '../../words/say.ts';

export function w(model: Model, key: Key, values: Values = {}): string {
  return say(model.settings.language, key, values);
}

/** An allergen's word; one that only this house uses stands as it was written. */
export function allergenWord(model: Model, word: string): string {
  const key = `allergen.${word.replaceAll(' ', '_')}`;
  return isKey(key) ? w(model, key) : word;
}

function isKey(key: string): key is Key {
  return key in CATALOGUE;
}

export function dishName(model: Model, key: string): string {
  return model.house.dishes.find((dish) => dish.key === key)?.name ?? key;
}

/** `2 Pizza, Shrimp`: dishes with how many, as they are said. */
export function dishWords(model: Model, dishes: readonly (readonly [string, number])[]): string {
  return dishes.map(([key, n]) => (n === 1 ? dishName(model, key) : `${n} ${dishName(model, key)}`)).join(', ');
}

export function covers(model: Model, count: number): string {
  return count === 1 ? w(model, 'covers.one') : w(model, 'covers.many', { count });
}
