// Keys to be hit with a knuckle, lines of words, and the ten seconds in which a tap can be taken back.

import type { ComponentChildren, VNode } from 'preact';
import { useState } from 'preact/hooks';

import type { Doings, Model, Told } from '../../core/model.ts';
import { w } from './words.ts';

export const UNDO_S = 10; // as the board lets an act be undone

interface KeyProps {
  readonly onTap: () => void;
  readonly children: ComponentChildren;
  /** An act in service: 40 mm instead of 25. */
  readonly act?: boolean;
  readonly on?: boolean | undefined;
  readonly off?: boolean | undefined;
  /** As wide as there is room. */
  readonly grow?: boolean;
  readonly label?: string | undefined;
  readonly id?: string;
}

/** One key. `on` says that it is chosen: by a frame and a sign beside the colour. */
export function Key({ onTap, children, act, on, off, grow, label, id }: KeyProps): VNode {
  const kinds = ['key', act ? 'act' : '', grow ? 'grow' : '', on ? 'chosen' : ''];
  return (
    <button
      type="button"
      class={kinds.filter(Boolean).join(' ')}
      aria-pressed={on}
      aria-label={label}
      disabled={off}
      data-key={id}
      onClick={onTap}
    >
      {children}
    </button>
  );
}

/** Whether somebody may tell the night anything: an inspector reads. */
export function mayTell(model: Model): boolean {
  return model.who !== null && model.who.role !== 'inspector';
}

export function manages(model: Model): boolean {
  return model.who?.role === 'chef' || model.who?.role === 'owner';
}

export interface Said {
  readonly id: string;
  readonly at_s: number;
  readonly words: string;
}

/** Tells the night and remembers the last thing told, for the bar that takes it back. */
export function useTelling(model: Model, doings: Doings): {
  said: Said | null;
  tell: (what: Told, words: string) => string;
  undo: () => void;
} {
  const [said, setSaid] = useState<Said | null>(null);
  return {
    said,
    tell(what, words) {
      const id = doings.tell(what);
      setSaid({ id, at_s: model.now_s, words });
      return id;
    },
    undo() {
      if (said !== null) doings.undo(said.id);
      setSaid(null);
    },
  };
}

/** What was told last, and a key that takes it back while it can be; `undo` null: it cannot. */
export function UndoBar({ model, said, undo }: { model: Model; said: Said | null; undo: (() => void) | null }): VNode {
  const left_s = said === null ? 0 : Math.ceil(said.at_s + UNDO_S - model.now_s);
  const refused = said === null ? undefined : model.refused.find((one) => one.id === said.id);
  if (said === null || (left_s <= 0 && refused === undefined)) return <div role="status" />;
  if (refused !== undefined) {
    return <div class="undo-bar warn" role="status"><span>{w(model, 'tk.not_taken', { words: refused.words })}</span></div>;
  }
  return (
    <div class="undo-bar" role="status">
      <span>{said.words}</span>
      {undo !== null && <Key onTap={undo} id="undo">{w(model, 'tk.undo', { seconds: Math.max(1, left_s) })}</Key>}
    </div>
  );
}
