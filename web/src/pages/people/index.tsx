// Who is let in: one's own name; for the chef and the owner, people, devices and feeds.

import './people.css';

import type { VNode } from 'preact';
import { useEffect, useState } from 'preact/hooks';

import type { Doings, Model } from '../../core/model.ts';
import type { Code, Person, Role, Token } from '../../wire.ts';
import type { Page } from '../page.ts';
import { Desk } from '../tickets/desk.tsx';
import { Key, manages } from '../tickets/keys.tsx';
import { w } from '../tickets/words.ts';
import { PIN_LEAST, PIN_MOST, inFours, pinStands } from './pin.ts';

const ROLES: readonly Role[] = ['cook', 'pass', 'chef', 'owner', 'inspector'];
const DIGITS = [...'1234567890'];

interface Props {
  readonly model: Model;
  readonly doings: Doings;
}

export const People: Page = ({ model, doings }) => {
  const who = model.who;
  return (
    <Desk model={model} doings={doings} page="people" top={
      <Key id="leave-session" grow off={who === null} onTap={() => { void doings.leave(); }}>{w(model, 'people.leave')}</Key>
    }>
      <p>{who === null ? w(model, 'people.nobody') : w(model, 'people.you', { name: who.name, role: roleWord(model, who.role) })}</p>
      {manages(model) ? <Managed model={model} doings={doings} /> : <p class="hush">{w(model, 'people.ask_chef')}</p>}
    </Desk>
  );
};

function roleWord(model: Model, role: string): string {
  return ROLES.some((one) => one === role) ? w(model, `role.${role as Role}`) : role;
}

/** What the board answered last, or why it did not. */
function useSaid(): readonly [string, (asked: Promise<unknown>, done: () => void) => void] {
  const [said, setSaid] = useState('');
  return [said, (asked, done) => {
    asked.then(() => { setSaid(''); done(); }, (err: unknown) => { setSaid(err instanceof Error ? err.message : String(err)); });
  }];
}

function Managed({ model, doings }: Props): VNode {
  const [people, setPeople] = useState<readonly Person[]>([]);
  const [said, ask] = useSaid();
  const [turn, setTurn] = useState(0);
  const read = (): void => { setTurn((now) => now + 1); };
  useEffect(() => {
    ask(doings.ask<readonly Person[]>('/api/people').then(setPeople), () => {});
  }, [turn]);
  return (
    <div class="people">
      <section>
        <h2>{w(model, 'people.written')}</h2>
        {said !== '' && <p class="warn" role="alert">{said}</p>}
        <WriteDown model={model} doings={doings} people={people} done={read} />
      </section>
      <section>
        <h2>{w(model, 'people.code')}</h2>
        <ShowCode model={model} doings={doings} />
        <LetIn model={model} doings={doings} kind="devices" />
        <LetIn model={model} doings={doings} kind="feeds" />
        <LetFeedIn model={model} doings={doings} />
      </section>
    </div>
  );
}

interface WriteProps extends Props {
  readonly people: readonly Person[];
  readonly done: () => void;
}

/** Somebody new by name, role and PIN; somebody known by their name's key, with a new PIN or role. */
function WriteDown({ model, doings, people, done }: WriteProps): VNode {
  const [name, setName] = useState('');
  const [role, setRole] = useState<Role>('cook');
  const [pin, setPin] = useState('');
  const [said, ask] = useSaid();
  const [written, setWritten] = useState('');
  const write = (): void => {
    const person = { name: name.trim(), role, pin };
    ask(doings.ask<Person>('/api/people', person), () => {
      setWritten(w(model, 'people.is_written', { name: person.name, role: roleWord(model, role) }));
      setName('');
      setPin('');
      done();
    });
  };
  return (
    <>
      <div class="keys">
        {people.map((one) => (
          <Key key={one.name} grow id={`person-${one.name}`} on={name === one.name} onTap={() => {
            setName(one.name);
            setRole(ROLES.find((known) => known === one.role) ?? 'cook');
            setWritten('');
          }}>
            <span>{one.name}</span><small>{roleWord(model, one.role)}</small>
          </Key>
        ))}
      </div>
      <label>
        <span>{w(model, 'people.name')}</span>
        <input type="text" value={name} maxLength={80} autocomplete="off" spellcheck={false} data-key="name" onInput={(typed) => { setName(typed.currentTarget.value); setWritten(''); }} />
      </label>
      <div class="keys" role="group" aria-label={w(model, 'people.role')}>
        {ROLES.map((one) => <Key key={one} grow id={`role-${one}`} on={role === one} onTap={() => { setRole(one); }}>{roleWord(model, one)}</Key>)}
      </div>
      <p aria-live="polite">{pin === '' ? w(model, 'people.pin', { least: PIN_LEAST, most: PIN_MOST }) : w(model, 'people.pin_n', { n: pin.length })} {'●'.repeat(pin.length)}</p>
      <div class="keys pin" role="group" aria-label={w(model, 'people.pin_keys')}>
        {DIGITS.map((one) => <Key key={one} id={`pin-${one}`} off={pin.length >= PIN_MOST} onTap={() => { setPin(pin + one); }}>{one}</Key>)}
        <Key id="pin-none" off={pin === ''} onTap={() => { setPin(''); }} label={w(model, 'people.pin_again')}>×</Key>
      </div>
      {pin.length >= PIN_LEAST && !pinStands(pin) && <p class="warn">{w(model, 'people.pin_same')}</p>}
      <Key grow id="write" off={name.trim() === '' || !pinStands(pin)} onTap={write}>{w(model, 'people.write')}</Key>
      <p role="status">{written}</p>
      {said !== '' && <p class="warn" role="alert">{said}</p>}
    </>
  );
}

function ShowCode({ model, doings }: Props): VNode {
  const [code, setCode] = useState<{ text: string; until_s: number } | null>(null);
  const [said, ask] = useSaid();
  const left_s = code === null ? 0 : code.until_s - model.now_s;
  return (
    <>
      {code !== null && left_s > 0 && (
        <>
          <p class="code">{inFours(code.text)}</p>
          <p>{w(model, 'people.code_left', { n: Math.max(1, Math.ceil(left_s / 60)) })}</p>
        </>
      )}
      <Key grow id="code" onTap={() => {
        ask(doings.ask<Code>('/api/codes', {}).then((told) => { setCode({ text: told.code, until_s: model.now_s + told.good_for_s }); }), () => {});
      }}>{w(model, 'people.show_code')}</Key>
      {said !== '' && <p class="warn" role="alert">{said}</p>}
    </>
  );
}

/** What is let in, each with a key that puts it out; the second tap within sight of the name does it. */
function LetIn({ model, doings, kind }: Props & { kind: 'devices' | 'feeds' }): VNode {
  const [names, setNames] = useState<readonly string[]>([]);
  const [sure, setSure] = useState('');
  const [said, ask] = useSaid();
  const read = (): void => { ask(doings.ask<readonly string[]>(`/api/${kind}`).then(setNames), () => {}); };
  useEffect(read, []);
  const putOut = (name: string): void => {
    if (sure !== name) {
      setSure(name);
      return;
    }
    ask(doings.ask<null>(`/api/${kind}/${encodeURIComponent(name)}`, undefined, 'DELETE'), () => { setSure(''); read(); });
  };
  return (
    <>
      <h2>{w(model, `people.${kind}`)}</h2>
      {names.length === 0 && <p class="hush">{w(model, `people.no_${kind}`)}</p>}
      <ul class="lines">
        {names.map((name) => (
          <li key={name}>
            <span class="what">{name}{sure === name && <small>{w(model, 'people.put_out_means')}</small>}</span>
            <Key id={`out-${name}`} on={sure === name} label={`${sure === name ? w(model, 'people.sure') : w(model, 'people.put_out')}: ${name}`} onTap={() => { putOut(name); }}>
              {sure === name ? w(model, 'people.sure') : w(model, 'people.put_out')}
            </Key>
          </li>
        ))}
      </ul>
      {said !== '' && <p class="warn" role="alert">{said}</p>}
    </>
  );
}

function LetFeedIn({ model, doings }: Props): VNode {
  const [name, setName] = useState('');
  const [token, setToken] = useState('');
  const [said, ask] = useSaid();
  return (
    <>
      <label>
        <span>{w(model, 'people.feed_name')}</span>
        <input type="text" value={name} maxLength={80} autocomplete="off" spellcheck={false} onInput={(typed) => { setName(typed.currentTarget.value); }} />
      </label>
      <Key grow id="feed" off={name.trim() === ''} onTap={() => {
        ask(doings.ask<Token>('/api/feeds', { name: name.trim() }).then((told) => { setToken(told.token); }), () => { setName(''); });
      }}>{w(model, 'people.let_feed_in')}</Key>
      {token !== '' && <p class="token">{w(model, 'people.feed_token', { token })}</p>}
      {said !== '' && <p class="warn" role="alert">{said}</p>}
    </>
  );
}
