// What a device keeps over a reload or a flat battery: one small table in IndexedDB, or memory where refused.

export interface Keep {
  /** Whether it outlives the page. */
  readonly lasts: boolean;
  get<T>(key: string): Promise<T | null>;
  /** All that is kept under keys that begin so, in order of their keys. */
  all<T>(prefix: string): Promise<readonly T[]>;
  put(key: string, value: unknown): Promise<void>;
  drop(key: string): Promise<void>;
}

const NAME = 'hearthtide';
const TABLE = 'kept';

/** Keeps as long as the page lives: for tests, and where the browser refuses storage. */
export function memoryKeep(): Keep {
  const kept = new Map<string, unknown>();
  return {
    lasts: false,
    get: <T>(key: string) => Promise.resolve((kept.get(key) as T | undefined) ?? null),
    all: <T>(prefix: string) =>
      Promise.resolve([...kept.keys()].filter((key) => key.startsWith(prefix)).sort().map((key) => kept.get(key) as T)),
    put: (key, value) => {
      kept.set(key, structuredClone(value));
      return Promise.resolve();
    },
    drop: (key) => {
      kept.delete(key);
      return Promise.resolve();
    },
  };
}

/** The device's own; memory where the browser refuses, and `lasts` then says so for the screen to tell. */
export async function deviceKeep(factory: IDBFactory | undefined): Promise<Keep> {
  if (factory === undefined) return memoryKeep();
  let database: IDBDatabase;
  try {
    database = await opened(factory);
  } catch {
    return memoryKeep();
  }
  let lasts = true;
  /** A full disk: the screen says from then on that nothing is kept, and the page goes on. */
  const said = (err: unknown) => {
    lasts = false;
    console.error('not kept on this device:', err);
  };
  const table = (mode: IDBTransactionMode) =>
    database.transaction(TABLE, mode, { durability: 'strict' }).objectStore(TABLE);
  return {
    get lasts() {
      return lasts;
    },
    get: <T>(key: string) => done<T | undefined>(table('readonly').get(key)).then((found) => found ?? null),
    all: <T>(prefix: string) => done<T[]>(table('readonly').getAll(IDBKeyRange.bound(prefix, `${prefix}\uffff`))),
    put: (key, value) => done(table('readwrite').put(value, key)).then(() => {}, said),
    drop: (key) => done(table('readwrite').delete(key)).catch(said),
  };
}

function opened(factory: IDBFactory): Promise<IDBDatabase> {
  const request = factory.open(NAME, 1);
  request.onupgradeneeded = () => request.result.createObjectStore(TABLE);
  return done(request);
}

function done<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}
