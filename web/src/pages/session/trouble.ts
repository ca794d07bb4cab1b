import { AskFailed } from '../../core/api.ts';
import type { Language } from '../../core/model.ts';
import { say, type Key } from '../../words/say.ts';

/** Why a call failed, for whoever stands before the screen; `refused` is what a 401 means here. */
export function troubleWords(language: Language, err: unknown, refused: Key): string {
  if (!(err instanceof AskFailed)) throw err;
  if (err.status === 0) return say(language, 'ask.no_link');
  if (err.status === 401) return say(language, refused);
  if (err.status === 429) return say(language, 'ask.wait', { seconds: Math.ceil(err.wait_s ?? 1) });
  return err.message;
}
