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

export interface Strip {
  label: string; /* the chamber, or how many alike */
  count: number;
  uses: { from: number; to: number; item: string; isTaken: boolean }[];
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

/* One strip a chamber; where there are many, those with the same days and items share one. */
export function strips(uses: Use[], first: string, days: number, chambers: string[]): Strip[] {
  const byPlace = new Map<string, Use[]>();
  for (const place of chambers) byPlace.set(place, []);
  for (const use of uses) {
    const list = byPlace.get(use.place);
    if (list) list.push(use);
    else byPlace.set(use.place, [use]);
  }
  const all = [...byPlace.entries()].sort((a, b) => a[0].localeCompare(b[0], "en", { numeric: true })).map(([label, list]) => ({
    label, count: 1,
    uses: list.map((u) => ({
      from: Math.max(0, daysBetween(first, u.day)), to: Math.min(days, daysBetween(first, u.harvest) + 1),
      item: u.item, isTaken: u.isTaken,
    })).filter((u) => u.to > 0 && u.from < days).sort((a, b) => a.from - b.from),
  }));
  if (all.length <= STRIPS_MOST) return all;
  const groups = new Map<string, Strip & { names: string[] }>();
  for (const strip of all) {
    const key = JSON.stringify(strip.uses);
    const group = groups.get(key);
    if (group) {
      group.count++;
      group.names.push(strip.label);
    } else groups.set(key, { ...strip, names: [strip.label] });
  }
  return [...groups.values()].map((g) => ({ label: namesOf(g.names), count: g.count, uses: g.uses }));
}

/* "C-001 – C-040" for a run, "C-001 +3" for others. */
export function namesOf(names: string[]): string {
  const first = names[0] ?? "";
  const last = names[names.length - 1] ?? "";
  if (names.length === 1) return first;
  const n = (text: string) => Number(/(\d+)$/.exec(text)?.[1] ?? NaN);
  return n(last) - n(first) === names.length - 1 ? `${first} – ${last}` : `${first} +${names.length - 1}`;
}
