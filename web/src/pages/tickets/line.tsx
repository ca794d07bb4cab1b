// A ticket typed in shorthand, for a keyboard at the pass.

import type { VNode } from 'preact';
import { useState } from 'preact/hooks';

import { newId } from '../../core/ids.ts';
import type { Doings, Model } from '../../core/model.ts';
import { Key } from './keys.tsx';
import { w } from './words.ts';

interface Told {
  readonly taken: boolean;
  readonly words: string;
}

/** Asks with the same id until the board has answered, so that a lost answer calls no ticket twice. */
export function TypedLine({ model, doings }: { model: Model; doings: Doings }): VNode {
  const [line, setLine] = useState('');
  const [id, setId] = useState(() => newId());
  const [told, setTold] = useState('');
  const [busy, setBusy] = useState(false);
  const send = (): void => {
    if (line.trim() === '' || busy) return;
    setBusy(true);
    doings.ask<Told>('/api/lines', { id, at_s: model.now_s, line }).then(
      (answer) => {
        setBusy(false);
        setId(newId());
        if (answer.taken) setLine('');
        setTold(answer.taken ? w(model, 'tk.line_taken') : answer.words);
      },
      (err: unknown) => {
        setBusy(false);
        setTold(err instanceof Error ? err.message : String(err));
      },
    );
  };
  return (
    <form class="tk-typed" onSubmit={(sent) => { sent.preventDefault(); send(); }}>
      <label>
        <span>{w(model, 'tk.typed')}</span>
        <input
          type="text" value={line} autocomplete="off" autocapitalize="off" spellcheck={false} maxLength={2000}
          placeholder={w(model, 'tk.typed_example')}
          onInput={(typed) => { setLine(typed.currentTarget.value); setId(newId()); }}
        />
      </label>
      <Key id="send-line" grow off={busy || line.trim() === ''} onTap={send}>{w(model, 'tk.call_it')}</Key>
      <p role="status">{told}</p>
    </form>
  );
}
