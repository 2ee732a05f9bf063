/* A scanner types like a keyboard, only faster. What comes faster than people type, is long enough and
 * begins like a code of ours is a scan; everything else is left to whoever types it. */

export const SCAN_GAP_MS = 30; /* standards: keys of a scanner come less than this apart (common practice) */
export const SCAN_LEAST = 4;

/* What a scanner may begin with: a symbology identifier (]C1, ]Q3, ]d2), a badge, a house code. */
const PREFIX = /^(\]\w\d|BADGE:|[A-Z0-9])/;

export interface Scan {
  code: string;
  symbology: string | null;
}

export interface Key {
  key: string;
  at_ms: number;
}

/* Takes a run of keys; the code without its symbology identifier, or null where it is not a scan. */
export function readScan(keys: Key[]): Scan | null {
  if (keys.length < SCAN_LEAST) return null;
  for (let i = 1; i < keys.length; i++) {
    const gap = (keys[i] as Key).at_ms - (keys[i - 1] as Key).at_ms;
    if (gap >= SCAN_GAP_MS) return null;
  }
  const text = keys.map((k) => k.key).join("");
  if (!PREFIX.test(text)) return null;
  const named = /^\]([A-Za-z]\d)/.exec(text);
  return named
    ? { code: text.slice(3), symbology: named[1] as string }
    : { code: text, symbology: null };
}

/* Gathers the keys of one run; a pause begins a new one. */
export class ScanGatherer {
  private keys: Key[] = [];

  /* The scan that this key ends, else null. begins: this key is the first of a run. */
  push(key: string, at_ms: number): { scan: Scan | null; begins: boolean } {
    const last = this.keys[this.keys.length - 1];
    const isNear = last !== undefined && at_ms - last.at_ms < SCAN_GAP_MS;
    if (key === "Enter" || key === "Tab") {
      const run = isNear ? this.keys : [];
      this.keys = [];
      return { scan: readScan(run), begins: false };
    }
    if (key.length !== 1) return { scan: null, begins: false };
    if (!isNear) this.keys = [];
    this.keys.push({ key, at_ms });
    return { scan: null, begins: this.keys.length === 1 };
  }
}
