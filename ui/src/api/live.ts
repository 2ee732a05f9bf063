/* The server says when the record has grown; what is on the page is then asked anew. */
import { signal } from "@preact/signals";
import { BASE, reached, reached_ms, refresh } from "./client";
import type { Live } from "./types";

export const size = signal(0);

const PAUSE_MS = 700; /* a run of entries asks once */
const AGAIN_MS = 20000;
let again: ReturnType<typeof setTimeout> | null = null;
let source: EventSource | null = null;
let timer: ReturnType<typeof setTimeout> | null = null;

function soon(): void {
  timer ??= setTimeout(() => {
    timer = null;
    refresh();
  }, PAUSE_MS);
}

export function startLive(whenBack: () => void): void {
  if (source) return;
  source = new EventSource(`${BASE}/events`);
  source.onopen = () => {
    const wasAway = !reached.value;
    reached.value = true;
    reached_ms.value = Date.now();
    if (wasAway) {
      refresh();
      whenBack();
    }
  };
  source.addEventListener("size", (event) => {
    const live = JSON.parse((event as MessageEvent<string>).data) as Live;
    reached_ms.value = Date.now();
    if (live.size !== size.value) {
      size.value = live.size;
      soon();
    }
  });
  source.onerror = () => {
    /* A broken stream comes back by itself; one the server refused does not, so the pages ask anew
     * and try the stream again. */
    if (source?.readyState !== EventSource.CLOSED) return;
    stopLive();
    again = setTimeout(() => {
      refresh();
      startLive(whenBack);
    }, AGAIN_MS);
  };
}

export function stopLive(): void {
  if (again !== null) clearTimeout(again);
  again = null;
  source?.close();
  source = null;
}
