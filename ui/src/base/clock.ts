/* The server's clock as this device sees it. A device is set right by what each answer says. */
import { signal } from "@preact/signals";

export const skew_ms = signal(0); /* server minus device */

export function heardAt(server_ms: number, heard_ms = Date.now()): void {
  skew_ms.value = server_ms - heard_ms;
}

export function now(): number {
  return Date.now() + skew_ms.value;
}

/* Ticks each 30 s, so that ages and deadlines on a page stay true. */
export const tick = signal(0);
setInterval(() => {
  tick.value++;
}, 30000);
