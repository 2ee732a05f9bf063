/* The device's own small store: last answers, commands not sent yet, people known to this device. */

const NAME = "plumule";
const VERSION = 1;

export interface Stores {
  answers: { key: string; at_ms: number; data: unknown };
  queue: { seq: number };
  people: { person: number };
  facts: { key: string; value: unknown };
}

let opened: Promise<IDBDatabase> | null = null;

function open(): Promise<IDBDatabase> {
  opened ??= new Promise((done, fail) => {
    const request = indexedDB.open(NAME, VERSION);
    request.onupgradeneeded = () => {
      const db = request.result;
      db.createObjectStore("answers", { keyPath: "key" });
      db.createObjectStore("queue", { keyPath: "seq" });
      db.createObjectStore("people", { keyPath: "person" });
      db.createObjectStore("facts", { keyPath: "key" });
    };
    request.onsuccess = () => done(request.result);
    request.onerror = () => fail(request.error);
  });
  return opened;
}

async function run<T>(
  store: keyof Stores, mode: IDBTransactionMode, act: (s: IDBObjectStore) => IDBRequest<T>,
): Promise<T> {
  const db = await open();
  return new Promise((done, fail) => {
    const change = db.transaction(store, mode);
    const request = act(change.objectStore(store));
    change.oncomplete = () => done(request.result);
    change.onerror = () => fail(change.error);
    change.onabort = () => fail(change.error);
  });
}

export function get<T>(store: keyof Stores, key: IDBValidKey): Promise<T | undefined> {
  return run(store, "readonly", (s) => s.get(key) as IDBRequest<T | undefined>);
}

export function all<T>(store: keyof Stores): Promise<T[]> {
  return run(store, "readonly", (s) => s.getAll() as IDBRequest<T[]>);
}

export async function put(store: keyof Stores, value: object): Promise<void> {
  await run(store, "readwrite", (s) => s.put(value));
}

export async function remove(store: keyof Stores, key: IDBValidKey): Promise<void> {
  await run(store, "readwrite", (s) => s.delete(key) as IDBRequest<undefined>);
}

export async function fact<T>(key: string): Promise<T | undefined> {
  const row = await get<{ key: string; value: T }>("facts", key);
  return row?.value;
}

export async function setFact(key: string, value: unknown): Promise<void> {
  await put("facts", { key, value });
}
