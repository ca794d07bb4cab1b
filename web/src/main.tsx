// The page in a browser: its storage, network and clock are taken here and nowhere else.

import { render } from 'preact';

import './look/index.css';
import { Board, type Ground } from './core/board.ts';
import { device, memoryShelf, type Shelf } from './core/device.ts';
import { newId } from './core/ids.ts';
import { deviceKeep } from './core/keep.ts';
import { dress } from './dress.ts';
import { pages } from './pages/index.ts';
import { Session } from './pages/session/session.tsx';
import { say } from './words/say.ts';

const TICK_MS = 250; // words that count are drawn anew so often; what moves is moved by styles
const FIRST_PAGE = 'hearth';

const ground: Ground = {
  now_ms: () => Date.now(),
  newId: () => newId(),
  fetch: (path, init) => fetch(path, init),
  source: (path) => new EventSource(path),
  after: (ms, then) => {
    const timer = setTimeout(then, ms);
    return () => clearTimeout(timer);
  },
};

function shelf(): Shelf {
  try {
    localStorage.setItem('hearthtide.try', '');
    localStorage.removeItem('hearthtide.try');
    return localStorage;
  } catch {
    return memoryShelf(); // the browser refuses IndexedDB then too, and the screen says so
  }
}

function draw(board: Board): void {
  const { model, settings, link, who, enrolled } = board.seen();
  dress(document.documentElement, settings);
  if (who === null) {
    render(<Session settings={settings} enrolled={enrolled} entry={board.entry} set={board.doings.set} />, document.body);
    return;
  }
  if (model === null) {
    const words = link === 'lost' ? 'ask.no_link' : 'ask.night';
    render(<p class="asking" role="status">{say(settings.language, words)}</p>, document.body);
    return;
  }
  const Shown = pages[location.hash.slice(1)] ?? pages[FIRST_PAGE]!;
  render(<Shown model={model} doings={board.doings} />, document.body);
}

/** Keeps the screen awake while it is looked at, where the browser lets a page do so. */
async function stayAwake(): Promise<void> {
  if (document.hidden || !('wakeLock' in navigator)) return;
  try {
    await navigator.wakeLock.request('screen');
  } catch (err) {
    console.warn('this screen may go to sleep:', err); // a battery nearly empty: the device decides
  }
}

/**
 * Keeps the page's own files, where the browser lets it; the settings say when it does not. A board that is back
 * may bring a newer page: it is taken once nothing told here waits.
 */
async function keepFiles(board: Board): Promise<void> {
  const worker = navigator.serviceWorker;
  if (worker === undefined) return;
  let newer = false;
  const takeNewer = () => {
    const { model } = board.seen();
    if (newer && (model === null || model.queue.length === 0)) location.reload();
  };
  if (worker.controller !== null) {
    worker.addEventListener('controllerchange', () => {
      newer = true;
      takeNewer(); // all may be told already, and nothing more be heard for a while
    });
  }
  let link = board.seen().link;
  try {
    const files = await worker.register('/sw.js');
    board.listen(() => {
      const { link: now } = board.seen();
      if (now === 'live' && link !== 'live') void files.update().catch(notKept);
      link = now;
      takeNewer();
    });
  } catch (err) {
    notKept(err);
  }
}

function notKept(err: unknown): void {
  console.warn('this page is not kept for a reload without the board:', err);
}

async function run(): Promise<void> {
  const board = new Board(ground, device(shelf(), navigator.languages), await deviceKeep(globalThis.indexedDB));
  const now = () => draw(board);
  let due = false;
  board.listen(() => {
    if (due) return;
    due = true;
    queueMicrotask(() => {
      due = false;
      now();
    });
  });
  addEventListener('hashchange', now);
  addEventListener('online', () => board.retry());
  document.addEventListener('visibilitychange', () => {
    board.hide(document.hidden);
    void stayAwake();
  });
  setInterval(now, TICK_MS);
  void stayAwake();
  void keepFiles(board);
  await board.start();
}

void run();
