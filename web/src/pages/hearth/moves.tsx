// The next moves: the first as large as it can be and done by a tap anywhere on it, two more after it.

import type { VNode } from 'preact';

import type { Language } from '../../core/model.ts';
import { Back, Care, Round } from '../../look/round.tsx';
import { count } from '../../look/shown.ts';
import type { ShownHouse } from '../../wire.ts';
import { say } from '../../words/say.ts';
import { once } from '../frame/keys.ts';
import type { LastAct, NextMove } from './next.ts';
import { tableOf } from './next.ts';
import { actWord, moveWords, nounOf, placeWords, shortDish } from './said.ts';

interface Said {
  readonly house: ShownHouse;
  readonly language: Language;
  readonly now_s: number;
}

/** The first move. A hazard takes the line of the place, which the stone shows; the house's own cautions are read out. */
export function First({
  next,
  house,
  language,
  now_s,
  onDone,
}: Said & { next: NextMove; onDone: () => void }): VNode {
  const { move } = next;
  const left = count(next.due_s - now_s);
  const due = next.due_s <= now_s;
  const place = move.x_m === null || move.y_m === null ? '' : placeWords(language, house, move.x_m, move.y_m);
  const turned = (move.act === 'turn' || move.act === 'spin') && move.by_deg > 0;
  return (
    <button
      type="button"
      class={due ? 'first due' : 'first'}
      onClick={once(onDone)}
      aria-describedby="first-more"
    >
      <span class="far table">{move.table}</span>
      {due ? (
        <span class="far number-place">{say(language, 'now')}</span>
      ) : (
        <span class="number number-place">
          {left.text}
          <small>{say(language, `unit.${left.unit}`)}</small>
        </span>
      )}
      <span class="far act">
        {actWord(language, move.act)}
        {turned && <Round by_deg={move.by_deg} />}
      </span>
      <span class="word dish">{move.act === 'flame' ? move.words : shortDish(house, move.dish)}</span>
      {move.hazard === null && <span class="word more place">{place}</span>}
      {move.hazard !== null && (
        <span class="word more hazard">
          <Care />
          {say(language, `hazard.${move.hazard}`)}
        </span>
      )}
      <span class="unseen" id="first-more">
        {[moveWords(language, house, move), ...move.cautions, say(language, 'done')].join('. ')}
      </span>
    </button>
  );
}

/** The moves after the first. */
export function Then({ next, house, language, now_s }: Said & { next: readonly NextMove[] }): VNode {
  return (
    <ol class="then" aria-label={say(language, 'move.then')}>
      {next.map(({ move, due_s }) => (
        <li key={`${move.item}${move.act}${move.nth}`} class="word">
          <b>{move.table}</b>{' '}
          <span class="what">
            {actWord(language, move.act)} {nounOf(house, move.dish)}
          </span>
          <span class="left">{due_s <= now_s ? say(language, 'now') : shortCount(due_s - now_s)}</span>
        </li>
      ))}
    </ol>
  );
}

/** Seconds without their unit, for they are the usual; minutes with it. */
function shortCount(left_s: number): string {
  const { text, unit } = count(left_s);
  return unit === 's' ? text : `${text} ${unit}`;
}

/** Takes back the last act; one nobody told is named as taken as done. */
export function Undo({
  last,
  language,
  onUndo,
}: {
  last: LastAct | null;
  language: Language;
  onUndo: () => void;
}): VNode {
  if (last === null)
    return <button type="button" class="key act undo" disabled aria-label={say(language, 'undo.nothing')} />;
  const what = `${tableOf(last.item)} ${actWord(language, last.act)}`;
  return (
    <button type="button" class="key act undo" onClick={onUndo}>
      <Back />
      {!last.assumed && <span class="word">{say(language, 'undo')}</span>}
      <span class="word what">{what}</span>
      {last.assumed && <span class="word hush">{say(language, 'taken')}</span>}
    </button>
  );
}
