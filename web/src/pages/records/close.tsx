// What was not as it should be is closed with all four: cause, control again, prevention, what became of the food.

import type { VNode } from 'preact';
import { useState } from 'preact/hooks';

import type { Model, Told } from '../../core/model.ts';
import type { ToldEntry } from '../../wire.ts';
import { Key } from '../tickets/keys.tsx';
import { w } from '../tickets/words.ts';

const PARTS = ['cause', 'control', 'prevention', 'disposition'] as const;
type Said = Readonly<Record<(typeof PARTS)[number], string>>;

interface Props {
  readonly model: Model;
  readonly entry: ToldEntry;
  readonly tell: (what: Told, words: string) => void;
  readonly done: () => void;
}

export function CloseIt({ model, entry, tell, done }: Props): VNode {
  const [said, setSaid] = useState<Said>({ cause: '', control: '', prevention: '', disposition: '' });
  const whole = PARTS.every((part) => said[part].trim() !== '');
  return (
    <div class="lot-make">
      <p><b>{entry.lot}</b> {entry.words}</p>
      {PARTS.map((part) => (
        <label key={part}>
          <span>{w(model, `rec.${part}`)}</span>
          <input type="text" maxLength={500} data-key={part} value={said[part]} onInput={(typed) => { setSaid({ ...said, [part]: typed.currentTarget.value }); }} />
        </label>
      ))}
      <div class="keys">
        <Key grow id="leave-open" onTap={done}>{w(model, 'rec.stands')}</Key>
        <Key act grow id="close" off={!whole} onTap={() => {
          tell({ kind: 'deviation_closed', of: entry.id, ...said }, w(model, 'rec.is_closed'));
          done();
        }}>{w(model, 'rec.close')}</Key>
      </div>
    </div>
  );
}
