import { type Language } from '../../core/model.ts';
import { say } from '../../words/say.ts';

const DIGITS = ['1', '2', '3', '4', '5', '6', '7', '8', '9'];

export interface PadProps {
  language: Language;
  typed: string;
  most: number;
  onTyped: (typed: string) => void;
  /** What stands on the last key, and what it does; none where the last digit is enough. */
  done?: { words: string; ready: boolean; act: () => void };
}

/** Ten digits and one back: keys big enough for a knuckle. */
export function Pad({ language, typed, most, onTyped, done }: PadProps) {
  const key = (digit: string) => (
    <button type="button" key={digit} onClick={() => typed.length < most && onTyped(typed + digit)}>
      {digit}
    </button>
  );
  return (
    <div class="pad">
      {DIGITS.map(key)}
      <button type="button" class="pad-word" disabled={typed === ''} onClick={() => onTyped(typed.slice(0, -1))}>
        {say(language, 'pad.back')}
      </button>
      {key('0')}
      {done && (
        <button type="button" class="pad-word pad-done" disabled={!done.ready} onClick={done.act}>
          {done.words}
        </button>
      )}
    </div>
  );
}
