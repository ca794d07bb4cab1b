// What else is written down of a lot: how it is chilled, its last day, what is amiss, a reading corrected.

import type { VNode } from 'preact';
import { useState } from 'preact/hooks';

import type { Doings, Model, Told } from '../../core/model.ts';
import type { Person, ToldLot, ToldLots, ToldReading } from '../../wire.ts';
import { Key } from '../tickets/keys.tsx';
import { w } from '../tickets/words.ts';
import { dayAfter, isNumber, readText, wordOf } from './names.ts';
import { NumberKeys } from './number.tsx';

const THICK_MM = [20, 30, 40, 50, 65, 100] as const;
const DAYS = [0, 1, 2, 3, 4, 5, 6] as const;
const MM_PER_INCH = 25.4;

interface Props {
  readonly model: Model;
  readonly lot: ToldLot;
  readonly tell: (what: Told, words: string) => void;
  readonly done: () => void;
}

export function ChilledBy({ model, lots, lot, tell, done }: Props & { lots: ToldLots }): VNode {
  const [thick, setThick] = useState<number>(40);
  const thickText = (mm: number): string => (model.settings.length === 'in' ? `${(mm / MM_PER_INCH).toFixed(1)} in` : `${mm / 10} cm`);
  return (
    <div class="lot-make">
      <h2>{w(model, 'lots.thick')}</h2>
      <div class="keys">{THICK_MM.map((mm) => <Key key={mm} grow id={`thick-${mm}`} on={thick === mm} onTap={() => { setThick(mm); }}>{thickText(mm)}</Key>)}</div>
      <h2>{w(model, 'lots.chill')}</h2>
      <div class="keys">
        {lots.chill_ways.map((way) => (
          <Key key={way} grow id={`way-${way}`} onTap={() => {
            tell({ kind: 'lot_chilled_by', lot: lot.lot, way, thickness_mm: thick }, w(model, 'lots.told_way', { lot: lot.lot, way: wordOf(model, 'way', way) }));
            done();
          }}>{wordOf(model, 'way', way)}</Key>
        ))}
      </div>
    </div>
  );
}

export function LastDay({ model, lots, lot, tell, done }: Props & { lots: ToldLots }): VNode {
  return (
    <div class="lot-make">
      <h2>{w(model, 'lots.day_of')}</h2>
      <div class="keys">
        {DAYS.map((n) => dayAfter(lots.today, n)).map((day) => (
          <Key key={day} grow id={`day-${day}`} onTap={() => {
            tell({ kind: 'lot_marked', lot: lot.lot, last_day: day }, w(model, 'lots.is_marked', { lot: lot.lot, day }));
            done();
          }}>{day}</Key>
        ))}
      </div>
    </div>
  );
}

export function Amiss({ model, lot, tell, done }: Props): VNode {
  const grave = lot.verdicts.find((one) => one.answer === 'fail') ?? lot.verdicts.find((one) => one.answer === 'unproven');
  const [words, setWords] = useState(grave === undefined ? '' : grave.words.slice(0, 500));
  return (
    <div class="lot-make">
      <label>
        <span>{w(model, 'lots.what_amiss')}</span>
        <textarea maxLength={500} data-key="amiss-words" value={words} onInput={(typed) => { setWords(typed.currentTarget.value); }} />
      </label>
      <Key act grow id="amiss" off={words.trim() === ''} onTap={() => {
        tell({ kind: 'deviation', lot: lot.lot, rule: grave?.rule || '-', found: words.trim() }, w(model, 'lots.is_amiss'));
        done();
      }}>{w(model, 'lots.tell')}</Key>
    </div>
  );
}

interface CorrectProps {
  readonly model: Model;
  readonly doings: Doings;
  readonly reading: ToldReading;
  readonly newId: () => string;
  readonly done: () => void;
}

/** Corrects a reading; asked of the board at once, for a second person's PIN is kept nowhere. */
export function Correct({ model, doings, reading, newId, done }: CorrectProps): VNode {
  const [value, setValue] = useState('');
  const [why, setWhy] = useState('');
  const [people, setPeople] = useState<readonly Person[]>([]);
  const [second, setSecond] = useState('');
  const [pin, setPin] = useState('');
  const [said, setSaid] = useState('');
  const [id, setId] = useState(newId);
  const edit = (change: () => void): void => { // another value is another entry
    setId(newId());
    change();
  };
  const ask = (path: string, body?: unknown): Promise<unknown> => doings.ask<unknown>(path, body);
  const failed = (err: unknown): void => { setSaid(err instanceof Error ? err.message : String(err)); };
  const write = (): void => {
    const body = { id, of: reading.id, value, unit: reading.unit, why: why.trim(), second: second === '' ? null : { name: second, pin } };
    ask('/api/records/corrections', body).then(() => { done(); }, failed);
  };
  const others = people.filter((one) => one.name !== model.who?.name && one.role !== 'inspector');
  return (
    <div class="lot-read">
      <section>
        <p>{w(model, 'lots.instead', { words: `${readText(reading)}, ${wordOf(model, 'point', reading.point)}` })}</p>
        <NumberKeys
          value={value} unit={`°${reading.unit}`} onValue={(typed) => { edit(() => { setValue(typed); }); }} id="write-correction" words={w(model, 'lots.tell')}
          off={!isNumber(value) || why.trim() === ''} onTell={write}
        />
        {said !== '' && <p class="warn" role="alert">{said}</p>}
      </section>
      <section>
        <label>
          <span>{w(model, 'lots.why')}</span>
          <input type="text" maxLength={200} autocomplete="off" data-key="why" value={why} onInput={(typed) => { const { value: words } = typed.currentTarget; edit(() => { setWhy(words); }); }} />
        </label>
        <h2>{w(model, 'lots.second')}</h2>
        <div class="keys">
          {others.length === 0 && <Key grow id="second" onTap={() => { ask('/api/people').then((found) => { setPeople(found as readonly Person[]); }, failed); }}>…</Key>}
          {others.map((one) => <Key key={one.name} grow id={`second-${one.name}`} on={second === one.name} onTap={() => { setSecond(second === one.name ? '' : one.name); setPin(''); }}>{one.name}</Key>)}
        </div>
        {second !== '' && (
          <label>
            <span>{w(model, 'lots.second_pin')}</span>
            <input type="password" inputMode="numeric" maxLength={12} autocomplete="off" data-key="second-pin" value={pin} onInput={(typed) => { setPin(typed.currentTarget.value); }} />
          </label>
        )}
      </section>
    </div>
  );
}
