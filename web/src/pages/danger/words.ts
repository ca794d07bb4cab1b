// The way out in this screen's language.

import type { Danger, WayOut } from '../../core/danger.ts';
import type { Language } from '../../core/model.ts';
import { say, type Key } from '../../words/say.ts';

function key(part: 'out' | 'danger', danger: Danger): Key {
  return `${part}.${danger.replaceAll(' ', '_')}` as Key;
}

export function dangerWord(language: Language, danger: Danger): string {
  return say(language, key('danger', danger));
}

export function outWords(language: Language, { danger, gas, fan_off }: WayOut): string {
  return say(language, key('out', danger), {
    first: say(language, 'out.first'),
    gas: gas ? say(language, 'out.gas') : '',
    fan: fan_off ? '' : say(language, 'out.fan'),
  });
}
