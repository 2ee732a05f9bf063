/* Plan: what is taken and what it gives; a new plan worked out while one waits, how it differs, and taking it; what if. */
import { useMemo, useState } from "preact/hooks";
import { send, useRead } from "../api/client";
import type { Closed, Chamber, Plan, PlanFloor, PlanJob, Problem, TakenPlan } from "../api/types";
import { addDays, day, daysBetween, number } from "../base/format";
import { t, tn } from "../base/words";
import { Empty, ProblemNote, Shown } from "../parts/read";
import { bars, limits, strips, usesOf } from "../plan/layout";
import { PlanKey, PlanPicture } from "../plan/draw";
import { may, today } from "../shell/session";
import { asProblem } from "../shell/told";
import { Difference } from "./plan_differ";
import { BarTable, Growing, LimitTable, Orders, OtherDays, Promised, Purchases, Rehearsed, Retests, Shorts, Starts, startsOf, Sure, UseTable, wanted } from "./plan_parts";
import { ReceivedView } from "./plan_received";
import { Trial } from "./plan_trial";
import { askedFor, Choose, HowGood, Progress, SureChoice, Take, useJob } from "./plan_work";

const SECONDS = 30;

const KEEPS = ["most", "balance", "best"] as const;

function Work({ job, ofProfile, setJob }: { job: PlanJob | null; ofProfile: number; setJob: (id: string | null) => void }) {
  const [problem, setProblem] = useState<Problem | null>(null);
  const [keep, setKeep] = useState<string>(job?.keep ?? "balance");
  const [chosen, setSure] = useState<string | null>(null);
  const sure = chosen ?? String(job?.service_ppm ?? ofProfile);
  const tryTo = (act: () => Promise<unknown>) => {
    act().then(() => setProblem(null), (error: unknown) => setProblem(asProblem(error)));
  };
  const begin = () => tryTo(async () => setJob((await send<{ job: string }>("POST", "/plan", { seconds: SECONDS, keep, ...askedFor(Number(sure), ofProfile) })).job));
  return (
    <section class="plan-work no-print">
      {job?.state === "working" ? <Progress job={job} stop={() => tryTo(() => send("DELETE", `/plan/jobs/${job.id}`))} /> : (
        <>
          <Choose label={t("ui.plan.keep")} names={KEEPS} at={keep} text={(k) => t(`ui.plan.keep.${k}`)} set={setKeep} />
          <SureChoice at={sure} ofProfile={ofProfile} set={setSure} />
          <button type="button" class={job?.plan ? "" : "act"} onClick={begin}>{t(job ? "ui.plan.anew" : "ui.plan.begin")}</button>
        </>
      )}
      {job?.plan ? <Take job={job} readBack={tn("ui.plan.take.read", job.plan.starts.filter((s) => !s.taken_before).length)} done={() => setJob(null)} /> : null}
      <ProblemNote problem={problem} />
    </section>
  );
}

/* What the picture's hatched days are closed for. */
function ClosedList({ closed }: { closed: (Closed | null)[] }) {
  const list = closed.flatMap((c) => (c ? [c.sentence] : []));
  if (list.length === 0) return null;
  return (
    <section>
      <h2>{t("ui.plan.closed")}</h2>
      <ul class="plain-list">{list.map((s) => <li key={s}>{s}</li>)}</ul>
    </section>
  );
}

/* What standing orders ask for beyond the order book, by item and group. */
function StandingList({ plan }: { plan: Plan }) {
  const sums = new Map<string, number>();
  for (const d of plan.demand) if (d.standing > 0) sums.set(`${d.item}, ${d.group}`, (sums.get(`${d.item}, ${d.group}`) ?? 0) + d.standing);
  if (sums.size === 0) return null;
  return (
    <section>
      <h2>{t("ui.plan.standing")}</h2>
      <ul class="plain-list">{[...sums].map(([what, n]) => <li key={what}>{t("ui.plan.standing.of", { what, n: number(n), days: number(plan.days) })}</li>)}</ul>
    </section>
  );
}

/* The whole board of one plan. */
function Board({ plan, taken, chambers }: { plan: Plan | null; taken: TakenPlan; chambers: string[] }) {
  const [item, setItem] = useState("");
  const firstTaken = taken.taken.reduce((m, s) => (s.day < m ? s.day : m), today());
  const first = plan ? plan.first_day : firstTaken < addDays(today(), -10) ? addDays(today(), -10) : firstTaken;
  const days = plan ? plan.days : Math.max(14, daysBetween(first, today()) + 14);
  const rows = useMemo(() => strips(usesOf(plan, taken.taken), first, days, chambers), [plan, taken, first, days, chambers]);
  const items = [...new Set((plan?.supply ?? []).map((s) => s.item))];
  const list = plan ? bars(plan, item) : null;
  const caps = plan ? limits(plan) : [];
  const closed = plan ? plan.capacity.map((c) => c.closed) : [];
  return (
    <>
      {items.length > 1 ? <Choose label={t("ui.item")} names={["", ...items]} at={item} text={(i) => (i === "" ? t("ui.every") : i)} set={setItem} /> : null}
      <PlanKey hasBars hasClosed={closed.some((c) => c !== null)} />
      <PlanPicture bars={list} strips={rows} limits={caps} closed={closed} first={first} days={days} label={t("ui.plan.picture")} asked={(b) => wanted(b, item, item || t("ui.plan.packs"))} />
      <ClosedList closed={closed} />
      <div class="plan-tables no-print">
        {list ? <BarTable list={list} item={item} /> : null}
        <UseTable strips={rows} first={first} />
        {plan ? <LimitTable plan={plan} limits={caps} /> : null}
      </div>
      {plan ? <StandingList plan={plan} /> : null}
      {plan ? <Shorts plan={plan} /> : null}
    </>
  );
}

/* How well the floor kept to the plan lately; the way to the list. */
function FloorLine() {
  const floor = useRead<PlanFloor>(`/plan/floor?from=${addDays(today(), -7)}&to=${addDays(today(), -1)}`).data;
  const sum = (name: "planned" | "kept") => (floor?.crops ?? []).reduce((n, c) => n + c[name], 0);
  return sum("planned") === 0 ? null : <p><a href="/plan/floor">{t("ui.floor.week", { kept: number(sum("kept")), planned: number(sum("planned")) })}</a></p>;
}

function View({ taken, chambers }: { taken: TakenPlan; chambers: string[] }) {
  const [job, setJob, problem] = useJob(taken.job?.id ?? null);
  const plan = job?.plan ?? taken.plan;
  const isEmpty = !job?.plan && taken.taken.length === 0;
  return (
    <>
      {may("plan") ? <Work key={job?.id ?? ""} job={job} ofProfile={taken.service_ppm} setJob={setJob} /> : null}
      <ProblemNote problem={problem} />
      {isEmpty ? <Empty title={t("ui.plan.empty")}><p>{t("ui.plan.empty.do")}</p></Empty> : <p class="plan-which">{t(job?.plan ? "ui.plan.shown.new" : "ui.plan.shown.taken", { day: day(today()) })}</p>}
      {job?.plan ? <Sure plan={job.plan} asked={job.service_ppm} ofProfile={job.service_of_profile} /> : null}
      {job?.plan ? <HowGood plan={job.plan} /> : null}
      <FloorLine />
      {may("plan") && plan ? <p class="no-print"><a href="#what-if">{t("ui.plan.if.go")}</a></p> : null}
      {isEmpty && !plan ? null : <Board plan={plan} taken={taken} chambers={chambers} />}
      {job?.plan?.difference && job.plan.before ? <Difference plan={job.plan} before={job.plan.before} difference={job.plan.difference} titles={[t("ui.plan.now"), t("ui.plan.new")]} /> : null}
      {plan ? <Rehearsed plan={plan} /> : null}
      {plan ? <Purchases plan={plan} /> : null}
      {job?.plan ? <Orders plan={job.plan} /> : <Promised taken={taken} />}
      {plan ? <OtherDays plan={plan} /> : null}
      {plan ? <Growing plan={plan} /> : null}
      {plan ? <Retests plan={plan} /> : null}
      {isEmpty ? null : <Starts starts={startsOf(job?.plan ?? null, taken)} />}
      {may("plan") && plan ? <Trial plan={plan} chambers={chambers} asked={job ? askedFor(job.service_ppm, taken.service_ppm) : {}} /> : null}
    </>
  );
}

export function PlanPage() {
  const read = useRead<TakenPlan>("/plan");
  const chambers = useRead<{ chambers: Chamber[] }>("/chambers");
  const names = useMemo(() => (chambers.data?.chambers ?? []).map((c) => c.place), [chambers.data]);
  return (
    <article class={read.data?.receives ? "plan plan-fruit" : "plan"}>
      <header class="page-head">
        <h1>{t("ui.place.plan")}</h1>
        <nav class="plan-ways no-print" aria-label={t("ui.plan.ways")}>
          <a class="button" href="/plan/orders">{t("ui.orders.title")}</a>
          {read.data?.receives ? null : (
            <>
              <a class="button" href="/plan/day">{t("ui.place.lines")}</a>
              <a class="button" href="/plan/floor">{t("ui.plan.floor")}</a>
            </>
          )}
        </nav>
      </header>
      <Shown read={read}>{(taken) => (taken.receives
        ? <ReceivedView key={taken.job?.id ?? "taken"} taken={taken} />
        : <View key={taken.job?.id ?? "taken"} taken={taken} chambers={names} />)}</Shown>
    </article>
  );
}
