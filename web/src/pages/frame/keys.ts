// Keys and pedals: one press is one act. A pedal sends Page Down or Space.

import { useEffect, useRef } from 'preact/hooks';

export interface Acts {
  readonly onDone: () => void;
  readonly onNotYet: () => void;
  readonly onUndo: () => void;
}

export type Act = 'done' | 'not_yet' | 'undo';

/** What a key press means on a page with moves; null: nothing of ours. */
export function actOf(key: string): Act | null {
  if (key === ' ' || key === 'PageDown' || key === 'Enter') return 'done';
  if (key === 'n' || key === 'N') return 'not_yet';
  if (key === 'u' || key === 'U' || key === 'Backspace') return 'undo';
  return null;
}

/** Whether a press belongs to what has the focus: a key of the keyboard's user on a button, a field being typed in. */
export function belongsTo(focus: { readonly tagName: string } | null, key: string): boolean {
  if (focus === null) return false;
  if (['INPUT', 'TEXTAREA', 'SELECT'].includes(focus.tagName)) return true;
  return ['BUTTON', 'A'].includes(focus.tagName) && (key === ' ' || key === 'Enter');
}

/** A wet knuckle taps twice: what the browser counts as the second tap of two is no act of its own. */
export function once(act: () => void): (event: Pick<MouseEvent, 'detail'>) => void {
  return (event) => {
    if (event.detail <= 1) act();
  };
}

/** Listens for a page's acts while it is shown. */
export function useActKeys(acts: Acts): void {
  const now = useRef(acts);
  now.current = acts;
  useEffect(() => {
    const press = (event: KeyboardEvent): void => {
      if (event.repeat || event.ctrlKey || event.metaKey || event.altKey) return;
      const act = actOf(event.key);
      if (act === null || belongsTo(document.activeElement, event.key)) return;
      event.preventDefault();
      if (act === 'done') now.current.onDone();
      else if (act === 'not_yet') now.current.onNotYet();
      else now.current.onUndo();
    };
    // A key that was tapped keeps no focus: the next press of a pedal is an act, not that key again.
    const tapped = (event: MouseEvent): void => {
      if (event.detail > 0 && document.activeElement instanceof HTMLElement) document.activeElement.blur();
    };
    window.addEventListener('keydown', press);
    window.addEventListener('click', tapped);
    return () => {
      window.removeEventListener('keydown', press);
      window.removeEventListener('click', tapped);
    };
  }, []);
}
