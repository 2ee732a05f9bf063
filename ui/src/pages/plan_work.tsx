/* Parts of the plan's pages for both kinds of house: the work on a plan as it goes on, and taking what it found. */
import { useEffect, useState } from "preact/hooks";
import { fetchOnce, refresh, send } from "../api/client";
import type { PlanJob, Problem } from "../api/types";
import { number, percent } from "../base/format";
import { t } from "../base/words";
import { ProblemNote } from "../parts/read";
import { asProblem } from "../shell/told";

const LOOK_MS = 500;

export function useJob(first: string | null): [PlanJob | null, (id: string | null) => void, Problem | null] {
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

/* A row of buttons of which one is pressed. */
export function Choose({ label, names, at, text, set }: {
  label: string; names: readonly string[]; at: string; text: (name: string) => string; set: (name: string) => void;
}) {
  return (
    <div class="choices no-print" role="group" aria-label={label}>
      {names.map((n) => <button type="button" key={n} aria-pressed={n === at} onClick={() => set(n)}>{text(n)}</button>)}
    </div>
  );
}

export function Progress({ job, stop }: { job: PlanJob; stop: () => void }) {
  return (
    <>
      <label class="progress"><span>{t("ui.plan.working", { n: number(job.share_ppm / 10000) })}</span>
        <progress max={1000000} value={job.share_ppm} />
      </label>
      <button type="button" onClick={stop}>{t("ui.plan.stop")}</button>
    </>
  );
}

/* readBack: what one takes, in words, before it counts. */
export function Take({ job, readBack, done }: { job: PlanJob; readBack: string; done: () => void }) {
  const [isSure, setSure] = useState(false);
  const [problem, setProblem] = useState<Problem | null>(null);
  const take = () => {
    send("POST", `/plan/jobs/${job.id}/take`, {}).then(() => {
      done();
      refresh();
    }, (error: unknown) => setProblem(asProblem(error)));
  };
  if (!isSure) return <button type="button" class="act" onClick={() => setSure(true)}>{t("ui.plan.take")}</button>;
  return (
    <div class="sure">
      <p class="read-back">{readBack}</p>
      <button type="button" onClick={() => setSure(false)}>{t("ui.cancel")}</button>
      <button type="button" class="act" onClick={take}>{t("ui.plan.take.sure")}</button>
      <ProblemNote problem={problem} />
    </div>
  );
}

/* How good it is. In money: a cost may be near nothing, since what stands at the end counts against it. */
export function HowGood({ plan }: { plan: { cost: number; bound?: number; solver_says: string | null } }) {
  const cost = number(Math.round(plan.cost));
  if (plan.bound === undefined) return <p class="no-print">{t("plan.no-bound", { cost })}{plan.solver_says ? ` ${plan.solver_says}` : ""}</p>;
  const saved = number(Math.round(Math.max(0, plan.cost - plan.bound)));
  return <p class="no-print">{t("plan.bound", { cost, bound: number(Math.round(plan.bound)), saved })}</p>;
}

const SURES = ["0", "900000", "950000", "980000", "990000"]; /* of a million of what is wanted; 0: whatever costs least */

function sureText(ppm: string): string {
  return ppm === "0" ? t("ui.plan.sure.least") : t("ui.plan.sure.level", { share: percent(Number(ppm)) });
}

/* What is asked of a plan: nothing where the profile's share will do. */
export const askedFor = (ppm: number, ofProfile: number): { service_ppm?: number } => (ppm === ofProfile ? {} : { service_ppm: ppm });

/* What share of all that is wanted is to be met; ofProfile: where nobody says otherwise. */
export function SureChoice({ at, ofProfile, set }: { at: string; ofProfile: number; set: (ppm: string) => void }) {
  const all = [...new Set([...SURES, String(ofProfile), at])].sort((x, y) => Number(x) - Number(y));
  const text = (ppm: string) => (ofProfile > 0 && Number(ppm) === ofProfile ? t("ui.plan.sure.profile", { share: percent(Number(ppm)) }) : sureText(ppm));
  return (
    <label class="plan-sure"><span>{t("ui.plan.sure")}</span>
      <select value={at} onChange={(e) => set(e.currentTarget.value)}>
        {all.map((s) => <option key={s} value={s}>{text(s)}</option>)}
      </select>
    </label>
  );
}
