// The way between pages: keys over the whole screen, edge to edge. And the lock while the screen is wiped.

import { useEffect, useRef, useState } from 'preact/hooks';

import { countText } from '../../look/shown.ts';
import { say, type Key } from '../../words/say.ts';
import { actWord } from '../hearth/said.ts';
import { nextMoves } from '../hearth/next.ts';
import type { Page } from '../page.ts';
import { Frame } from './frame.tsx';
import { tapped, WIPE_S } from './wiping.ts';

const IN_SERVICE = ['hearth', 'pass', 'fire', 'watch'] as const;
const BESIDE = ['tickets', 'day', 'lots', 'records', 'wall', 'closing', 'people', 'replay', 'settings'] as const;

export const Pages: Page = ({ model, doings }) => {
  const language = model.settings.language;
  const link = (name: string, kind: string) => (
    <a key={name} class={`key ${kind}`} href={`#${name}`}>
      <span class="word">{say(language, `page.${name}` as Key)}</span>
    </a>
  );
  return (
    <Frame model={model} doings={doings} page="pages">
      {() => (
        <nav aria-label={say(language, 'pages')}>
          {IN_SERVICE.map((name) => link(name, 'large'))}
          <a class="key danger-key" href="#danger">
            <span class="word">{say(language, 'page.danger')}</span>
          </a>
          <a class="key wipe-key" href="#wipe">
            <span class="word">{say(language, 'wipe')}</span>
          </a>
          {BESIDE.map((name) => link(name, 'small'))}
        </nav>
      )}
    </Frame>
  );
};

export const Wipe: Page = ({ model, doings }) => {
  const { language } = model.settings;
  const since = useRef(model.now_s);
  const [corners, setCorners] = useState<readonly number[]>([]);
  const left_s = since.current + WIPE_S - model.now_s;
  const open = left_s <= 0 || corners.length >= 2;
  useEffect(() => {
    if (open) location.replace('#hearth');
  }, [open]);
  const [first] = nextMoves(model);
  return (
    <Frame model={model} doings={doings} page="wipe">
      {() => (
        <>
          {[0, 1, 2, 3].map((corner) => (
            <button
              key={corner}
              type="button"
              class={`corner c${corner}`}
              aria-pressed={corners.includes(corner)}
              aria-label={say(language, 'wipe.corner')}
              onClick={() => setCorners((before) => tapped(before, corner))}
            />
          ))}
          <div class="amid">
            <p class="word">{say(language, 'wipe.now')}</p>
            {first !== undefined && (
              <p class="far">
                {first.move.table} {actWord(language, first.move.act)}{' '}
                <b>
                  {first.due_s <= model.now_s ? say(language, 'now') : countText(first.due_s - model.now_s)}
                </b>
              </p>
            )}
            <p class="word hush">{say(language, 'wipe.open', { seconds: Math.max(1, Math.ceil(left_s)) })}</p>
          </div>
        </>
      )}
    </Frame>
  );
};
