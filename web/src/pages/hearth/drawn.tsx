// The two drawings of the hearth page. They follow every other second; words that count follow every quarter.

import type { VNode } from 'preact';

import type { Model } from '../../core/model.ts';
import { linesOf } from '../../look/lines.ts';
import { Lines } from '../../look/lines_view.tsx';
import { Still } from '../../look/still.ts';
import { Stone } from '../../look/stone_view.tsx';
import { say } from '../../words/say.ts';
import type { Drawn } from '../frame/frame.tsx';
import { slipWords } from '../pass/landings.ts';
import type { NextMove } from './next.ts';
import { placeWords, shortDish } from './said.ts';
import { coming, placesKey, standing, type Standing } from './stand.ts';

const EACH_S = 2;

interface DrawingProps {
  readonly model: Model;
  readonly drawn: Drawn;
}

export function HearthStone({
  model,
  drawn: { u, word_px },
  next,
}: DrawingProps & { next: readonly NextMove[] }): VNode {
  const { house, shown, facts, now_s, settings } = model;
  const onStone = standing(shown?.stays ?? [], next, facts, now_s);
  const comes = coming(shown?.stays ?? [], next);
  const first = next[0]?.move.item ?? null;
  const places = `${placesKey(onStone, comes)} ${first}`;
  return (
    <Still by={[house, shown?.fire, facts, steps(now_s), places, settings, u, word_px]}>
      {() => (
        <Stone
          house={house}
          fire={shown?.fire ?? null}
          facts={facts}
          now_s={now_s}
          standing={onStone}
          coming={comes}
          first={first}
          unit={settings.temperature}
          u={u}
          word_px={word_px}
          label={stoneWords(model, onStone)}
        />
      )}
    </Still>
  );
}

export function HearthLines({ model, drawn: { u, word_px, row_px, form } }: DrawingProps): VNode {
  const { shown, facts, settings } = model;
  const now_s = steps(model.now_s);
  return (
    <Still by={[shown?.landings, facts, now_s, settings, u, form]}>
      {() => (
        <Lines
          lines={linesOf(shown?.landings ?? [], facts, now_s)}
          now_s={now_s}
          u={u}
          word_px={word_px}
          row_px={row_px}
          ahead_min={form === 'tall' ? 15 : 11}
          label={linesWords(model)}
          none={say(settings.language, 'lines.none')}
        />
      )}
    </Still>
  );
}

function steps(now_s: number): number {
  return EACH_S * Math.floor(now_s / EACH_S);
}

function stoneWords({ house, settings: { language } }: Model, onStone: readonly Standing[]): string {
  const items = onStone.map(({ stay }) => {
    const place = placeWords(language, house, stay.x_m, stay.y_m);
    return say(language, 'stone.item', { table: stay.table, dish: shortDish(house, stay.dish), place });
  });
  return `${say(language, 'stone')}: ${items.length === 0 ? say(language, 'stone.empty') : items.join('; ')}`;
}

function linesWords({ shown, facts, now_s, settings: { language } }: Model): string {
  const all = linesOf(shown?.landings ?? [], facts, now_s);
  const each = all.map((line) => `${line.table} ${slipWords(language, line)}`);
  return [say(language, 'lines'), ...each].join('; ');
}
