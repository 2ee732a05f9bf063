/* What if: the plan with something changed, beside the plan as it is. Nothing of it is recorded. */
import { useState } from "preact/hooks";
import { send, useRead } from "../api/client";
import type { House, Plan, PlanChange, Problem } from "../api/types";
import { addDays, day, mass, number, temperature } from "../base/format";
import { t } from "../base/words";
import { ProblemNote } from "../parts/read";
import { asProblem } from "../shell/told";
import { Progress, useJob } from "./plan";
import { Difference } from "./plan_differ";

const SECONDS = 10;
const LIMIT_NAMES = ["treat", "soak", "harvest", "wash", "pack"];

type Draft = Record<string, string>;

interface Kind {
  fields: { name: string; kind: "chamber" | "growing" | "packed" | "seed" | "ingredient" | "order" | "limit" | "work" | "day" | "number"; unit?: string }[];
  make: (d: Draft) => PlanChange;
  say: (c: PlanChange) => string;
}

const whole = (text: string | undefined, times = 1) => Math.round(Number((text ?? "").replace(",", ".")) * times);

const KINDS: Record<string, Kind> = {
  "chamber-out": { fields: [{ name: "chamber", kind: "chamber" }], make: (d) => ({ what: "chamber-out", chamber: d.chamber ?? "" }), say: (c) => t("ui.plan.if.chamber-out.says", { chamber: c.chamber ?? "" }) },
  chambers: { fields: [{ name: "count", kind: "number" }], make: (d) => ({ what: "chambers", count: whole(d.count) }), say: (c) => t("ui.plan.if.chambers.says", { n: number(Number(c.count)) }) },
  temperature: {
    fields: [{ name: "item", kind: "growing" }, { name: "temp", kind: "number", unit: "°C" }],
    make: (d) => ({ what: "temperature", item: d.item ?? "", temp_mc: whole(d.temp, 1000) }), say: (c) => t("ui.plan.if.temperature.says", { item: c.item ?? "", temp: temperature(Number(c.temp_mc)) }),
  },
  life: {
    fields: [{ name: "item", kind: "packed" }, { name: "days", kind: "number", unit: "d" }],
    make: (d) => ({ what: "life", item: d.item ?? "", days: whole(d.days) }), say: (c) => t("ui.plan.if.life.says", { item: c.item ?? "", n: number(Number(c.days)) }),
  },
  order: {
    fields: [{ name: "item", kind: "packed" }, { name: "day", kind: "day" }, { name: "pieces", kind: "number" }],
    make: (d) => ({ what: "order", item: d.item ?? "", day: d.day ?? "", pieces: whole(d.pieces) }), say: (c) => t("ui.plan.if.order.says", { item: c.item ?? "", day: day(String(c.day)), n: number(Number(c.pieces)) }),
  },
  booked: {
    fields: [{ name: "order", kind: "order" }, { name: "pieces", kind: "number" }],
    make: (d) => ({ what: "order", order: d.order ?? "", pieces: whole(d.pieces) }), say: (c) => t("ui.plan.if.booked.says", { order: c.order ?? "", n: number(Number(c.pieces)) }),
  },
  seed: {
    fields: [{ name: "item", kind: "seed" }, { name: "kg", kind: "number", unit: "kg" }, { name: "from", kind: "day" }],
    make: (d) => ({ what: "seed", item: d.item ?? "", g: whole(d.kg, 1000), day: d.from ?? "" }), say: (c) => t("ui.plan.if.seed.says", { item: c.item ?? "", mass: mass(Number(c.g) * 1000), day: day(String(c.day)) }),
  },
  ingredient: {
    fields: [{ name: "item", kind: "ingredient" }, { name: "kg", kind: "number", unit: "kg" }, { name: "from", kind: "day" }],
    make: (d) => ({ what: "ingredient", item: d.item ?? "", g: whole(d.kg, 1000), day: d.from ?? "" }), say: (c) => t("ui.plan.if.ingredient.says", { item: c.item ?? "", mass: mass(Number(c.g) * 1000), day: day(String(c.day)) }),
  },
  work: {
    fields: [{ name: "work", kind: "work" }, { name: "amount", kind: "number" }],
    make: (d) => ({ what: "work", name: d.work ?? "", a_day_milli: whole(d.amount, 1000) }), say: (c) => t("ui.plan.if.work.says", { work: String(c.name), n: number(Number(c.a_day_milli) / 1000, 1) }),
  },
  limit: {
    fields: [{ name: "limit", kind: "limit" }, { name: "kg", kind: "number", unit: "kg" }],
    make: (d) => ({ what: "limit", name: d.limit ?? "", g: whole(d.kg, 1000) }), say: (c) => t("ui.plan.if.limit.says", { limit: t(`ui.plan.limit.${c.name}`), mass: mass(Number(c.g) * 1000) }),
  },
};

function said(c: PlanChange): string {
  const kind = c.what === "order" && c.order !== undefined ? "booked" : c.what;
  return KINDS[kind]?.say(c) ?? c.what;
}

function options(kind: string, plan: Plan, chambers: string[], house: House | null): [string, string][] {
  const items = (of: string) => (house?.items ?? []).filter((i) => i.kind === of).map((i): [string, string] => [i.code, i.code]);
  switch (kind) {
    case "chamber": return chambers.map((c) => [c, c]);
    case "order": return plan.orders.map((o) => [o.order ?? "", `${o.order ?? ""}, ${o.item}, ${day(o.day)}`]);
    case "limit": return LIMIT_NAMES.map((n) => [n, t(`ui.plan.limit.${n}`)]);
    case "work": return [...new Set(plan.capacity.flatMap((d) => d.works.map((w) => w.name)))].map((n) => [n, n]);
    case "ingredient": return [...items("ingredient"), ...items("packaging")];
    case "day": return Array.from({ length: plan.days }, (_, i) => addDays(plan.first_day, i)).map((d) => [d, day(d)]);
    default: return items(kind);
  }
}

function Add({ plan, chambers, add }: { plan: Plan; chambers: string[]; add: (c: PlanChange) => void }) {
  const house = useRead<House>("/house").data;
  const [name, setName] = useState("chamber-out");
  const [draft, setDraft] = useState<Draft>({});
  const kind = KINDS[name] as Kind;
  const value = (field: Kind["fields"][number]) => draft[field.name] ?? (field.kind === "number" ? "" : options(field.kind, plan, chambers, house)[0]?.[0] ?? "");
  const filled: Draft = Object.fromEntries(kind.fields.map((f) => [f.name, value(f)]));
  const offered = Object.entries(KINDS).filter(([, k]) => k.fields.every((f) => f.kind === "number" || options(f.kind, plan, chambers, house).length > 0));
  const isReady = kind.fields.every((f) => (f.kind === "number" ? /^\d+([.,]\d+)?$/.test(filled[f.name] ?? "") : filled[f.name] !== ""));
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
          {offered.map(([k]) => <option key={k} value={k}>{t(`ui.plan.if.${k}`)}</option>)}
        </select>
      </label>
      {kind.fields.map((f) => (
        <label key={`${name} ${f.name}`}><span>{t(`ui.plan.if.field.${f.name}`)}{f.unit ? `, ${f.unit}` : ""}</span>
          {f.kind === "number"
            ? <input type="text" inputMode="decimal" value={filled[f.name]} onInput={(e) => setDraft({ ...draft, [f.name]: e.currentTarget.value })} />
            : (
              <select value={filled[f.name]} onChange={(e) => setDraft({ ...draft, [f.name]: e.currentTarget.value })}>
                {options(f.kind, plan, chambers, house).map(([v, text]) => <option key={v} value={v}>{text}</option>)}
              </select>
            )}
        </label>
      ))}
      <button type="submit" disabled={!isReady}>{t("ui.plan.if.add")}</button>
    </form>
  );
}

/* As sure of its orders as the plan that it stands beside. */
export function Trial({ plan, chambers, service }: { plan: Plan; chambers: string[]; service: number }) {
  const [changes, setChanges] = useState<PlanChange[]>([]);
  const [job, setJob, lookProblem] = useJob(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const tryTo = (act: () => Promise<unknown>) => {
    act().then(() => setProblem(null), (error: unknown) => setProblem(asProblem(error)));
  };
  const begin = () => tryTo(async () => {
    setJob(null);
    setJob((await send<{ job: string }>("POST", "/plan", { seconds: SECONDS, trial: true, service_ppm: service, changes })).job);
  });
  const isWorking = job?.state === "working";
  return (
    <section class="plan-trial no-print">
      <h2>{t("ui.plan.if")}</h2>
      <p>{t("ui.plan.if.lead")}</p>
      <Add plan={plan} chambers={chambers} add={(c) => setChanges([...changes, c])} />
      {changes.length > 0 ? (
        <ul class="rows">
          {changes.map((c, i) => (
            <li key={i} class="row-tall"><p>{said(c)}</p><button type="button" class="plain" aria-label={`${t("ui.plan.if.remove")}: ${said(c)}`} onClick={() => setChanges(changes.filter((_, k) => k !== i))}>{t("ui.plan.if.remove")}</button></li>
          ))}
        </ul>
      ) : null}
      <div class="plan-work">
        {isWorking && job ? <Progress job={job} stop={() => tryTo(() => send("DELETE", `/plan/jobs/${job.id}`))} />
          : <button type="button" class="act" disabled={changes.length === 0} onClick={begin}>{t("ui.plan.if.begin")}</button>}
      </div>
      <ProblemNote problem={problem ?? lookProblem} />
      {job?.plan?.difference && job.plan.before ? (
        <Difference plan={job.plan} before={job.plan.before} difference={job.plan.difference} titles={[t("ui.plan.as-is"), t("ui.plan.if")]} base={job.plan.base ?? null} />
      ) : null}
    </section>
  );
}
