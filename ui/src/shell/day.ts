/* The day that is shown. It moves the pages one reads; recording always means now. */
import { computed, signal } from "@preact/signals";
import { today } from "./session";

export const chosen = signal<string | null>(null);

export const shown = computed(() => chosen.value ?? today());
export const isNow = computed(() => shown.value === today());

export function choose(day: string): void {
  chosen.value = day === today() ? null : day;
}
