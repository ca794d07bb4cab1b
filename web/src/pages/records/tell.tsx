// What is written down besides what the lots page has: boiling water, papers that are kept, freezer and time marks.

import type { VNode } from 'preact';
import { useState } from 'preact/hooks';

import type { Model, Told } from '../../core/model.ts';
import type { ToldLot } from '../../wire.ts';
import { isNumber, readText } from '../lots/names.ts';
import { NumberKeys } from '../lots/number.tsx';
import { Instrument } from '../lots/reading.tsx';
import { Key } from '../tickets/keys.tsx';
import { w } from '../tickets/words.ts';
import { heightM, marksTime, mayFreeze } from './asked.ts';

const MARK_H = [1, 2, 4, 6] as const;

interface Props {
  readonly model: Model;
  readonly tell: (what: Told, words: string) => void;
  readonly done: () => void;
}

/** A thermometer in boiling water: how high above the sea decides at what it should stand. */
export function InBoiling({ model, instruments, tell, done }: Props & { instruments: readonly string[] }): VNode {
  const [value, setValue] = useState('');
  const [height, setHeight] = useState('');
  const [instrument, setInstrument] = useState(instruments[0] ?? '');
  const { temperature: unit, length } = model.settings;
  const above = heightM(height, length);
  const write = (): void => {
    if (above === null) return;
    tell(
      { kind: 'probe_in_boiling', instrument: instrument.trim(), shown: value, unit, scale: 'both', height_m: above },
      w(model, 'rec.told_boiling', { probe: instrument.trim(), value: readText({ value, unit }) }),
    );
    done();
  };
  return (
    <div class="lot-make">
      <p>{w(model, 'rec.boiling_how')}</p>
      <div class="lot-read">
        <section>
          <NumberKeys
            value={value} unit={`°${unit}`} onValue={setValue} id="write-boiling" words={w(model, 'lots.tell')}
            off={!isNumber(value) || instrument.trim() === '' || above === null} onTell={write}
          />
        </section>
        <section>
          <label>
            <span>{w(model, 'rec.height', { unit: length === 'in' ? 'ft' : 'm' })}</span>
            <input type="text" inputMode="numeric" maxLength={5} autocomplete="off" data-key="height" value={height} onInput={(typed) => { setHeight(typed.currentTarget.value); }} />
          </label>
          <Instrument model={model} instruments={instruments} chosen={instrument} choose={setInstrument} />
          <Key grow id="leave" onTap={done}>{w(model, 'rec.stands')}</Key>
        </section>
      </div>
    </div>
  );
}

/** A written procedure for time alone: some rules ask for one before it is used. */
export function Procedure({ model, tell, done }: Props): VNode {
  const [words, setWords] = useState('');
  return (
    <div class="lot-make">
      <p>{w(model, 'rec.procedure_how')}</p>
      <label>
        <span>{w(model, 'rec.procedure_name')}</span>
        <input type="text" maxLength={500} data-key="procedure-name" value={words} onInput={(typed) => { setWords(typed.currentTarget.value); }} />
      </label>
      <div class="keys">
        <Key grow id="leave" onTap={done}>{w(model, 'rec.stands')}</Key>
        <Key act grow id="write-procedure" off={words.trim() === ''} onTap={() => {
          tell({ kind: 'time_procedure', reference: words.trim() }, w(model, 'rec.told_procedure'));
          done();
        }}>{w(model, 'lots.tell')}</Key>
      </div>
    </div>
  );
}

/** Into the freezer and out of it; the time that is written on food that goes on time alone. */
export function LotMarks({ model, lot, tell }: { model: Model; lot: ToldLot; tell: Props['tell'] }): VNode | null {
  const freezes = mayFreeze(lot);
  if (!freezes && !marksTime(lot)) return null;
  return (
    <section class="no-print">
      {freezes && (
        <div class="keys">
          <Key grow id="freezer" onTap={() => {
            const words = w(model, lot.frozen ? 'rec.is_thawed' : 'rec.is_frozen', { lot: lot.lot });
            tell({ kind: 'lot_freezer', lot: lot.lot, way: lot.frozen ? 'out' : 'in' }, words);
          }}>{w(model, lot.frozen ? 'rec.thaw' : 'rec.freeze')}</Key>
        </div>
      )}
      {marksTime(lot) && (
        <>
          <h2>{w(model, 'rec.mark_time')}</h2>
          <div class="keys">
            {MARK_H.map((h) => (
              <Key key={h} grow id={`hours-${h}`} onTap={() => {
                tell({ kind: 'lot_time_marked', lot: lot.lot, for_s: h * 3600 }, w(model, 'rec.is_time_marked', { lot: lot.lot, h }));
              }}>{`${h} h`}</Key>
            ))}
          </div>
        </>
      )}
    </section>
  );
}
