/* The plan of a house that receives fruit, as its pictures and lists need it. */
import type { ReceivedPlan } from "../api/types";
import { addDays } from "../base/format";
import type { DayBar, Limit } from "./layout";

/* Sums over items where item is "", for the days of the plan. */
export function receivedBars(plan: ReceivedPlan, item: string): DayBar[] {
  return days(plan).map((day) => {
    const bar: DayBar = { day, orders: 0, booked: 0, supply: 0, short: 0 };
    for (const s of plan.supply) {
      if (s.day !== day || (item !== "" && s.item !== item)) continue;
      bar.orders += s.booked + s.forecast;
      bar.booked += s.booked;
      bar.supply += s.pieces;
      bar.short += s.short;
    }
    return bar;
  });
}

export function days(plan: ReceivedPlan): string[] {
  return Array.from({ length: plan.days }, (_, i) => addDays(plan.first_day, i));
}

export interface Level {
  store: string;
  unit: "kg" | "L";
  most: number; /* thousandths of the unit, as all of them */
  limit: number | null; /* the least of its days; nothing: none */
  scale: number; /* the top of its strip */
  days: { level: number; limit: number | null }[];
}

export function levels(plan: ReceivedPlan): Level[] {
  return plan.stores.map((s) => {
    const list = s.days.map((d) => ({ level: Math.max(0, d.level_milli), limit: d.limit_milli }));
    const most = Math.max(0, ...list.map((d) => d.level));
    const limits = list.flatMap((d) => (d.limit === null ? [] : [d.limit]));
    return { store: s.store, unit: s.unit, most, limit: limits.length > 0 ? Math.min(...limits) : null, scale: Math.max(1, most, ...limits), days: list };
  });
}

export function machines(plan: ReceivedPlan): Limit[] {
  return plan.machines.map((m) => ({
    name: "work", work: m.machine,
    days: m.days.map((d) => ({ used: d.used_min, limit: d.limit_min, share: d.limit_min > 0 ? d.used_min / d.limit_min : 0 })),
  }));
}

export interface Coming {
  day: string;
  agreed: number; /* grams, as all of them */
  expected: number;
  bought: number;
  turned: number;
}

export function coming(plan: ReceivedPlan): Coming[] {
  return days(plan).map((day) => {
    const of = plan.coming.filter((c) => c.day === day);
    const sum = (list: { g: number }[]) => list.reduce((n, x) => n + x.g, 0);
    return {
      day, agreed: sum(of.filter((c) => c.booked)), expected: sum(of.filter((c) => !c.booked)),
      bought: sum(plan.buy.filter((b) => b.day === day)), turned: of.reduce((n, c) => n + c.turned_g, 0),
    };
  });
}

export type Act = ReceivedPlan["flows"][number]["act"];

export interface Step {
  act: Act;
  name: string; /* the use; nothing for the others */
  good: string;
  of: string; /* the delivery or the offer */
  g: number;
  gives: { good: string; g: number }[];
}

/* What a shift does on a day, in its order: what a use makes stands with what it takes. */
export function steps(plan: ReceivedPlan, day: string): Step[] {
  const out: Step[] = [];
  for (const f of plan.flows) {
    if (f.day !== day) continue;
    const last = out.find((s) => s.act === "used" && s.name === f.use);
    if (f.act === "made" && last) last.gives.push({ good: f.good, g: f.g });
    else out.push({ act: f.act, name: f.use ?? "", good: f.good, of: f.of ?? "", g: f.g, gives: [] });
  }
  return out;
}
