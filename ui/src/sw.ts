/* Keeps the shell of the pages on the device, so that they open without the server. Answers of the
 * record are kept by the pages themselves, with their age. */
export {};

declare const CONTENT: string; /* digest of everything in the shell, set by the build */
declare const SHELL: string[];
const scope = self as unknown as ServiceWorkerGlobalScope & typeof globalThis;

interface ExtendableEvent extends Event {
  waitUntil(p: Promise<unknown>): void;
}
interface FetchEvent extends ExtendableEvent {
  request: Request;
  respondWith(r: Promise<Response> | Response): void;
}
interface ServiceWorkerGlobalScope {
  skipWaiting(): Promise<void>;
  clients: { claim(): Promise<void> };
}

const CACHE = `plumule-${CONTENT}`;

scope.addEventListener("install", (event) => {
  (event as ExtendableEvent).waitUntil((async () => {
    const cache = await caches.open(CACHE);
    await cache.addAll(SHELL.map((path) => new Request(path, { cache: "reload" })));
    await scope.skipWaiting();
  })());
});

scope.addEventListener("activate", (event) => {
  (event as ExtendableEvent).waitUntil((async () => {
    for (const name of await caches.keys()) {
      if (name.startsWith("plumule-") && name !== CACHE) await caches.delete(name);
    }
    await scope.clients.claim();
  })());
});

async function answer(request: Request, path: string): Promise<Response> {
  const cache = await caches.open(CACHE);
  const kept = await cache.match(path);
  return kept ?? fetch(request);
}

scope.addEventListener("fetch", (event) => {
  const { request } = event as FetchEvent;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== location.origin) return;
  if (url.pathname.startsWith("/api/") || url.pathname.startsWith("/trust")) return;
  if (request.mode === "navigate") (event as FetchEvent).respondWith(answer(request, "/"));
  else if (SHELL.includes(url.pathname)) (event as FetchEvent).respondWith(answer(request, url.pathname));
});
