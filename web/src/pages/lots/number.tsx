// A number keyed in as an instrument shows it: large digits, a point, a minus, and the key that writes it down.

import type { VNode } from 'preact';

import { Key } from '../tickets/keys.tsx';
import { keyed } from './names.ts';

const NONE = '×';
const KEYS = ['1', '2', '3', NONE, '4', '5', '6', '.', '7', '8', '9', '−', '0'];

interface Props {
  readonly value: string;
  readonly unit: string;
  readonly onValue: (value: string) => void;
  readonly id: string;
  readonly words: string;
  readonly off: boolean;
  readonly onTell: () => void;
}

export function NumberKeys({ value, unit, onValue, id, words, off, onTell }: Props): VNode {
  return (
    <div class="lot-number">
      <output>{value === '' ? '–' : value.replace('-', '−')}<small>{unit}</small></output>
      <div class="digits">
        {KEYS.map((one) => <Key key={one} id={one === NONE ? 'digit-none' : `digit-${one}`} onTap={() => { onValue(one === NONE ? '' : keyed(value, one)); }}>{one}</Key>)}
        <Key id={id} off={off} onTap={onTell}>{words}</Key>
      </div>
    </div>
  );
}
