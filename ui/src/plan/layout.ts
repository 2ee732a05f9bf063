/* The plan as a picture: supply against orders for each day, chambers as strips, what the days' limits are used for. */
import type { Plan, PlanDifference, TakenPlan } from "../api/types";
import { addDays, daysBetween } from "../base/format";

export interface DayBar {
  day: string;
  orders: number; /* pieces wanted, booked and forecast */
  booked: number;
  supply: number;
  short: number;
}

export type UseState = "running" | "taken" | "new" | "out" | "added" | "gone" | "moved" | "filled";

/* In this order they are told. */
export const SIGN_ORDER: UseState[] = ["running", "taken", "new", "added", "moved", "filled", "gone", "out"];

export interface StripUse {
  from: number; /* day of the picture */
  to: number; /* the day after the last */
  item: string;
  count: number; /* chambers */
  state: UseState;
}

export interface Strip {
  label: string; /* the chamber; nothing where alike ones share a bar */
  most: number; /* chambers in its thickest bar */
  uses: StripUse[];
}

/* Sums over items where item is "", for the days of the plan. */
export function bars(plan: Plan, item: string): DayBar[] {
  const out: DayBar[] = [];
  for (let i = 0; i < plan.days; i++) {
    out.push({ day: addDays(plan.first_day, i), orders: 0, booked: 0, supply: 0, short: 0 });
  }
  const at = (day: string) => out[daysBetween(plan.first_day, day)];
  for (const d of plan.demand) {
    const bar = at(d.day);
    if (!bar || (item !== "" && d.item !== item)) continue;
    bar.orders += d.booked + d.forecast_added;
    bar.booked += d.booked;
  }
  for (const s of plan.supply) {
    const bar = at(s.day);
    if (!bar || (item !== "" && s.item !== item)) continue;
    bar.supply += s.pieces + s.stock;
    bar.short += s.short;
  }
  return out;
}

/* Which gaps are named: the worst first, as far as their figures do not meet. Indices into bars. */
export function named(list: DayBar[], column: number, width: (b: DayBar) => number): number[] {
  const out: number[] = [];
  const worst = list.map((_, i) => i).filter((i) => (list[i] as DayBar).short > 0)
    .sort((a, b) => (list[b] as DayBar).short - (list[a] as DayBar).short || a - b);
  for (const i of worst) {
    const half = width(list[i] as DayBar) / 2;
    const meets = out.some((k) => Math.abs(k - i) * column < half + width(list[k] as DayBar) / 2 + 4);
    if (!meets) out.push(i);
  }
  return out.sort((a, b) => a - b);
}

interface Use {
  place: string;
  day: string;
  harvest: string; /* the last day in the chamber */
  item: string;
  state: UseState;
}

export function usesOf(plan: Plan | null, taken: TakenPlan["taken"]): Use[] {
  if (!plan) {
    return taken.map((s) => ({
      place: s.place, day: s.day, harvest: addDays(s.day, s.grow_days), item: s.item, state: s.made ? "running" : "taken",
    }));
  }
  const last = addDays(plan.first_day, plan.days);
  return [
    ...plan.running.map((r): Use => ({ place: r.chamber, day: plan.first_day, harvest: r.harvest, item: r.item, state: "running" })),
    ...plan.out.map((o): Use => ({ place: o.chamber, day: o.from, harvest: o.to ?? last, item: "", state: "out" })),
    ...plan.starts.map((s): Use => ({ place: s.chamber, day: s.soak, harvest: s.harvests[s.harvests.length - 1]?.day ?? s.harvest, item: s.item, state: s.taken_before ? "taken" : "new" })),
  ];
}

/* What a difference draws: where a start is moved, the place it leaves and the one it takes. */
export function usesOfDifference(d: PlanDifference): Use[] {
  const out: Use[] = [];
  for (const s of d.starts) {
    if (s.kind === "kept") continue;
    const put = (x: { chamber: string; day: string; harvest: string } | null, state: UseState) => {
      if (x) out.push({ place: x.chamber, day: x.day, harvest: x.harvest, item: s.item, state });
    };
    if (s.kind === "gone" || s.kind === "moved") put(s.before, "gone");
    if (s.kind !== "gone") put(s.after, s.kind);
  }
  return out;
}

export const STRIPS_MOST = 24;

/* One strip a chamber. Where there are many, those that start and end alike are one bar with their
 * count, and bars that do not meet share a strip: 200 chambers stay one picture. */
export function strips(uses: Use[], first: string, days: number, chambers: string[], isGrouped = false): Strip[] {
  const shown = uses.map((u) => ({
    place: u.place, item: u.item, state: u.state, count: 1,
    from: Math.max(0, daysBetween(first, u.day)), to: Math.min(days, daysBetween(first, u.harvest) + 1),
  })).filter((u) => u.to > u.from && u.to > 0 && u.from < days).sort((a, b) => a.from - b.from || a.to - b.to);
  const places = [...new Set([...chambers, ...uses.map((u) => u.place)])].sort((a, b) => a.localeCompare(b, "en", { numeric: true }));
  if (!isGrouped && places.length <= STRIPS_MOST) {
    return places.map((place) => ({ label: place, most: 1, uses: shown.filter((u) => u.place === place) }));
  }
  const alike = new Map<string, StripUse>();
  for (const u of shown) {
    const key = `${u.from} ${u.to} ${u.item} ${u.state}`;
    const known = alike.get(key);
    if (known) known.count++;
    else alike.set(key, { from: u.from, to: u.to, item: u.item, count: 1, state: u.state });
  }
  const lanes: Strip[] = [];
  for (const u of alike.values()) {
    const free = lanes.find((lane) => (lane.uses[lane.uses.length - 1] as StripUse).to <= u.from);
    if (free) {
      free.uses.push(u);
      free.most = Math.max(free.most, u.count);
    } else lanes.push({ label: "", most: u.count, uses: [u] });
  }
  return lanes;
}

/* How thick a bar is drawn: as many chambers, so thick, and never too thin to read. */
export function thickness(count: number, all: number): number {
  return Math.max(18, Math.min(48, Math.round(count * (all > 60 ? 1.6 : 4))));
}

export const LIMITS = ["chambers", "starts", "harvests", "treat", "soak", "harvest", "wash", "pack"] as const;
export type LimitName = (typeof LIMITS)[number];

export interface Limit {
  name: LimitName | "work";
  work: string; /* the house's name of it; "" where it is none */
  days: { used: number; limit: number; share: number }[]; /* counts, grams, or thousandths of a work's unit */
}

const NONE = { used: 0, limit: 0, share: 0 };

function ofLimit(used: number, limit: number) {
  return { used, limit, share: limit > 0 ? Math.max(0, used / limit) : used > 0 ? 1 : 0 };
}

function works(plan: Plan): Limit[] {
  const names = [...new Set(plan.capacity.flatMap((c) => c.works.map((w) => w.name)))];
  return names.map((name) => ({
    name: "work", work: name, days: plan.capacity.map((c) => {
      const w = c.works.find((x) => x.name === name);
      return w ? ofLimit(w.used_milli, w.limit_milli) : NONE;
    }),
  }));
}

/* Those limits that the house has. */
export function limits(plan: Plan): Limit[] {
  const ways = LIMITS.flatMap((name): Limit[] => {
    const days = plan.capacity.map((c) => {
      const x = c[name];
      if (!x) return null;
      const used = "used_g" in x ? x.used_g : x.used;
      const limit = "limit_g" in x ? x.limit_g : x.limit;
      return ofLimit(used, limit);
    });
    return days.some((d) => d !== null) ? [{ name, work: "", days: days.map((d) => d ?? NONE) }] : [];
  });
  return [...ways, ...works(plan)];
}

export const FULL = 0.95; /* so much of a limit is as good as all of it */
