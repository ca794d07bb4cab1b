// A reading of a lot: which part, by which thermometer, what it shows. It is written down as it was read.

import type { VNode } from 'preact';
import { useState } from 'preact/hooks';

import type { Model, Told } from '../../core/model.ts';
import type { LotReading, ToldLot } from '../../wire.ts';
import { Key } from '../tickets/keys.tsx';
import { w } from '../tickets/words.ts';
import { isNumber, pointFor, readText, wordOf } from './names.ts';
import { NumberKeys } from './number.tsx';

const POINTS = ['coldest', 'warmest', 'surface'] as const;
const PARTS = ['thigh', 'breast', 'middle'] as const;
const STOOD_S = [15, 17, 30] as const; // the times most rules ask a reading to stand for; others are told at the prompt

interface Props {
  readonly model: Model;
  readonly lot: ToldLot;
  readonly instruments: readonly string[];
  readonly tell: (what: Told, words: string) => void;
  readonly done: () => void;
}

export function ReadLot({ model, lot, instruments, tell, done }: Props): VNode {
  const [value, setValue] = useState('');
  const [point, setPoint] = useState<LotReading['point']>(pointFor(lot));
  const [place, setPlace] = useState('');
  const [held_s, setHeld] = useState(0);
  const [instrument, setInstrument] = useState(instruments[0] ?? '');
  const unit = model.settings.temperature;
  const write = (): void => {
    const reading: LotReading = { kind: 'lot_reading', lot: lot.lot, value, unit, point, instrument: instrument.trim(), place: place.trim(), held_s };
    tell(reading, w(model, 'lots.told_read', { lot: lot.lot, value: readText(reading) }));
    done();
  };
  return (
    <div class="lot-read">
      <section>
        <NumberKeys
          value={value} unit={`°${unit}`} onValue={setValue} id="write-reading" words={w(model, 'lots.tell')}
          off={!isNumber(value) || instrument.trim() === ''} onTell={write}
        />
        <p class="caution">{w(model, 'lots.caution')}</p>
      </section>
      <section>
        <div class="keys" role="group" aria-label={w(model, 'lots.which_part')}>
          {POINTS.map((one) => <Key key={one} grow id={`point-${one}`} on={point === one} onTap={() => { setPoint(one); }}>{wordOf(model, 'point', one)}</Key>)}
        </div>
        <div class="keys" role="group" aria-label={w(model, 'lots.named_part')}>
          {PARTS.map((one) => <Key key={one} grow id={`part-${one}`} on={place === one} onTap={() => { setPlace(place === one ? '' : one); }}>{wordOf(model, 'part', one)}</Key>)}
        </div>
        <div class="keys" role="group" aria-label={w(model, 'lots.stood', { s: '…' })}>
          {STOOD_S.map((one) => <Key key={one} grow id={`stood-${one}`} on={held_s === one} onTap={() => { setHeld(held_s === one ? 0 : one); }}>{w(model, 'lots.stood', { s: one })}</Key>)}
        </div>
        <Instrument model={model} instruments={instruments} chosen={instrument} choose={setInstrument} />
      </section>
    </div>
  );
}

interface InstrumentProps {
  readonly model: Model;
  readonly instruments: readonly string[];
  readonly chosen: string;
  readonly choose: (name: string) => void;
}

/** Which thermometer: one that is known, or another by its name. */
export function Instrument({ model, instruments, chosen, choose }: InstrumentProps): VNode {
  return (
    <>
      <div class="keys" role="group" aria-label={w(model, 'lots.which_probe')}>
        {instruments.map((one) => <Key key={one} grow id={`probe-${one}`} on={chosen === one} onTap={() => { choose(one); }}>{one}</Key>)}
      </div>
      <label>
        <span>{w(model, 'lots.other_probe')}</span>
        <input type="text" maxLength={60} autocomplete="off" spellcheck={false} data-key="other-probe" value={instruments.includes(chosen) ? '' : chosen} onInput={(typed) => { choose(typed.currentTarget.value); }} />
      </label>
    </>
  );
}

/** A thermometer in melting ice. */
export function InIce({ model, instruments, tell, done }: Omit<Props, 'lot'>): VNode {
  const [value, setValue] = useState('');
  const [instrument, setInstrument] = useState(instruments[0] ?? '');
  const unit = model.settings.temperature;
  const write = (): void => {
    tell(
      { kind: 'probe_in_ice', instrument: instrument.trim(), shown: value, unit, scale: 'both' },
      w(model, 'lots.told_ice', { probe: instrument.trim(), value: readText({ value, unit }) }),
    );
    done();
  };
  return (
    <div class="lot-read">
      <section>
        <p>{w(model, 'lots.ice_how')}</p>
        <NumberKeys
          value={value} unit={`°${unit}`} onValue={setValue} id="write-ice" words={w(model, 'lots.tell')}
          off={!isNumber(value) || instrument.trim() === ''} onTell={write}
        />
      </section>
      <section><Instrument model={model} instruments={instruments} chosen={instrument} choose={setInstrument} /></section>
    </div>
  );
}
