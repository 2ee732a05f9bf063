/* What if, for both kinds of house: changes gathered one by one, and what the plan would be with them. Nothing of it is recorded. */
import { useState } from "preact/hooks";
import type { ComponentChildren } from "preact";
import { send } from "../api/client";
import type { PlanChange, PlanJob, Problem } from "../api/types";
import { t } from "../base/words";
import { ProblemNote } from "../parts/read";
import { asProblem } from "../shell/told";
import { Progress, useJob } from "./plan_work";

const SECONDS = 10;

export type Draft = Record<string, string>;

/* Of: what the choices are read from. */
export interface Field<Of> {
  name: string;
  options?: (of: Of, d: Draft) => [string, string][]; /* nothing: a number */
  unit?: (of: Of, d: Draft) => string;
  usual?: string; /* of a number: what stands there first */
}

export interface Kind<Of> {
  fields: Field<Of>[];
  make: (d: Draft) => PlanChange;
  say: (c: PlanChange, of: Of) => string;
}

interface Panel<Of> {
  of: Of;
  kinds: Record<string, Kind<Of>>;
  kindOf: (c: PlanChange) => string; /* a name of kinds */
  title: (kind: string) => string;
  label: (field: string) => string;
}

export const whole = (text: string | undefined, times = 1) => Math.round(Number((text ?? "").replace(",", ".")) * times);

/* What was chosen stays as long as it is one of the choices. */
function valueOf<Of>(f: Field<Of>, of: Of, filled: Draft, drafted: string | undefined): string {
  if (!f.options) return drafted ?? f.usual ?? "";
  const choices = f.options(of, filled).map(([v]) => v);
  return drafted !== undefined && choices.includes(drafted) ? drafted : choices[0] ?? "";
}

function Add<Of>({ panel, add }: { panel: Panel<Of>; add: (c: PlanChange) => void }) {
  const { of, kinds } = panel;
  const offered = Object.keys(kinds).filter((k) => kinds[k]?.fields.every((f) => !f.options || f.options(of, {}).length > 0));
  const [name, setName] = useState(offered[0] ?? "");
  const [draft, setDraft] = useState<Draft>({});
  const kind = kinds[name];
  if (!kind) return null;
  const filled: Draft = {};
  for (const f of kind.fields) filled[f.name] = valueOf(f, of, filled, draft[f.name]);
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
          {offered.map((k) => <option key={k} value={k}>{panel.title(k)}</option>)}
        </select>
      </label>
      {kind.fields.map((f) => (
        <label key={`${name} ${f.name}`}><span>{panel.label(f.name)}{f.unit ? `, ${f.unit(of, filled)}` : ""}</span>
          {f.options ? (
            <select value={filled[f.name]} onChange={(e) => setDraft({ ...draft, [f.name]: e.currentTarget.value })}>
              {f.options(of, filled).map(([v, text]) => <option key={v} value={v}>{text}</option>)}
            </select>
          ) : <input type="text" inputMode="decimal" value={filled[f.name]} onInput={(e) => setDraft({ ...draft, [f.name]: e.currentTarget.value })} />}
        </label>
      ))}
      <button type="submit" disabled={!isReady}>{t("ui.plan.if.add")}</button>
    </form>
  );
}

/* asked: what is asked beside the changes. */
export function WhatIf<Of>({ panel, asked, result }: { panel: Panel<Of>; asked?: { service_ppm?: number }; result: (job: PlanJob) => ComponentChildren }) {
  const [changes, setChanges] = useState<PlanChange[]>([]);
  const [job, setJob, lookProblem] = useJob(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const said = (c: PlanChange) => panel.kinds[panel.kindOf(c)]?.say(c, panel.of) ?? c.what;
  const tryTo = (act: () => Promise<unknown>) => {
    act().then(() => setProblem(null), (error: unknown) => setProblem(asProblem(error)));
  };
  const begin = () => tryTo(async () => {
    setJob(null);
    setJob((await send<{ job: string }>("POST", "/plan", { seconds: SECONDS, trial: true, ...asked, changes })).job);
  });
  return (
    <section class="plan-trial no-print" id="what-if">
      <h2>{t("ui.plan.if")}</h2>
      <p>{t("ui.plan.if.lead")}</p>
      <Add panel={panel} add={(c) => setChanges([...changes, c])} />
      {changes.length > 0 ? (
        <ul class="rows">
          {changes.map((c, i) => (
            <li key={i} class="row-tall"><p>{said(c)}</p><button type="button" class="plain" aria-label={`${t("ui.plan.if.remove")}: ${said(c)}`} onClick={() => setChanges(changes.filter((_, k) => k !== i))}>{t("ui.plan.if.remove")}</button></li>
          ))}
        </ul>
      ) : null}
      <div class="plan-work">
        {job?.state === "working" ? <Progress job={job} stop={() => tryTo(() => send("DELETE", `/plan/jobs/${job.id}`))} />
          : <button type="button" class="act" disabled={changes.length === 0} onClick={begin}>{t("ui.plan.if.begin")}</button>}
      </div>
      <ProblemNote problem={problem ?? lookProblem} />
      {job ? result(job) : null}
    </section>
  );
}
