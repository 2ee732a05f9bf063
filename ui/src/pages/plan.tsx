/* Plan: what is taken, a new plan worked out while one waits, why it is short, and taking it. */
import { useEffect, useMemo, useState } from "preact/hooks";
import { fetchOnce, refresh, send, useRead } from "../api/client";
import type { Chamber, Plan, PlanJob, Problem, TakenPlan } from "../api/types";
import { addDays, day, daysBetween, mass, number } from "../base/format";
import { t, tn } from "../base/words";
import { Num, type Question } from "../parts/ask";
import { Mark } from "../parts/mark";
import { Empty, ProblemNote, Shown } from "../parts/read";
import { bars, type DayBar, strips, usesOf } from "../plan/layout";
import { PlanKey, PlanPicture } from "../plan/draw";
import { isNow, shown } from "../shell/day";
import { may, today } from "../shell/session";
import { asProblem } from "../shell/told";

const SECONDS = 30;
const LOOK_MS = 500;

function useJob(first: string | null): [PlanJob | null, (id: string | null) => void, Problem | null] {
  const [id, setId] = useState<string | null>(first);
  const [job, setJob] = useState<PlanJob | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  useEffect(() => {
    if (id === null) {
      setJob(null);
      return undefined;
    }
    let isOn = true;
    const look = async () => {
      while (isOn) {
        try {
          const next = await fetchOnce<PlanJob>(`/plan/jobs/${id}`);
          if (!isOn) return;
          setJob(next);
          setProblem(next.problem);
          if (next.state !== "working") return;
        } catch (error) {
          setProblem(asProblem(error));
          return;
        }
        await new Promise((done) => setTimeout(done, LOOK_MS));
      }
    };
    void look();
    return () => {
      isOn = false;
    };
  }, [id]);
  return [job, setId, problem];
}

function Work({ job, setJob }: { job: PlanJob | null; setJob: (id: string | null) => void }) {
  const [problem, setProblem] = useState<Problem | null>(null);
  const [isSure, setSure] = useState(false);
  const tryTo = (act: () => Promise<unknown>) => {
    act().then(() => setProblem(null), (error: unknown) => setProblem(asProblem(error)));
  };
  const begin = () => tryTo(async () => setJob((await send<{ job: string }>("POST", "/plan", { seconds: SECONDS })).job));
  const take = () => tryTo(async () => {
    await send("POST", `/plan/jobs/${job?.id ?? ""}/take`, {});
    setSure(false);
    setJob(null);
    refresh();
  });
  const isWorking = job?.state === "working";
  return (
    <section class="plan-work no-print">
      {isWorking && job ? (
        <>
          <label class="progress"><span>{t("ui.plan.working", { n: number(job.share_ppm / 10000) })}</span>
            <progress max={1000000} value={job.share_ppm} />
          </label>
          <button type="button" onClick={() => tryTo(() => send("DELETE", `/plan/jobs/${job.id}`))}>{t("ui.plan.stop")}</button>
        </>
      ) : <button type="button" class={job?.plan ? "" : "act"} onClick={begin}>{t(job ? "ui.plan.anew" : "ui.plan.begin")}</button>}
      {job?.plan && !isSure ? <button type="button" class="act" onClick={() => setSure(true)}>{t("ui.plan.take")}</button> : null}
      {job?.plan && isSure ? (
        <div class="sure">
          <p class="read-back">{tn("ui.plan.take.read", job.plan.starts.filter((s) => !s.taken_before).length)}</p>
          <button type="button" onClick={() => setSure(false)}>{t("ui.cancel")}</button>
          <button type="button" class="act" onClick={take}>{t("ui.plan.take.sure")}</button>
        </div>
      ) : null}
      <ProblemNote problem={problem} />
    </section>
  );
}

function Shorts({ plan }: { plan: Plan }) {
  if (plan.shorts.length === 0) return <p class="note note-done"><Mark tone="done" /><span>{t("ui.plan.enough")}</span></p>;
  return (
    <section>
      <h2>{tn("ui.plan.why", plan.shorts.length)}</h2>
      <ul class="rows">
        {plan.shorts.map((s, i) => (
          <li key={i} class="row-tall">
            <Mark tone={s.forecast ? "waiting" : "due"} />
            <p>{s.sentence}</p>
            <p class="right">
              <Num value={`−${number(s.pieces)}`} ask={{ title: `${s.item}, ${day(s.day)}`, how: t("ui.plan.short.how"), about: "orders", of: s.day, with: s.item }} />
              <br /><span class="small">{s.item}, {day(s.day)}</span>
            </p>
          </li>
        ))}
      </ul>
    </section>
  );
}

interface Start {
  day: string;
  place: string;
  item: string;
  seed: string;
  mg: number;
  harvest: string;
  isTaken: boolean;
}

function startsOf(plan: Plan | null, taken: TakenPlan): Start[] {
  return plan
    ? plan.starts.map((s) => ({ day: s.soak, place: s.chamber, item: s.item, seed: s.seed.map((x) => x.lot).join(", "), mg: s.seed_g * 1000, harvest: s.harvest, isTaken: s.taken_before }))
    : taken.taken.map((s) => ({ day: s.day, place: s.place, item: s.item, seed: s.seed_lot ?? "–", mg: s.seed_mg, harvest: addDays(s.day, s.grow_days), isTaken: true }));
}

function seedAsk(s: Start): Question {
  const title = `${t("ui.plan.seed")}, ${s.place}, ${day(s.day)}`;
  return s.isTaken ? { title, about: "start", of: s.day, with: s.place } : { title, how: t("ui.plan.start.how"), calc: "seed-needed" };
}

function Starts({ starts }: { starts: Start[] }) {
  const ahead = isNow.value ? starts.filter((s) => s.day >= today()) : starts.filter((s) => s.day === shown.value);
  const sorted = [...ahead].sort((a, b) => a.day.localeCompare(b.day) || a.place.localeCompare(b.place, "en", { numeric: true }));
  return (
    <section>
      <h2>{isNow.value ? t("ui.plan.starts") : t("ui.plan.starts.of", { day: day(shown.value) })}</h2>
      {sorted.length === 0 ? <p>{t("ui.plan.starts.none")}</p> : (
        <div class="wide-table" role="region" aria-label={t("ui.plan.starts")} tabIndex={0}>
          <table class="ledger ledger-cards">
            <thead><tr><th scope="col">{t("ui.plan.soak")}</th><th scope="col">{t("ui.chamber")}</th><th scope="col">{t("ui.item")}</th><th scope="col">{t("ui.plan.seed-lot")}</th><th scope="col" class="right">{t("ui.plan.seed")}</th><th scope="col">{t("ui.plan.harvest")}</th></tr></thead>
            <tbody>
              {sorted.map((s) => (
                <tr key={`${s.day} ${s.place}`}>
                  <th scope="row">{day(s.day)}</th><td data-name={t("ui.chamber")}>{s.place}</td><td data-name={t("ui.item")}>{s.item}</td>
                  <td data-name={t("ui.plan.seed-lot")}>{s.seed}</td><td data-name={t("ui.plan.seed")} class="right"><Num plain value={mass(s.mg)} ask={seedAsk(s)} /></td><td data-name={t("ui.plan.harvest")}>{day(s.harvest)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
    </section>
  );
}

/* A day's bars: what is wanted, what is there, what is short. */
function wanted(b: DayBar, item: string, title: string): Question {
  return {
    title: `${title}, ${day(b.day)}`, about: "orders", of: b.day, with: item,
    inputs: [
      { name: t("ui.plan.key.booked"), value: number(b.booked) }, { name: t("ui.plan.orders"), value: number(b.orders) },
      { name: t("ui.plan.key.supply"), value: number(b.supply) }, { name: t("ui.plan.key.short"), value: number(b.short) },
    ],
  };
}

function BarTable({ plan, item }: { plan: Plan; item: string }) {
  return (
    <details class="chart-table">
      <summary>{t("ui.chart.table")}</summary>
      <div class="wide-table" role="region" aria-label={t("ui.plan.picture")} tabIndex={0}>
        <table class="ledger">
          <thead><tr><th scope="col">{t("ui.day")}</th><th scope="col" class="right">{t("ui.plan.key.booked")}</th><th scope="col" class="right">{t("ui.plan.orders")}</th><th scope="col" class="right">{t("ui.plan.key.supply")}</th><th scope="col" class="right">{t("ui.plan.key.short")}</th></tr></thead>
          <tbody>
            {bars(plan, item).map((b) => (
              <tr key={b.day}>
                <th scope="row">{day(b.day)}</th>
                <td class="right"><Num plain value={number(b.booked)} ask={wanted(b, item, t("ui.plan.key.booked"))} /></td>
                <td class="right"><Num plain value={number(b.orders)} ask={wanted(b, item, t("ui.plan.orders"))} /></td>
                <td class="right"><Num plain value={number(b.supply)} ask={{ title: `${t("ui.plan.key.supply")}, ${day(b.day)}`, about: "supply", of: b.day, with: item }} /></td>
                <td class="right"><Num plain value={number(b.short)} ask={wanted(b, item, t("ui.plan.key.short"))} /></td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  );
}

function View({ taken, chambers }: { taken: TakenPlan; chambers: string[] }) {
  const [job, setJob, problem] = useJob(taken.job?.id ?? null);
  const [item, setItem] = useState("");
  const plan = job?.plan ?? null;
  const firstTaken = taken.taken.reduce((m, s) => (s.day < m ? s.day : m), today());
  const first = plan ? plan.first_day : firstTaken < addDays(today(), -10) ? addDays(today(), -10) : firstTaken;
  const days = plan ? plan.days : Math.max(14, daysBetween(first, today()) + 14);
  const rows = useMemo(() => strips(usesOf(plan, taken.taken), first, days, chambers), [plan, taken, first, days, chambers]);
  const items = [...new Set((plan?.supply ?? []).map((s) => s.item))];
  const isEmpty = !plan && taken.taken.length === 0;
  return (
    <>
      {may("plan") ? <Work job={job} setJob={setJob} /> : null}
      <ProblemNote problem={problem} />
      {isEmpty ? <Empty title={t("ui.plan.empty")}><p>{t("ui.plan.empty.do")}</p></Empty> : (
        <>
          {plan && items.length > 1 ? (
            <div class="choices no-print" role="group" aria-label={t("ui.item")}>
              {["", ...items].map((i) => <button type="button" key={i} aria-pressed={i === item} onClick={() => setItem(i)}>{i === "" ? t("ui.every") : i}</button>)}
            </div>
          ) : null}
          {plan ? <PlanKey /> : null}
          <PlanPicture bars={plan ? bars(plan, item) : null} strips={rows} first={first} days={days} label={t("ui.plan.picture")} asked={(b) => wanted(b, item, item || t("ui.plan.packs"))} />
          {plan ? <BarTable plan={plan} item={item} /> : null}
          {plan ? <Shorts plan={plan} /> : null}
          <Starts starts={startsOf(plan, taken)} />
        </>
      )}
    </>
  );
}

export function PlanPage() {
  const read = useRead<TakenPlan>("/plan");
  const chambers = useRead<{ chambers: Chamber[] }>("/chambers");
  const names = useMemo(() => (chambers.data?.chambers ?? []).map((c) => c.place), [chambers.data]);
  return (
    <article class="plan">
      <header class="page-head">
        <h1>{t("ui.place.plan")}</h1>
        <a class="button no-print" href="/plan/orders">{t("ui.orders.title")}</a>
      </header>
      <Shown read={read}>{(taken) => <View key={taken.job?.id ?? "taken"} taken={taken} chambers={names} />}</Shown>
    </article>
  );
}
