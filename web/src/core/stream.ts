// The board's stream of events with a watchdog: a browser does not notice a network that has gone silent.

export const SILENT_MS = 5_000; // the board says something every two seconds; longer than this is a lost link
export const AGAIN_MS = 1_000; // before a stream that failed is opened anew

export interface Source {
  addEventListener(kind: string, heard: (event: { readonly data?: unknown }) => void): void;
  close(): void;
}

export interface Timers {
  /** Calls once after so long; gives what calls it off. */
  after(ms: number, then: () => void): () => void;
}

export interface Heard {
  /** Anything at all: the link lives. */
  onAlive(): void;
  onOpen(): void;
  onEntry(seq: number): void;
  onShown(body: string): void;
  onLots(body: string): void;
  onDay(body: string): void;
  onLost(): void;
}

/** Opens one stream; gives what closes it. `onLost` is called once, by an error or by silence, and it is closed. */
export function follow(source: Source, timers: Timers, heard: Heard): () => void {
  let calm = () => {};
  let over = false;
  const close = () => {
    over = true;
    calm();
    source.close();
  };
  const lost = () => {
    if (over) return;
    close();
    heard.onLost();
  };
  const alive = (then: () => void) => {
    if (over) return;
    calm();
    calm = timers.after(SILENT_MS, lost);
    heard.onAlive();
    then();
  };
  calm = timers.after(SILENT_MS, lost);
  source.addEventListener('open', () => alive(heard.onOpen));
  source.addEventListener('here', () => alive(() => {}));
  source.addEventListener('message', (event) => alive(() => heard.onEntry(seqOf(event.data))));
  source.addEventListener('shown', (event) => alive(() => heard.onShown(String(event.data))));
  source.addEventListener('lots', (event) => alive(() => heard.onLots(String(event.data))));
  source.addEventListener('day', (event) => alive(() => heard.onDay(String(event.data))));
  source.addEventListener('error', lost);
  return close;
}

function seqOf(data: unknown): number {
  return (JSON.parse(String(data)) as { seq: number }).seq;
}
