// The hearth page: the stone, the landing lines, the next moves, and nothing else.

import { say } from '../../words/say.ts';
import { Frame, PagesKey } from '../frame/frame.tsx';
import { once, useActKeys } from '../frame/keys.ts';
import { useTold } from '../frame/told.ts';
import type { Page } from '../page.ts';
import { HearthLines, HearthStone } from './drawn.tsx';
import { First, Then, Undo } from './moves.tsx';
import { doneOf, lastAct, nextMoves, notYetOf } from './next.ts';

export const Hearth: Page = ({ model, doings }) => {
  const { house, shown, now_s } = model;
  const language = model.settings.language;
  const next = nextMoves(model);
  const told = useTold(model, doings);
  const last = lastAct(model, told.list);
  const [first, ...then] = next;

  const onDone = (): void => {
    if (first !== undefined) told.tell(doneOf(first.move));
  };
  const onNotYet = (): void => {
    if (first !== undefined) told.tell(notYetOf(first.move));
  };
  const onUndo = (): void => {
    if (last?.id === null) told.tell(notYetOf(last));
    else if (last !== null) told.undo(last.id);
  };
  useActKeys({ onDone, onNotYet, onUndo });

  return (
    <Frame model={model} doings={doings} page="hearth">
      {(drawn) => (
        <>
          <div class="left">
            <HearthStone model={model} drawn={drawn} next={next} />
            <HearthLines model={model} drawn={drawn} />
          </div>
          <div class="moves">
            {first === undefined ? (
              <p class="first none word">{say(language, shown === null ? 'move.none.plan' : 'move.none')}</p>
            ) : (
              <First next={first} house={house} language={language} now_s={now_s} onDone={onDone} />
            )}
            <Then next={then} house={house} language={language} now_s={now_s} />
          </div>
          <div class="keys">
            <div class="two">
              <button type="button" class="key act" onClick={once(onNotYet)} disabled={first === undefined}>
                <span class="word">{say(language, 'not_yet')}</span>
              </button>
              <Undo last={last} language={language} onUndo={onUndo} />
            </div>
            <PagesKey language={language} />
          </div>
        </>
      )}
    </Frame>
  );
};
