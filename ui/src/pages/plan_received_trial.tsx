/* What if, where fruit is received: the plan with something changed, beside the plan as it is. */
import type { PlanChange, ReceivedPlan } from "../api/types";
import { day, number } from "../base/format";
import { t } from "../base/words";
import { days } from "../plan/received";
import { WhatIf, whole } from "./plan_if";
import type { Field, Kind } from "./plan_if";
import { ReceivedDifference } from "./plan_received_differ";
import { kg } from "./plan_received_parts";

const MINUTES = 60;
const CLOSED = ["all", "harvest", "pack", "dispatch"];

const same = (list: string[]): [string, string][] => list.map((x) => [x, x]);
const storeUnit = (plan: ReceivedPlan, name: string | number | undefined) => plan.stores.find((s) => s.store === name)?.unit ?? "kg";
const dayField: Field<ReceivedPlan> = { name: "day", options: (plan) => days(plan).map((d) => [d, day(d)]) };
const goods = (plan: ReceivedPlan) => [...new Set([...plan.coming.map((c) => c.good), ...plan.flows.map((f) => f.good)])];

const KINDS: Record<string, Kind<ReceivedPlan>> = {
  store: {
    fields: [{ name: "store", options: (plan) => same(plan.stores.map((s) => s.store)) }, { name: "limit", unit: (plan, d) => storeUnit(plan, d.store) }],
    make: (d) => ({ what: "store", name: d.store ?? "", milli: whole(d.limit, 1000) }),
    say: (c, plan) => t("ui.received.if.store.says", { store: c.name ?? "", n: number(Number(c.milli) / 1000), unit: storeUnit(plan, c.name) }),
  },
  machine: {
    fields: [{ name: "machine", options: (plan) => same(plan.machines.map((m) => m.machine)) }, { name: "hours", unit: () => "h" }],
    make: (d) => ({ what: "machine", name: d.machine ?? "", minutes: whole(d.hours, MINUTES) }),
    say: (c) => t("ui.received.if.machine.says", { machine: c.name ?? "", n: number(Number(c.minutes) / MINUTES, 1, 0) }),
  },
  order: {
    fields: [{ name: "item", options: (plan) => same([...new Set(plan.supply.map((s) => s.item))]) }, dayField, { name: "pieces" }],
    make: (d) => ({ what: "order", item: d.item ?? "", day: d.day ?? "", pieces: whole(d.pieces) }),
    say: (c) => t("ui.plan.if.order.says", { item: c.item ?? "", day: day(String(c.day)), n: number(Number(c.pieces)) }),
  },
  booked: {
    fields: [{ name: "order", options: (plan) => plan.orders.map((o) => [o.order, `${o.order}, ${o.item}, ${day(o.day)}`]) }, { name: "pieces" }],
    make: (d) => ({ what: "order", order: d.order ?? "", pieces: whole(d.pieces) }),
    say: (c) => t("ui.plan.if.booked.says", { order: c.order ?? "", n: number(Number(c.pieces)) }),
  },
  "closed-day": {
    fields: [dayField, { name: "closed", options: () => CLOSED.map((w) => [w, t(`ui.received.if.closed.${w}`)]) }],
    make: (d) => ({ what: "closed-day", day: d.day ?? "", reason: t("ui.plan.if"), ...(d.closed === "all" ? {} : { of: d.closed ?? "" }) }),
    say: (c) => t("ui.plan.if.closed-day.says", { day: day(String(c.day)), what: t(`ui.received.if.closed.${c.of ?? "all"}`) }),
  },
  "open-day": {
    fields: [{ name: "day", options: (plan) => plan.closed.map((c) => [c.day, day(c.day)]) }],
    make: (d) => ({ what: "open-day", day: d.day ?? "" }),
    say: (c) => t("ui.plan.if.open-day.says", { day: day(String(c.day)) }),
  },
  offer: {
    fields: [{ name: "good", options: (plan) => same(goods(plan)) }, dayField, { name: "mass", unit: () => "kg" }, { name: "price" }],
    make: (d) => ({ what: "offer", good: d.good ?? "", day: d.day ?? "", g: whole(d.mass, 1000), price_milli: whole(d.price, 1000) }),
    say: (c) => t("ui.received.if.offer.says", { mass: kg(Number(c.g)), good: c.good ?? "", day: day(String(c.day)), price: number(Number(c.price_milli) / 1000, 3, 0) }),
  },
};

const kindOf = (c: PlanChange) => (c.what === "order" && c.order !== undefined ? "booked" : c.what);

/* As sure of its orders as the plan that it stands beside. */
export function ReceivedTrial({ plan, asked }: { plan: ReceivedPlan; asked: { service_ppm?: number } }) {
  return (
    <WhatIf panel={{ of: plan, kinds: KINDS, kindOf, title: (k) => t(`ui.received.if.${k}`), label: (f) => t(`ui.received.if.field.${f}`) }}
      asked={asked}
      result={({ received: made }) => (made?.difference && made.before
        ? <ReceivedDifference plan={made} before={made.before} difference={made.difference} titles={[t("ui.plan.as-is"), t("ui.plan.if")]} base={made.base ?? null} /> : null)} />
  );
}
