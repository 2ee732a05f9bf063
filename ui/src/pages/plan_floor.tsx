/* The plan against the floor: what was meant to be started, what was, and what came of it. */
import { useState } from "preact/hooks";
import { useRead } from "../api/client";
import type { PlanFloor, Tone } from "../api/types";
import { addDays, DASH, day, mass, number, percent } from "../base/format";
import { entryPath, lotPath, recordPath } from "../base/route";
import { t, tn } from "../base/words";
import { NumHead } from "../parts/ask";
import { State } from "../parts/mark";
import { Person } from "../parts/person";
import { Empty, Shown } from "../parts/read";
import { may, today } from "../shell/session";
import { Choose } from "./plan_work";

const WEEKS = ["1", "4", "12"];
const COUNTS = ["planned", "kept", "filled", "moved_chamber", "moved_day", "gone", "added", "waiting"] as const;
const TONES: Record<PlanFloor["starts"][number]["kind"], Tone> = {
  kept: "done", filled: "due", "moved-chamber": "due", "moved-day": "due", gone: "stopped", added: "due", waiting: "waiting",
};

function signed(value: number, text: (v: number) => string): string {
  return value === 0 ? text(0) : `${value > 0 ? "+" : "−"}${text(Math.abs(value))}`;
}

type Crop = PlanFloor["crops"][number];

/* Of the planned ones; one that no plan meant is none of them. */
function counted(c: Crop, name: (typeof COUNTS)[number]): string {
  const isShare = name !== "planned" && name !== "added" && c[name] > 0 && c.planned > 0;
  return isShare ? t("ui.floor.share", { n: number(c[name]), share: percent((c[name] / c.planned) * 1e6, 0) }) : number(c[name]);
}

const FIGURES: [string, (c: Crop) => string][] = [
  ...COUNTS.map((k): [string, (c: Crop) => string] => [k, (c) => counted(c, k)]),
  ["seed_diff", (c) => signed(c.seed_diff_g, (v) => mass(v * 1000))],
  ["seed_counted", (c) => percent(c.seed_counted_ppm)],
  ["harvest_days", (c) => (c.emptied > 0 ? signed(c.harvest_days / 10, (v) => number(v, 1)) : DASH)],
  ["harvest", (c) => (c.harvest_ppm === null ? DASH : percent(c.harvest_ppm))],
];

function Crops({ crops }: { crops: PlanFloor["crops"] }) {
  const how = ["how", "seed_diff.how", "seed_counted.how", "harvest_days.how", "harvest.how"].map((k) => t(`ui.floor.${k}`)).join(" ");
  return (
    <div class="wide-table" role="region" aria-label={t("ui.floor.crops")} tabIndex={0}>
      <table class="ledger plan-sums">
        <thead><tr><td />{crops.map((c) => <NumHead key={c.item} title={c.item} ask={{ how }} />)}</tr></thead>
        <tbody>
          {FIGURES.map(([name, text]) => <tr key={name}><th scope="row">{t(`ui.floor.${name}`)}</th>{crops.map((c) => <td key={c.item} class="right">{text(c)}</td>)}</tr>)}
        </tbody>
      </table>
    </div>
  );
}

const WAYS = ["filled", "moved", "gone", "added"] as const;

type Reason = PlanFloor["reasons"][number];

function reasonText(reason: string | null): string {
  return reason === null ? t("ui.floor.untold") : t(`word.departure.${reason}`);
}

function all(r: Reason): number {
  return WAYS.reduce((n, w) => n + r[w], 0);
}

/* Why, the most frequent first; what nobody told of stands last. */
function Reasons({ reasons }: { reasons: Reason[] }) {
  if (reasons.length === 0) return null;
  const sum = reasons.reduce((n, r) => n + all(r), 0);
  const sorted = [...reasons].sort((a, b) => Number(a.reason === null) - Number(b.reason === null) || all(b) - all(a));
  const how = t("ui.floor.reasons.how");
  return (
    <section class="plan-list">
      <h2>{t("ui.floor.reasons")}</h2>
      <div class="wide-table" role="region" aria-label={t("ui.floor.reasons")} tabIndex={0}>
        <table class="ledger plan-sums">
          <thead>
            <tr>
              <td />
              {[...WAYS.map((w) => t(`ui.floor.way.${w}`)), t("ui.floor.together")].map((title) => <NumHead key={title} title={title} ask={{ how }} />)}
            </tr>
          </thead>
          <tbody>
            {sorted.map((r) => (
              <tr key={r.reason ?? ""}>
                <th scope="row">{reasonText(r.reason)}</th>
                {WAYS.map((w) => <td key={w} class="right">{number(r[w])}</td>)}
                <td class="right">{t("ui.floor.share", { n: number(all(r)), share: percent((all(r) / sum) * 1e6, 0) })}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}

/* What was told of it; else the way to tell. */
function Why({ s }: { s: PlanFloor["starts"][number] }) {
  if (s.departure) {
    return (
      <p class="small">
        <a href={entryPath(s.departure.entry)}>{reasonText(s.departure.reason)}</a>{s.departure.what ? `: ${s.departure.what}` : ""} <Person n={s.departure.by} />
      </p>
    );
  }
  if (s.kind === "kept" || s.kind === "waiting" || !may("record:plan-departure")) return null;
  return <p class="no-print"><a class="button" href={recordPath("plan-departure", { place: s.place, day: s.day })} aria-label={t("ui.floor.tell.of", { place: s.place, day: day(s.day) })}>{t("ui.floor.tell")}</a></p>;
}

function Rows({ starts }: { starts: PlanFloor["starts"] }) {
  return (
    <ul class="rows">
      {starts.map((s, i) => (
        <li key={i} class="row-tall">
          <div>
            <p>
              <State tone={TONES[s.kind]} text={t(`ui.floor.kind.${s.kind}`)} /> {s.sentence}{" "}
              {s.harvested ? t("ui.floor.harvested", { day: day(s.harvested), mass: mass((s.harvest_g ?? 0) * 1000), due: s.due ? day(s.due) : DASH, expected: mass((s.expected_g ?? 0) * 1000) }) : null}
            </p>
            <Why s={s} />
          </div>
          {s.lot ? <p class="right"><a href={lotPath(s.lot)}>{s.lot}</a></p> : null}
        </li>
      ))}
    </ul>
  );
}

export function FloorPage() {
  const [weeks, setWeeks] = useState("4");
  const [isAll, setAll] = useState(false);
  const read = useRead<PlanFloor>(`/plan/floor?from=${addDays(today(), 1 - 7 * Number(weeks))}&to=${today()}`);
  return (
    <article class="plan">
      <header class="page-head">
        <h1>{t("ui.plan.floor")}</h1>
        <a class="button no-print" href="/plan">{t("ui.place.plan")}</a>
      </header>
      <p>{t("ui.floor.lead")}</p>
      <Choose label={t("ui.floor.weeks")} names={WEEKS} at={weeks} text={(w) => tn("ui.floor.weeks.n", Number(w))} set={setWeeks} />
      <Shown read={read}>
        {(floor) => (floor.starts.length === 0 ? <Empty title={t("ui.floor.none")}><p>{t("ui.floor.none.do")}</p></Empty> : (
          <>
            <Crops crops={floor.crops} />
            <Reasons reasons={floor.reasons} />
            <Choose label={t("ui.floor.which")} names={["other", "all"]} at={isAll ? "all" : "other"} text={(w) => t(`ui.floor.which.${w}`)} set={(w) => setAll(w === "all")} />
            <Rows starts={floor.starts.filter((s) => isAll || s.kind !== "kept")} />
          </>
        ))}
      </Shown>
    </article>
  );
}
