/* More lots than a column shows are drawn as groups of lots alike; a group is opened by pressing it. */
import type { Trace, TraceLot } from "../api/types";
import { columns } from "./layout";

const COLUMN_MOST = 8;
const MARK = "\u0000";

export function isGroup(lot: string): boolean {
  return lot.startsWith(MARK);
}

/* The name of a group ends with how many it holds. */
export function groupCount(lot: string): number {
  return Number(lot.slice(lot.lastIndexOf(MARK) + 1));
}

function joined(lots: TraceLot[], name: string): TraceLot {
  const first = lots.reduce((a, b) => (b.born_ms < a.born_ms ? b : a));
  const sum = (of: (l: TraceLot) => number) => lots.reduce((s, l) => s + of(l), 0);
  const isKnown = lots.every((l) => l.share_ppm !== null);
  return {
    ...first, lot: name, place: null, mg: sum((l) => l.mg), here_mg: sum((l) => l.here_mg), here_pieces: sum((l) => l.here_pieces),
    share_ppm: isKnown ? sum((l) => l.share_ppm ?? 0) : null, certain: lots.every((l) => l.certain),
  };
}

/* apart: groups that stand open. The lot in question always stands by itself. */
export function grouped(trace: Trace, apart: string[]): Trace {
  const at = columns(trace);
  const sizes = new Map<number, number>();
  for (const c of at.values()) sizes.set(c, (sizes.get(c) ?? 0) + 1);
  const alike = new Map<string, TraceLot[]>();
  for (const lot of trace.lots) {
    const column = at.get(lot.lot) as number;
    if (lot.lot === trace.code || (sizes.get(column) as number) <= COLUMN_MOST) continue;
    const key = [column, lot.kind, lot.item, lot.held].join(MARK);
    alike.set(key, [...(alike.get(key) ?? []), lot]);
  }
  const nameOf = new Map<string, string>();
  const groups: TraceLot[] = [];
  for (const [key, lots] of alike) {
    const name = `${MARK}${key}${MARK}${lots.length}`;
    if (lots.length < 2 || apart.includes(name)) continue;
    for (const lot of lots) nameOf.set(lot.lot, name);
    groups.push(joined(lots, name));
  }
  if (groups.length === 0) return trace;
  const steps = new Map<string, Trace["steps"][number]>();
  for (const s of trace.steps) {
    const parent = nameOf.get(s.parent) ?? s.parent;
    const child = nameOf.get(s.child) ?? s.child;
    const key = `${parent} ${child} ${s.basis}`;
    const before = steps.get(key);
    steps.set(key, before ? { ...before, mg: before.mg + s.mg } : { ...s, parent, child });
  }
  return { ...trace, lots: [...trace.lots.filter((l) => !nameOf.has(l.lot)), ...groups], steps: [...steps.values()] };
}
