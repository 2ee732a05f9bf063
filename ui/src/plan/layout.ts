/* The plan as a picture: supply against orders for each day, chambers as strips below. */
import type { Plan, TakenPlan } from "../api/types";
import { addDays, daysBetween } from "../base/format";

export interface DayBar {
  day: string;
  orders: number; /* pieces wanted, booked and forecast */
  booked: number;
  supply: number;
  short: number;
}

export interface StripUse {
  from: number; /* day of the picture */
  to: number; /* the day after the last */
  item: string;
  count: number; /* chambers */
  isTaken: boolean;
}

export interface Strip {
  label: string; /* the chamber; nothing where alike ones share a bar */
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

interface Use {
  place: string;
  day: string;
  harvest: string;
  item: string;
  isTaken: boolean;
}

export function usesOf(plan: Plan | null, taken: TakenPlan["taken"]): Use[] {
  if (plan) {
    return plan.starts.map((s) => ({
      place: s.chamber, day: s.soak, harvest: s.harvest, item: s.item, isTaken: s.taken_before,
    }));
  }
  return taken.map((s) => ({
    place: s.place, day: s.day, harvest: addDays(s.day, s.grow_days), item: s.item, isTaken: true,
  }));
}

export const STRIPS_MOST = 24;

/* One strip a chamber. Where there are many, those that start and end alike are one bar with their
 * count, and bars that do not meet share a strip: 200 chambers stay one picture. */
export function strips(uses: Use[], first: string, days: number, chambers: string[]): Strip[] {
  const shown = uses.map((u) => ({
    place: u.place, item: u.item, isTaken: u.isTaken, count: 1,
    from: Math.max(0, daysBetween(first, u.day)), to: Math.min(days, daysBetween(first, u.harvest) + 1),
  })).filter((u) => u.to > u.from && u.to > 0 && u.from < days).sort((a, b) => a.from - b.from || a.to - b.to);
  const places = [...new Set([...chambers, ...uses.map((u) => u.place)])].sort((a, b) => a.localeCompare(b, "en", { numeric: true }));
  if (places.length <= STRIPS_MOST) {
    return places.map((place) => ({ label: place, uses: shown.filter((u) => u.place === place) }));
  }
  const alike = new Map<string, StripUse>();
  for (const u of shown) {
    const key = `${u.from} ${u.to} ${u.item} ${u.isTaken}`;
    const known = alike.get(key);
    if (known) known.count++;
    else alike.set(key, { from: u.from, to: u.to, item: u.item, count: 1, isTaken: u.isTaken });
  }
  const lanes: Strip[] = [];
  for (const u of alike.values()) {
    const free = lanes.find((lane) => (lane.uses[lane.uses.length - 1] as StripUse).to <= u.from);
    if (free) free.uses.push(u);
    else lanes.push({ label: "", uses: [u] });
  }
  return lanes;
}
