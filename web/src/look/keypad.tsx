// Large keys to enter a temperature with a knuckle: nothing is typed, nothing is dragged.

import type { VNode } from 'preact';

import type { Language, Settings } from '../core/model.ts';
import { say } from '../words/say.ts';
import { keyed } from './keyed.ts';
import { celsius } from './shown.ts';

interface KeypadProps {
  readonly value: string;
  readonly unit: Settings['temperature'];
  readonly language: Language;
  readonly onValue: (value: string) => void;
  readonly onTell: (temperature_C: number) => void;
  readonly onLeave: () => void;
}

export function Keypad({ value, unit, language, onValue, onTell, onLeave }: KeypadProps): VNode {
  const digit = (one: string) => (
    <button key={one} type="button" class="key" onClick={() => onValue(keyed(value, one))}>
      <span class="far">{one}</span>
    </button>
  );
  return (
    <div class="keypad">
      {['1', '2', '3'].map(digit)}
      <button type="button" class="key leave" onClick={onLeave}>
        <span class="word">{say(language, 'read.leave')}</span>
      </button>
      {['4', '5', '6'].map(digit)}
      <button type="button" class="key clear" onClick={() => onValue('')}>
        <span class="word">{say(language, 'read.clear')}</span>
      </button>
      {['7', '8', '9'].map(digit)}
      <button
        type="button"
        class="key tell"
        disabled={value === ''}
        onClick={() => onTell(celsius(Number(value), unit))}
      >
        <span class="word">{say(language, 'read.tell')}</span>
      </button>
      {digit('0')}
    </div>
  );
}

/** What is keyed in so far. */
export function Keyed({ value, unit }: { value: string; unit: Settings['temperature'] }): VNode {
  return (
    <output class="keyed number">
      {value === '' ? '–' : value}
      <small>°{unit}</small>
    </output>
  );
}
