/* Where each lot stands in the picture: left to right by the time it was born, height by its mass. */
import type { Trace, TraceLot } from "../api/types";

export interface Box {
  lot: TraceLot;
  x: number;
  y: number;
  w: number;
  h: number;
  column: number;
}

export interface Ribbon {
  from: string;
  to: string;
  path: string;
  basis: "measured" | "possible" | "unknown";
  mg: number;
  entry: number;
}

export interface End {
  customer: string;
  name: string;
  y: number;
  h: number;
  pieces: number;
  mg: number;
}

export interface Picture {
  boxes: Box[];
  ribbons: Ribbon[];
  ends: End[];
  width: number;
  height: number;
  days: { x: number; day: string }[];
}

export const BOX_W = 144;
export const STEP_X = 224;
const LEAST_H = 30;
const ALONE_H = 62; /* its code, its mass, and whether it is held */
const MOST_H = 120;
const GAP_Y = 14;
const TOP = 34;
const END_H = 48;

/* How far each lot is from the beginning, along the longest way: a child stands right of its parents. */
export function columns(trace: Trace): Map<string, number> {
  const at = new Map<string, number>();
  for (const lot of trace.lots) at.set(lot.lot, 0);
  const steps = trace.steps.filter((s) => at.has(s.parent) && at.has(s.child));
  for (let round = 0; round < trace.lots.length; round++) {
    let changed = false;
    for (const s of steps) {
      const next = (at.get(s.parent) as number) + 1;
      if (next > (at.get(s.child) as number) && next < trace.lots.length) {
        at.set(s.child, next);
        changed = true;
      }
    }
    if (!changed) break;
  }
  return at;
}

function heightOf(mg: number, most: number): number {
  if (most <= 0) return ALONE_H;
  return LEAST_H + (MOST_H - LEAST_H) * Math.sqrt(Math.max(0, mg) / most);
}

/* Parents' middle decides the order within a column, so that ribbons cross little. */
function order(list: TraceLot[], trace: Trace, middle: Map<string, number>): TraceLot[] {
  const weight = (lot: TraceLot) => {
    const of = trace.steps.filter((s) => s.child === lot.lot && middle.has(s.parent));
    if (of.length === 0) return lot.born_ms / 1e13;
    return of.reduce((sum, s) => sum + (middle.get(s.parent) as number), 0) / of.length;
  };
  return [...list].sort((a, b) => weight(a) - weight(b) || a.born_ms - b.born_ms || a.lot.localeCompare(b.lot));
}

function curve(x1: number, y1: number, x2: number, y2: number, h1: number, h2: number): string {
  const m = (x1 + x2) / 2;
  return `M${x1} ${y1}C${m} ${y1} ${m} ${y2} ${x2} ${y2}V${y2 + h2}C${m} ${y2 + h2} ${m} ${y1 + h1} ${x1} ${y1 + h1}Z`;
}

export function picture(trace: Trace): Picture {
  const at = columns(trace);
  /* A lot that stands alone has nothing to be compared with. */
  const most = trace.lots.length > 1 ? trace.lots.reduce((m, l) => Math.max(m, l.mg), 0) : 0;
  const count = trace.lots.reduce((m, l) => Math.max(m, (at.get(l.lot) as number) + 1), 0);
  const boxes: Box[] = [];
  const byLot = new Map<string, Box>();
  const middle = new Map<string, number>();
  const days: Picture["days"] = [];
  let height = TOP;
  for (let column = 0; column < count; column++) {
    const of = order(trace.lots.filter((l) => at.get(l.lot) === column), trace, middle);
    let y = TOP;
    const x = column * STEP_X;
    for (const lot of of) {
      const box: Box = { lot, x, y, w: BOX_W, h: heightOf(lot.mg, most), column };
      boxes.push(box);
      byLot.set(lot.lot, box);
      middle.set(lot.lot, y + box.h / 2);
      y += box.h + GAP_Y;
    }
    const first = of[0];
    if (first) days.push({ x, day: first.day });
    height = Math.max(height, y);
  }
  const ends: End[] = [];
  let endY = TOP;
  for (const c of trace.customers) {
    ends.push({ customer: c.customer, name: c.name ?? c.customer, y: endY, h: END_H, pieces: c.pieces, mg: c.mg });
    endY += END_H + GAP_Y;
  }
  height = Math.max(height, endY);
  return { boxes, ribbons: ribbonsOf(trace, byLot), ends, width: count * STEP_X + (ends.length > 0 ? 200 : 0), height, days };
}

/* Each ribbon takes its share of the box's side, so that no side overflows. */
function ribbonsOf(trace: Trace, byLot: Map<string, Box>): Ribbon[] {
  const out = new Map<string, number>();
  const into = new Map<string, number>();
  const steps = trace.steps.filter((s) => byLot.has(s.parent) && byLot.has(s.child));
  for (const s of steps) {
    out.set(s.parent, (out.get(s.parent) ?? 0) + Math.max(1, s.mg));
    into.set(s.child, (into.get(s.child) ?? 0) + Math.max(1, s.mg));
  }
  const usedOut = new Map<string, number>();
  const usedIn = new Map<string, number>();
  const sorted = [...steps].sort((a, b) => (byLot.get(a.child) as Box).y - (byLot.get(b.child) as Box).y);
  const ribbons: Ribbon[] = [];
  for (const s of sorted) {
    const a = byLot.get(s.parent) as Box;
    const b = byLot.get(s.child) as Box;
    const mg = Math.max(1, s.mg);
    const h1 = Math.max(2, (a.h * mg) / (out.get(s.parent) as number));
    const h2 = Math.max(2, (b.h * mg) / (into.get(s.child) as number));
    const y1 = a.y + (usedOut.get(s.parent) ?? 0);
    const y2 = b.y + (usedIn.get(s.child) ?? 0);
    usedOut.set(s.parent, (usedOut.get(s.parent) ?? 0) + h1);
    usedIn.set(s.child, (usedIn.get(s.child) ?? 0) + h2);
    ribbons.push({
      from: s.parent, to: s.child, basis: s.basis, mg: s.mg, entry: s.entry,
      path: curve(a.x + a.w, y1, b.x, y2, h1, h2),
    });
  }
  return ribbons;
}
