/* Local times of the house: which instant a typed time is, whatever zone the device is in, and on the days on
 * which clocks change. A typed time is "2026-03-01T05:30", seconds may follow; where it came twice the offset
 * behind it says which one is meant: "2026-10-25T02:30+01:00". */

export type Local =
  | { kind: "one"; ms: number }
  | { kind: "twice"; ms: [number, number] } /* the earlier first */
  | { kind: "none"; from: string; to: string } /* clocks went from "02:00" to "03:00" */
  | { kind: "bad" };

const DAY_MS = 86400000;
const TYPED = /^(\d{4}-\d{2}-\d{2})[T ](\d{2}:\d{2})(?::(\d{2})(\.\d{1,3})?)?(Z|[+-]\d{2}:\d{2})?$/;
const clocks = new Map<string, Intl.DateTimeFormat>();

function clockOf(zone: string): Intl.DateTimeFormat {
  let clock = clocks.get(zone);
  if (!clock) {
    clock = new Intl.DateTimeFormat("en-CA", {
      timeZone: zone, hourCycle: "h23", year: "numeric", month: "2-digit", day: "2-digit", hour: "2-digit", minute: "2-digit", second: "2-digit",
    });
    clocks.set(zone, clock);
  }
  return clock;
}

/* The zone's clock at an instant, as if it were UTC. */
function wall(ms: number, zone: string): number {
  const at: Record<string, number> = {};
  for (const part of clockOf(zone).formatToParts(ms)) at[part.type] = Number(part.value);
  return Date.UTC(at["year"] ?? 0, (at["month"] ?? 1) - 1, at["day"], at["hour"], at["minute"], at["second"]);
}

/* Minutes east of UTC. */
export function offsetMin(ms: number, zone: string): number {
  return Math.round((wall(ms, zone) - Math.floor(ms / 1000) * 1000) / 60000);
}

/* "+01:00" */
export function offsetText(min: number): string {
  const size = Math.abs(min);
  const two = (n: number) => String(n).padStart(2, "0");
  return `${min < 0 ? "-" : "+"}${two(Math.floor(size / 60))}:${two(size % 60)}`;
}

/* The typed form of an instant, with its offset only where the clock alone would not do. */
export function localText(ms: number, zone: string): string {
  const text = new Date(wall(ms, zone)).toISOString().slice(0, 19);
  return readLocal(text, zone).kind === "twice" ? text + offsetText(offsetMin(ms, zone)) : text;
}

/* When clocks went forward over a local time that never was. */
function gapAround(naive: number, before: number, after: number, zone: string): Local {
  let low = naive - after * 60000; /* still the offset before */
  let high = naive - before * 60000; /* already the one after */
  while (high - low > 1000) {
    const middle = Math.floor((low + high) / 2000) * 1000;
    if (offsetMin(middle, zone) === before) low = middle;
    else high = middle;
  }
  const clock = (ms: number) => new Date(ms).toISOString().slice(11, 16);
  return { kind: "none", from: clock(high + before * 60000), to: clock(high + after * 60000) };
}

/* A local time can only carry the offset in force a day before or a day after it. */
export function readLocal(text: string, zone: string): Local {
  const typed = TYPED.exec(text.trim());
  if (!typed) return { kind: "bad" };
  const [, day = "", clock = "", second = "00", fraction = ".000", offset] = typed;
  const naive = Date.parse(`${day}T${clock}:${second}${fraction}Z`);
  if (Number.isNaN(naive) || new Date(naive).toISOString().slice(0, 10) !== day) return { kind: "bad" };
  if (offset !== undefined) return { kind: "one", ms: Date.parse(`${day}T${clock}:${second}${fraction}${offset}`) };
  const before = offsetMin(naive - DAY_MS, zone);
  const after = offsetMin(naive + DAY_MS, zone);
  const fits = [...new Set([before, after])].map((min) => ({ min, ms: naive - min * 60000 })).filter((x) => offsetMin(x.ms, zone) === x.min).map((x) => x.ms);
  const [first, second_] = fits.sort((a, b) => a - b);
  if (first === undefined) return gapAround(naive, before, after, zone);
  return second_ === undefined ? { kind: "one", ms: first } : { kind: "twice", ms: [first, second_] };
}

/* Without the offset: what the clock on the wall showed. */
export function clockPart(text: string): string {
  return text.replace(/(Z|[+-]\d{2}:\d{2})$/, "");
}

/* The instant of a time about which nothing is left to ask; null otherwise. */
export function instantOf(text: string, zone: string): number | null {
  const local = readLocal(text, zone);
  return local.kind === "one" ? local.ms : null;
}
