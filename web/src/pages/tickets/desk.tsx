// What these pages stand in: the night's frame, a strip of keys on top, and a body that keys scroll.

import './desk.css';

import type { ComponentChildren, VNode } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';

import type { Doings, Model } from '../../core/model.ts';
import { useWindow } from '../../look/measure.ts';
import { Frame, PagesKey } from '../frame/frame.tsx';
import { Key } from './keys.tsx';
import { w } from './words.ts';

/** Width of glass from which two things stand side by side, below which it is held in the hand, and a phone's, mm. */
const ROOMY_MM = 290;
const HAND_MM = 120;
const NARROW_MM = 90;

export type Room = 'roomy' | 'plain' | 'hand';

/** How the glass is laid out: two things beside each other, one, or what is held in the hand. */
export function useRoom(model: Model): Room {
  const [width, height] = useWindow();
  const mm = model.settings.px_per_mm;
  if (Math.min(width, height) / mm < HAND_MM) return 'hand';
  return width / mm >= ROOMY_MM && width > height ? 'roomy' : 'plain';
}

interface DeskProps {
  readonly model: Model;
  readonly doings: Doings;
  readonly page: 'tickets' | 'people' | 'closing' | 'replay' | 'day' | 'lots' | 'records';
  /** Keys beside the way to the other pages. */
  readonly top?: ComponentChildren;
  /** Whether the way to the other pages stands there too: not while one thing is being done. */
  readonly way?: boolean;
  /** What the body shows: another one is laid out anew, from its top. */
  readonly at?: string;
  /** Stays at the foot of the screen, whatever is scrolled. */
  readonly foot?: ComponentChildren;
  readonly children: ComponentChildren;
}

export function Desk({ model, doings, page, top, way = true, at = '', foot, children }: DeskProps): VNode {
  const room = useRoom(model);
  const narrow = room === 'hand' && Math.min(...useWindow()) / model.settings.px_per_mm < NARROW_MM;
  return (
    <Frame model={model} doings={doings} page={page}>
      {() => (
        <div class="desk" data-room={room} data-narrow={narrow ? '' : undefined}>
          <div class="desk-top">{top}{way && <PagesKey language={model.settings.language} />}</div>
          <Scrolled key={at} model={model}>{children}</Scrolled>
          {foot}
        </div>
      )}
    </Frame>
  );
}

/** A body that may be longer than the screen: two keys move it, so that nobody has to drag with a wet finger. */
function Scrolled({ model, children }: { model: Model; children: ComponentChildren }): VNode {
  const body = useRef<HTMLDivElement>(null);
  const [long, setLong] = useState(false);
  useEffect(() => {
    const now = body.current;
    if (now !== null) setLong(now.scrollHeight > now.clientHeight + 4);
  });
  const move = (by: number): void => {
    const now = body.current;
    now?.scrollBy({ top: by * now.clientHeight * 0.8 });
  };
  return (
    <div class="desk-body">
      <div class="desk-scroll" ref={body} tabIndex={long ? 0 : -1}>{children}</div>
      {long && (
        <div class="desk-move">
          <Key onTap={() => { move(-1); }} id="up" label={w(model, 'tk.up')}>▲</Key>
          <Key onTap={() => { move(1); }} id="down" label={w(model, 'tk.down')}>▼</Key>
        </div>
      )}
    </div>
  );
}
