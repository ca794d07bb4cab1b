import { useEffect, useState } from 'preact/hooks';

import './session.css';
import type { Entry } from '../../core/board.ts';
import type { Language, Settings } from '../../core/model.ts';
import type { Person } from '../../wire.ts';
import { say, type Key } from '../../words/say.ts';
import { Choice } from '../settings/choice.tsx';
import { LANGUAGES } from '../settings/languages.ts';
import { Pad } from './pad.tsx';
import { troubleWords } from './trouble.ts';

const CODE_DIGITS = 8;
const PIN_LEAST = 4;
const PIN_MOST = 12;
const PLACES: readonly Key[] = ['place.hearth', 'place.pass', 'place.wall', 'place.room', 'place.office'];

interface SessionProps {
  settings: Settings;
  enrolled: boolean;
  entry: Entry;
  set: (part: Partial<Settings>) => void;
}

/** The way in: this device by a code, its cook by name and PIN. */
export function Session({ settings, enrolled, entry, set }: SessionProps) {
  return (
    <main class="session">
      <Choice
        name={say(settings.language, 'set.language')}
        options={LANGUAGES}
        chosen={settings.language}
        onChosen={(language) => set({ language })}
      />
      {enrolled ? <ComeIn language={settings.language} entry={entry} /> : <Enrol language={settings.language} entry={entry} />}
    </main>
  );
}

function Enrol({ language, entry }: { language: Language; entry: Entry }) {
  const [code, setCode] = useState('');
  const [trouble, setTrouble] = useState('');
  const enrol = (place: string) =>
    entry.enrol(code, `${place} ${String(Math.floor(Math.random() * 100)).padStart(2, '0')}`).catch((err: unknown) => {
      setTrouble(troubleWords(language, err, 'enrol.wrong'));
      setCode('');
    });
  const whole = code.length === CODE_DIGITS;
  return (
    <>
      <header>
        <h1>{say(language, 'enrol.title')}</h1>
        {whole || <p>{say(language, 'enrol.how')}</p>}
        <p class="typed" aria-label={say(language, 'enrol.code', { count: code.length })} role="img">
          {code.padEnd(CODE_DIGITS, '·').replace(/^(.{4})/, '$1 ')}
        </p>
        <Trouble words={trouble} />
      </header>
      {whole ? (
        <section class="names" aria-labelledby="where">
          <h2 id="where">{say(language, 'enrol.where')}</h2>
          {PLACES.map((place) => (
            <button type="button" key={place} onClick={() => void enrol(say(language, place))}>
              {say(language, place)}
            </button>
          ))}
          <button type="button" class="quiet" onClick={() => setCode(code.slice(0, -1))}>
            {say(language, 'pad.back')}
          </button>
        </section>
      ) : (
        <Pad
          language={language}
          typed={code}
          most={CODE_DIGITS}
          onTyped={(typed) => {
            setCode(typed);
            setTrouble('');
          }}
        />
      )}
    </>
  );
}

function ComeIn({ language, entry }: { language: Language; entry: Entry }) {
  const [people, setPeople] = useState<readonly Person[] | null>(null);
  const [name, setName] = useState<string | null>(null);
  const [trouble, setTrouble] = useState('');
  const ask = () => {
    setTrouble('');
    entry.people().then(setPeople, (err: unknown) => setTrouble(troubleWords(language, err, 'enrol.wrong')));
  };
  useEffect(ask, []);
  if (name !== null) return <Pin language={language} entry={entry} name={name} onOther={() => setName(null)} />;
  return (
    <section class="names" aria-labelledby="who">
      <h1 id="who">{say(language, 'who.title')}</h1>
      <Trouble words={trouble} />
      {people?.length === 0 && <p>{say(language, 'who.none')}</p>}
      {people?.map((one) => (
        <button type="button" key={one.name} onClick={() => setName(one.name)}>
          {one.name} <small>{roleWord(language, one.role)}</small>
        </button>
      ))}
      {trouble !== '' && (
        <button type="button" class="quiet" onClick={ask}>
          {say(language, 'ask.again')}
        </button>
      )}
    </section>
  );
}

interface PinProps {
  language: Language;
  entry: Entry;
  name: string;
  onOther: () => void;
}

function Pin({ language, entry, name, onOther }: PinProps) {
  const [pin, setPin] = useState('');
  const [trouble, setTrouble] = useState('');
  const comeIn = () => {
    setPin('');
    entry.comeIn(name, pin).catch((err: unknown) => setTrouble(troubleWords(language, err, 'who.wrong')));
  };
  return (
    <>
      <header>
        <h1>{say(language, 'who.pin', { name })}</h1>
        <p class="typed" aria-label={say(language, 'who.digits', { count: pin.length })} role="img">
          {'●'.repeat(pin.length) || '·'}
        </p>
        <Trouble words={trouble} />
        <button type="button" class="quiet" onClick={onOther}>
          {say(language, 'who.other')}
        </button>
      </header>
      <Pad
        language={language}
        typed={pin}
        most={PIN_MOST}
        onTyped={(typed) => {
          setPin(typed);
          setTrouble('');
        }}
        done={{ words: say(language, 'who.in'), ready: pin.length >= PIN_LEAST, act: comeIn }}
      />
    </>
  );
}

function Trouble({ words }: { words: string }) {
  return (
    <p class="trouble" role="status">
      {words !== '' && `▲ ${words}`}
    </p>
  );
}

const ROLES = { cook: 'role.cook', pass: 'role.pass', chef: 'role.chef', owner: 'role.owner', inspector: 'role.inspector' } as const;

/** A role as this device's language calls it; as the board calls it where this page does not know it. */
export function roleWord(language: Language, role: string): string {
  const key = (ROLES as Readonly<Record<string, Key>>)[role];
  return key === undefined ? role : say(language, key);
}
