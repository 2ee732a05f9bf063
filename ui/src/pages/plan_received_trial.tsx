/* What if, where fruit is received: the plan with something changed, beside the plan as it is. Nothing of it is recorded. */
import { useState } from "preact/hooks";
import { send } from "../api/client";
import type { PlanChange, Problem, ReceivedPlan } from "../api/types";
import { day, number } from "../base/format";
import { t } from "../base/words";
import { ProblemNote } from "../parts/read";
import { days } from "../plan/received";
import { asProblem } from "../shell/told";
import { Progress, useJob } from "./plan";
import { ReceivedDifference } from "./plan_received_differ";
import { kg } from "./plan_received_parts";

const SECONDS = 10;
const MINUTES = 60;

type Draft = Record<string, string>;

interface Field {
  name: string; /* of a text ui.received.if.field.NAME */
  options?: (plan: ReceivedPlan) => [string, string][]; /* nothing: a number */
  unit?: (plan: ReceivedPlan, d: Draft) => string;
}

interface Kind {
  fields: Field[];
  make: (d: Draft) => PlanChange;
  say: (c: PlanChange, plan: ReceivedPlan) => string;
}

const whole = (text: string | undefined, times = 1) => Math.round(Number((text ?? "").replace(",", ".")) * times);
const same = (list: string[]): [string, string][] => list.map((x) => [x, x]);
const storeUnit = (plan: ReceivedPlan, name: string | number | undefined) => plan.stores.find((s) => s.store === name)?.unit ?? "kg";
const dayField: Field = { name: "day", options: (plan) => days(plan).map((d) => [d, day(d)]) };
const goods = (plan: ReceivedPlan) => [...new Set([...plan.coming.map((c) => c.good), ...plan.flows.map((f) => f.good)])];

const KINDS: Record<string, Kind> = {
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
  offer: {
    fields: [{ name: "good", options: (plan) => same(goods(plan)) }, dayField, { name: "mass", unit: () => "kg" }, { name: "price" }],
    make: (d) => ({ what: "offer", good: d.good ?? "", day: d.day ?? "", g: whole(d.mass, 1000), price_milli: whole(d.price, 1000) }),
    say: (c) => t("ui.received.if.offer.says", { mass: kg(Number(c.g)), good: c.good ?? "", day: day(String(c.day)), price: number(Number(c.price_milli) / 1000, 3, 0) }),
  },
};

function said(c: PlanChange, plan: ReceivedPlan): string {
  const kind = c.what === "order" && c.order !== undefined ? "booked" : c.what;
  return KINDS[kind]?.say(c, plan) ?? c.what;
}

function Add({ plan, add }: { plan: ReceivedPlan; add: (c: PlanChange) => void }) {
  const [name, setName] = useState("store");
  const [draft, setDraft] = useState<Draft>({});
  const kind = KINDS[name] as Kind;
  const filled: Draft = Object.fromEntries(kind.fields.map((f) => [f.name, draft[f.name] ?? f.options?.(plan)[0]?.[0] ?? ""]));
  const isReady = kind.fields.every((f) => (f.options ? filled[f.name] !== "" : /^\d+([.,]\d+)?$/.test(filled[f.name] ?? "")));
  const put = (event: Event) => {
    event.preventDefault();
    if (!isReady) return;
    add(kind.make(filled));
    setDraft({});
  };
  return (
    <form class="plan-if" onSubmit={put}>
      <label><span>{t("ui.plan.if.what")}</span>
        <select value={name} onChange={(e) => { setName(e.currentTarget.value); setDraft({}); }}>
          {Object.keys(KINDS).map((k) => <option key={k} value={k}>{t(`ui.received.if.${k}`)}</option>)}
        </select>
      </label>
      {kind.fields.map((f) => (
        <label key={`${name} ${f.name}`}><span>{t(`ui.received.if.field.${f.name}`)}{f.unit ? `, ${f.unit(plan, filled)}` : ""}</span>
          {f.options ? (
            <select value={filled[f.name]} onChange={(e) => setDraft({ ...draft, [f.name]: e.currentTarget.value })}>
              {f.options(plan).map(([v, text]) => <option key={v} value={v}>{text}</option>)}
            </select>
          ) : <input type="text" inputMode="decimal" value={filled[f.name]} onInput={(e) => setDraft({ ...draft, [f.name]: e.currentTarget.value })} />}
        </label>
      ))}
      <button type="submit" disabled={!isReady}>{t("ui.plan.if.add")}</button>
    </form>
  );
}

export function ReceivedTrial({ plan }: { plan: ReceivedPlan }) {
  const [changes, setChanges] = useState<PlanChange[]>([]);
  const [job, setJob, lookProblem] = useJob(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const tryTo = (act: () => Promise<unknown>) => {
    act().then(() => setProblem(null), (error: unknown) => setProblem(asProblem(error)));
  };
  const begin = () => tryTo(async () => {
    setJob(null);
    setJob((await send<{ job: string }>("POST", "/plan", { seconds: SECONDS, trial: true, changes })).job);
  });
  const made = job?.received ?? null;
  return (
    <section class="plan-trial no-print">
      <h2>{t("ui.plan.if")}</h2>
      <p>{t("ui.plan.if.lead")}</p>
      <Add plan={plan} add={(c) => setChanges([...changes, c])} />
      {changes.length > 0 ? (
        <ul class="rows">
          {changes.map((c, i) => (
            <li key={i} class="row-tall"><p>{said(c, plan)}</p><button type="button" class="plain" aria-label={`${t("ui.plan.if.remove")}: ${said(c, plan)}`} onClick={() => setChanges(changes.filter((_, k) => k !== i))}>{t("ui.plan.if.remove")}</button></li>
          ))}
        </ul>
      ) : null}
      <div class="plan-work">
        {job?.state === "working" ? <Progress job={job} stop={() => tryTo(() => send("DELETE", `/plan/jobs/${job.id}`))} />
          : <button type="button" class="act" disabled={changes.length === 0} onClick={begin}>{t("ui.plan.if.begin")}</button>}
      </div>
      <ProblemNote problem={problem ?? lookProblem} />
      {made?.difference && made.before ? (
        <ReceivedDifference plan={made} before={made.before} difference={made.difference} titles={[t("ui.plan.as-is"), t("ui.plan.if")]} base={made.base ?? null} />
      ) : null}
    </section>
  );
}
