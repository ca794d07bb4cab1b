// Keeps the page's own files, so that a reload works without the board. What the night is comes from the page.
// The names of the files, and their version, are put in at build time: a first visit is not watched over.

declare const FILES: readonly string[];
declare const VERSION: string;

interface Extended extends Event {
  waitUntil(done: Promise<unknown>): void;
}
interface Fetched extends Event {
  readonly request: Request;
  respondWith(answer: Promise<Response>): void;
}
interface Worker {
  addEventListener(kind: 'install' | 'activate', heard: (event: Extended) => void): void;
  addEventListener(kind: 'fetch', heard: (event: Fetched) => void): void;
  skipWaiting(): Promise<void>;
  readonly clients: { claim(): Promise<void> };
  readonly location: Location;
}

const worker = self as unknown as Worker;
const NAME = `hearthtide-${VERSION}`;

async function install(): Promise<void> {
  const cache = await caches.open(NAME);
  await cache.addAll(FILES.map((path) => new Request(path, { cache: 'reload' })));
  await worker.skipWaiting();
}

async function activate(): Promise<void> {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name !== NAME).map((name) => caches.delete(name)));
  await worker.clients.claim();
}

/** The kept file; the net for one that is not kept. */
async function answer(request: Request): Promise<Response> {
  const cache = await caches.open(NAME);
  return (await cache.match(request.mode === 'navigate' ? '/' : request)) ?? fetch(request);
}

worker.addEventListener('install', (event) => event.waitUntil(install()));
worker.addEventListener('activate', (event) => event.waitUntil(activate()));
worker.addEventListener('fetch', (event) => {
  const { origin, pathname } = new URL(event.request.url);
  const ours = origin === worker.location.origin && FILES.includes(pathname);
  if (ours && event.request.method === 'GET') event.respondWith(answer(event.request));
});
