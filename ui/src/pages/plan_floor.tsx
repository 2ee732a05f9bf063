/* The plan against the floor: what was meant to be started, what was, and what came of it. */
import { useState } from "preact/hooks";
import { useRead } from "../api/client";
import type { PlanFloor, Tone } from "../api/types";
import { addDays, DASH, day, mass, number, percent } from "../base/format";
import { lotPath } from "../base/route";
import { t, tn } from "../base/words";
import { NumHead } from "../parts/ask";
import { State } from "../parts/mark";
import { Empty, Shown } from "../parts/read";
import { today } from "../shell/session";
import { Choose } from "./plan";

const WEEKS = ["1", "4", "12"];
const COUNTS = ["planned", "kept", "filled", "moved_chamber", "moved_day", "gone", "added", "waiting"] as const;
const TONES: Record<PlanFloor["starts"][number]["kind"], Tone> = {
  kept: "done", filled: "due", "moved-chamber": "due", "moved-day": "due", gone: "stopped", added: "due", waiting: "waiting",
};

function signed(value: number, text: (v: number) => string): string {
  return value === 0 ? text(0) : `${value > 0 ? "+" : "−"}${text(Math.abs(value))}`;
}

type Crop = PlanFloor["crops"][number];

const FIGURES: [string, (c: Crop) => string][] = [
  ...COUNTS.map((k): [string, (c: Crop) => string] => [k, (c) => number(c[k])]),
  ["seed_diff", (c) => signed(c.seed_diff_g, (v) => mass(v * 1000))],
  ["harvest_days", (c) => (c.emptied > 0 ? signed(c.harvest_days / 10, (v) => number(v, 1)) : DASH)],
  ["harvest", (c) => (c.harvest_ppm === null ? DASH : percent(c.harvest_ppm))],
];

function Crops({ crops }: { crops: PlanFloor["crops"] }) {
  const how = ["how", "seed_diff.how", "harvest_days.how", "harvest.how"].map((k) => t(`ui.floor.${k}`)).join(" ");
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

function Rows({ starts }: { starts: PlanFloor["starts"] }) {
  return (
    <ul class="rows">
      {starts.map((s, i) => (
        <li key={i} class="row-tall">
          <p>
            <State tone={TONES[s.kind]} text={t(`ui.floor.kind.${s.kind}`)} /> {s.sentence}{" "}
            {s.harvested ? t("ui.floor.harvested", { day: day(s.harvested), mass: mass((s.harvest_g ?? 0) * 1000), due: s.due ? day(s.due) : DASH, expected: mass((s.expected_g ?? 0) * 1000) }) : null}
          </p>
          {s.lot ? <p><a href={lotPath(s.lot)}>{s.lot}</a></p> : null}
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
            <Choose label={t("ui.floor.which")} names={["other", "all"]} at={isAll ? "all" : "other"} text={(w) => t(`ui.floor.which.${w}`)} set={(w) => setAll(w === "all")} />
            <Rows starts={floor.starts.filter((s) => isAll || s.kind !== "kept")} />
          </>
        ))}
      </Shown>
    </article>
  );
}
