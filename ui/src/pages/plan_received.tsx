/* The plan of a house that receives fruit: what is taken and what it gives, a new one worked out beside it, how it differs, taking it. */
import { useState } from "preact/hooks";
import { send } from "../api/client";
import type { PlanJob, Problem, ReceivedPlan, TakenPlan } from "../api/types";
import { dateTime, day, number } from "../base/format";
import { t } from "../base/words";
import { Mark } from "../parts/mark";
import { Empty, ProblemNote } from "../parts/read";
import { ReceivedKey, ReceivedPicture } from "../plan/received_draw";
import { may, today } from "../shell/session";
import { asProblem } from "../shell/told";
import { Promised } from "./plan_parts";
import { ReceivedDifference } from "./plan_received_differ";
import { Buy, ComingIn, Counted, HowSure, OfToday, ReceivedOrders, ReceivedShorts, ReceivedTables, receivedWanted, ToDo } from "./plan_received_parts";
import { ReceivedTrial } from "./plan_received_trial";
import { askedFor, Choose, HowGood, Progress, SureChoice, Take, useJob } from "./plan_work";

const SECONDS = 30;

function Work({ job, ofProfile, setJob }: { job: PlanJob | null; ofProfile: number; setJob: (id: string | null) => void }) {
  const [problem, setProblem] = useState<Problem | null>(null);
  const tryTo = (act: () => Promise<unknown>) => {
    act().then(() => setProblem(null), (error: unknown) => setProblem(asProblem(error)));
  };
  const [chosen, setSure] = useState<string | null>(null);
  const sure = chosen ?? String(job?.service_ppm ?? ofProfile);
  const begin = () => tryTo(async () => setJob((await send<{ job: string }>("POST", "/plan", { seconds: SECONDS, ...askedFor(Number(sure), ofProfile) })).job));
  return (
    <section class="plan-work no-print">
      {job?.state === "working" ? <Progress job={job} stop={() => tryTo(() => send("DELETE", `/plan/jobs/${job.id}`))} /> : (
        <>
          <SureChoice at={sure} ofProfile={ofProfile} set={setSure} />
          <button type="button" class={job?.received ? "" : "act"} onClick={begin}>{t(job ? "ui.plan.anew" : "ui.plan.begin")}</button>
        </>
      )}
      {job?.received ? <Take job={job} done={() => setJob(null)}
        readBack={t("ui.received.take.read", { met: number(job.received.sums.booked_met), booked: number(job.received.sums.booked) })} /> : null}
      <ProblemNote problem={problem} />
    </section>
  );
}

/* With care the distance to the bound is not what could be saved. */
function Good({ plan }: { plan: ReceivedPlan }) {
  if (plan.bound === undefined || !plan.care || plan.care.level_milli === null) return <HowGood plan={plan} />;
  return <p>{t("received.care.bound", { cost: number(Math.round(plan.cost)), bound: number(Math.round(plan.bound)) })}</p>;
}

function Board({ plan }: { plan: ReceivedPlan }) {
  const [item, setItem] = useState("");
  const items = [...new Set(plan.supply.map((s) => s.item))];
  return (
    <>
      {items.length > 1 ? <Choose label={t("ui.item")} names={["", ...items]} at={item} text={(i) => (i === "" ? t("ui.every") : i)} set={setItem} /> : null}
      <ReceivedKey />
      <ReceivedPicture plan={plan} item={item} label={t("ui.received.picture")} asked={(b) => receivedWanted(b, item || t("ui.plan.packs"))} />
      {plan.closed.length > 0 ? <section><h2>{t("ui.plan.closed")}</h2><ul class="plain-list">{plan.closed.map((c) => <li key={c.day}>{c.sentence}</li>)}</ul></section> : null}
      <ReceivedTables plan={plan} item={item} />
    </>
  );
}

function Which({ taken, isNew }: { taken: TakenPlan; isNew: boolean }) {
  const at = taken.received?.taken;
  if (isNew) return <p class="plan-which">{t("ui.plan.shown.new")}</p>;
  if (!at) return <Empty title={t("ui.plan.empty")}><p>{t("ui.received.empty.do")}</p></Empty>;
  return (
    <p class="plan-which">
      {t("ui.plan.shown.taken", { day: day(today()) })} <a href={`/daybook/${at.entry}`}>{t("ui.received.taken", { when: dateTime(at.at_ms) })}</a>
    </p>
  );
}

export function ReceivedView({ taken }: { taken: TakenPlan }) {
  const [job, setJob, problem] = useJob(taken.job?.id ?? null);
  const made = job?.received ?? null;
  const plan = made ?? taken.received;
  return (
    <>
      {may("plan") ? <Work key={job?.id ?? ""} job={job} ofProfile={taken.service_ppm} setJob={setJob} /> : null}
      <ProblemNote problem={problem} />
      {plan ? <Which taken={taken} isNew={made !== null} /> : <Empty title={t("ui.received.not-yet")}><p>{t("ui.received.not-yet.do")}</p></Empty>}
      {made ? <Good plan={made} /> : null}
      {plan ? (
        <>
          <Board plan={plan} />
          {plan.supply.length === 0 ? <p class="note"><Mark tone="waiting" /><span>{t("ui.received.no-demand")}</span></p> : <ReceivedShorts plan={plan} />}
          <div class="plan-beside-paper">
            <HowSure plan={plan} />
            <OfToday plan={plan} />
            <ToDo plan={plan} />
          </div>
          <ComingIn plan={plan} />
          <Buy plan={plan} />
          <Counted plan={plan} />
        </>
      ) : null}
      {made?.difference && made.before ? <ReceivedDifference plan={made} before={made.before} difference={made.difference} titles={[t("ui.plan.now"), t("ui.plan.new")]} /> : null}
      {made ? <ReceivedOrders plan={made} /> : <Promised taken={taken} />}
      {may("plan") && plan ? <ReceivedTrial plan={plan} asked={job ? askedFor(job.service_ppm, taken.service_ppm) : {}} /> : null}
    </>
  );
}
