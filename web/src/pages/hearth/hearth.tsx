// The hearth page: the stone, the landing lines, the next moves, and nothing else.

import { Lines } from '../../look/lines_view.tsx';
import { linesOf } from '../../look/lines.ts';
import { Still } from '../../look/still.ts';
import { Stone } from '../../look/stone_view.tsx';
import { say } from '../../words/say.ts';
import { Frame, PagesKey } from '../frame/frame.tsx';
import { once, useActKeys } from '../frame/keys.ts';
import { useTold } from '../frame/told.ts';
import type { Page } from '../page.ts';
import { slipWords } from '../pass/landings.ts';
import { First, Then, Undo } from './moves.tsx';
import { doneOf, lastAct, nextMoves, notYetOf, type LastAct } from './next.ts';
import { coming, placesKey, standing } from './stand.ts';
import { placeWords, shortDish } from './said.ts';

export const Hearth: Page = ({ model, doings }) => {
  const { house, shown, facts, now_s, settings } = model;
  const language = settings.language;
  const next = nextMoves(model);
  const told = useTold(model, doings);
  const last = lastAct(model, told.list);
  const [first, ...then] = next;

  const onDone = (): void => { if (first !== undefined) told.tell(doneOf(first.move)); };
  const onNotYet = (): void => { if (first !== undefined) told.tell(notYetOf(first.move)); };
  const onUndo = (): void => { if (last !== null) takeBack(last); };
  const takeBack = (act: LastAct): void => {
    if (act.id === null) told.tell(notYetOf(act));
    else told.undo(act.id);
  };
  useActKeys({ onDone, onNotYet, onUndo });

  const onStone = standing(shown?.stays ?? [], next, facts, now_s);
  const comes = coming(shown?.stays ?? [], next);
  const second_s = 2 * Math.floor(now_s / 2); // drawings follow every other second, words that count every quarter
  return (
    <Frame model={model} doings={doings} page="hearth">
      {({ u, word_px, row_px, form }) => (
        <>
          <div class="left">
            <Still by={[house, shown?.fire, facts, second_s, placesKey(onStone, comes), first?.move, settings, u, word_px]}>{() => (
              <Stone
                house={house} fire={shown?.fire ?? null} facts={facts} now_s={now_s} standing={onStone} coming={comes}
                first={first?.move.item ?? null} unit={settings.temperature} u={u} word_px={word_px} label={stoneWords(model, onStone)}
              />
            )}</Still>
            <Still by={[shown?.landings, facts, second_s, settings, u, form]}>{() => (
              <Lines
                lines={linesOf(shown?.landings ?? [], facts, second_s)} now_s={second_s} u={u} word_px={word_px} row_px={row_px}
                ahead_min={form === 'tall' ? 15 : 11} label={linesWords(model)} none={say(language, 'lines.none')}
              />
            )}</Still>
          </div>
          <div class="moves">
            {first === undefined
              ? <p class="first none word">{say(language, shown === null ? 'move.none.plan' : 'move.none')}</p>
              : <First next={first} house={house} language={language} now_s={now_s} onDone={onDone} />}
            <Then next={then} house={house} language={language} now_s={now_s} />
          </div>
          <div class="keys">
            <div class="two">
              <button type="button" class="key act" onClick={once(onNotYet)} disabled={first === undefined}><span class="word">{say(language, 'not_yet')}</span></button>
              <Undo last={last} language={language} onUndo={onUndo} />
            </div>
            <PagesKey language={language} />
          </div>
        </>
      )}
    </Frame>
  );
};

type Props = Parameters<Page>[0];

function stoneWords({ house, settings: { language } }: Props['model'], onStone: ReturnType<typeof standing>): string {
  const items = onStone.map(({ stay }) => say(language, 'stone.item', {
    table: stay.table, dish: shortDish(house, stay.dish), place: placeWords(language, house, stay.x_m, stay.y_m),
  }));
  return `${say(language, 'stone')}: ${items.length === 0 ? say(language, 'stone.empty') : items.join('; ')}`;
}

function linesWords({ shown, facts, now_s, settings: { language } }: Props['model']): string {
  const all = linesOf(shown?.landings ?? [], facts, now_s);
  return [say(language, 'lines'), ...all.map((line) => `${line.table} ${slipWords(language, line)}`)].join('; ');
}
