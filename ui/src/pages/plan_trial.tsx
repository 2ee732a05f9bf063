/* What if, where a house grows: the plan with something changed, beside the plan as it is. */
import { useRead } from "../api/client";
import type { House, Plan, PlanChange } from "../api/types";
import { addDays, day, mass, number, percent, temperature } from "../base/format";
import { t } from "../base/words";
import { Difference } from "./plan_differ";
import { WhatIf, whole } from "./plan_if";
import type { Draft, Kind } from "./plan_if";

const LIMIT_NAMES = ["treat", "soak", "harvest", "wash", "pack"];
const CLOSED = ["all", "soak", "harvest", "pack", "dispatch"];
const WHOLE_PPM = 1000000;

interface Of {
  plan: Plan;
  chambers: string[];
  house: House | null;
}

type Choices = (of: Of) => [string, string][];

const same = (list: string[]): [string, string][] => list.map((x) => [x, x]);
const items = (kind: string): Choices => (of) => same((of.house?.items ?? []).filter((i) => i.kind === kind).map((i) => i.code));
const ingredients: Choices = (of) => [...items("ingredient")(of), ...items("packaging")(of)];
const chambers: Choices = (of) => same(of.chambers);
const booked: Choices = ({ plan }) => plan.orders.map((o) => [o.order ?? "", `${o.order ?? ""}, ${o.item}, ${day(o.day)}`]);
const limits: Choices = () => LIMIT_NAMES.map((n) => [n, t(`ui.plan.limit.${n}`)]);
const works: Choices = ({ plan }) => same([...new Set(plan.capacity.flatMap((d) => d.works.map((w) => w.name)))]);
const days: Choices = ({ plan }) => Array.from({ length: plan.days }, (_, i) => addDays(plan.first_day, i)).map((d) => [d, day(d)]);
const closedDays: Choices = ({ plan }) => plan.capacity.filter((c) => c.closed).map((c) => [c.day, day(c.day)]);

/* To: not before the first day. */
const last = (of: Choices) => (x: Of, d: Draft) => of(x).filter(([to]) => to >= (d.day ?? ""));
const spanOf = (d: Draft) => ({ day: d.day ?? "", ...(d.to === d.day ? {} : { to: d.to ?? "" }) });

const KINDS: Record<string, Kind<Of>> = {
  "chamber-out": { fields: [{ name: "chamber", options: chambers }], make: (d) => ({ what: "chamber-out", chamber: d.chamber ?? "" }), say: (c) => t("ui.plan.if.chamber-out.says", { chamber: c.chamber ?? "" }) },
  chambers: { fields: [{ name: "count" }], make: (d) => ({ what: "chambers", count: whole(d.count) }), say: (c) => t("ui.plan.if.chambers.says", { n: number(Number(c.count)) }) },
  temperature: {
    fields: [{ name: "item", options: items("growing") }, { name: "temp", unit: () => "°C" }],
    make: (d) => ({ what: "temperature", item: d.item ?? "", temp_mc: whole(d.temp, 1000) }), say: (c) => t("ui.plan.if.temperature.says", { item: c.item ?? "", temp: temperature(Number(c.temp_mc)) }),
  },
  life: {
    fields: [{ name: "item", options: items("packed") }, { name: "days", unit: () => "d" }],
    make: (d) => ({ what: "life", item: d.item ?? "", days: whole(d.days) }), say: (c) => t("ui.plan.if.life.says", { item: c.item ?? "", n: number(Number(c.days)) }),
  },
  order: {
    fields: [{ name: "item", options: items("packed") }, { name: "day", options: days }, { name: "pieces" }],
    make: (d) => ({ what: "order", item: d.item ?? "", day: d.day ?? "", pieces: whole(d.pieces) }), say: (c) => t("ui.plan.if.order.says", { item: c.item ?? "", day: day(String(c.day)), n: number(Number(c.pieces)) }),
  },
  booked: {
    fields: [{ name: "order", options: booked }, { name: "pieces" }],
    make: (d) => ({ what: "order", order: d.order ?? "", pieces: whole(d.pieces) }), say: (c) => t("ui.plan.if.booked.says", { order: c.order ?? "", n: number(Number(c.pieces)) }),
  },
  seed: {
    fields: [{ name: "item", options: items("seed") }, { name: "kg", unit: () => "kg" }, { name: "from", options: days }],
    make: (d) => ({ what: "seed", item: d.item ?? "", g: whole(d.kg, 1000), day: d.from ?? "" }), say: (c) => t("ui.plan.if.seed.says", { item: c.item ?? "", mass: mass(Number(c.g) * 1000), day: day(String(c.day)) }),
  },
  ingredient: {
    fields: [{ name: "item", options: ingredients }, { name: "kg", unit: () => "kg" }, { name: "from", options: days }],
    make: (d) => ({ what: "ingredient", item: d.item ?? "", g: whole(d.kg, 1000), day: d.from ?? "" }), say: (c) => t("ui.plan.if.ingredient.says", { item: c.item ?? "", mass: mass(Number(c.g) * 1000), day: day(String(c.day)) }),
  },
  work: {
    fields: [{ name: "work", options: works }, { name: "amount" }],
    make: (d) => ({ what: "work", name: d.work ?? "", a_day_milli: whole(d.amount, 1000) }), say: (c) => t("ui.plan.if.work.says", { work: String(c.name), n: number(Number(c.a_day_milli) / 1000, 1) }),
  },
  limit: {
    fields: [{ name: "limit", options: limits }, { name: "kg", unit: () => "kg" }],
    make: (d) => ({ what: "limit", name: d.limit ?? "", g: whole(d.kg, 1000) }), say: (c) => t("ui.plan.if.limit.says", { limit: t(`ui.plan.limit.${c.name}`), mass: mass(Number(c.g) * 1000) }),
  },
  "closed-day": {
    fields: [{ name: "day", options: days }, { name: "to", options: last(days) }, { name: "closed", options: () => CLOSED.map((w) => [w, t(`ui.plan.if.closed.${w}`)]) }],
    make: (d) => ({ what: "closed-day", ...spanOf(d), reason: t("ui.plan.if"), ...(d.closed === "all" ? {} : { of: d.closed ?? "" }) }),
    say: (c) => t(c.to === undefined ? "ui.plan.if.closed-day.says" : "ui.plan.if.closed-days.says", { day: day(String(c.day)), to: c.to === undefined ? "" : day(String(c.to)), what: t(`ui.plan.if.closed.${c.of ?? "all"}`) }),
  },
  "open-day": {
    fields: [{ name: "day", options: closedDays }, { name: "to", options: last(closedDays) }],
    make: (d) => ({ what: "open-day", ...spanOf(d) }),
    say: (c) => t(c.to === undefined ? "ui.plan.if.open-day.says" : "ui.plan.if.open-days.says", { day: day(String(c.day)), to: c.to === undefined ? "" : day(String(c.to)) }),
  },
  parts: {
    fields: [{ name: "item", options: items("growing") }, { name: "share", unit: () => "%" }, { name: "rest" }, { name: "bears", unit: () => "%", usual: "100" }],
    make: (d) => ({ what: "parts", item: d.item ?? "", share_ppm: whole(d.share, 10000), days: whole(d.rest), yield_milli: whole(d.bears, 10) }),
    say: (c) => t("ui.plan.if.parts.says", { item: c.item ?? "", share: percent(Number(c.share_ppm)), n: number(Number(c.days)), bears: percent(Number(c.yield_milli) * 1000) }),
  },
  "at-once": {
    fields: [{ name: "item", options: items("growing") }],
    make: (d) => ({ what: "parts", item: d.item ?? "", share_ppm: WHOLE_PPM }), say: (c) => t("ui.plan.if.at-once.says", { item: c.item ?? "" }),
  },
};

function kindOf(c: PlanChange): string {
  if (c.what === "order" && c.order !== undefined) return "booked";
  return c.what === "parts" && c.share_ppm === WHOLE_PPM ? "at-once" : c.what;
}

/* As sure of its orders as the plan that it stands beside. */
export function Trial({ plan, chambers: names, asked }: { plan: Plan; chambers: string[]; asked: { service_ppm?: number } }) {
  const house = useRead<House>("/house").data;
  return (
    <WhatIf panel={{ of: { plan, chambers: names, house }, kinds: KINDS, kindOf, title: (k) => t(`ui.plan.if.${k}`), label: (f) => t(`ui.plan.if.field.${f}`) }}
      asked={asked}
      result={({ plan: made }) => (made?.difference && made.before
        ? <Difference plan={made} before={made.before} difference={made.difference} titles={[t("ui.plan.as-is"), t("ui.plan.if")]} base={made.base ?? null} /> : null)} />
  );
}
