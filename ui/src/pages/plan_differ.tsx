/* How one plan differs from another: in figures side by side, as a picture, in words. */
import type { Plan, PlanDifference, PlanSums } from "../api/types";
import { mass, number } from "../base/format";
import { t, tn } from "../base/words";
import { bars, strips, usesOfDifference } from "../plan/layout";
import { PlanKey, PlanPicture } from "../plan/draw";
import type { OfDay } from "./plan_parts";
import { ByDay, wanted } from "./plan_parts";
import { SumTable } from "./plan_sums";

const FIGURES: [keyof PlanSums, (v: number) => string][] = [
  ["wanted", number], ["met", number], ["booked", number], ["booked_met", number], ["short_orders", number], ["starts", number],
  ["seed_g", (v) => mass(v * 1000)], ["packed_g", (v) => mass(v * 1000)],
];

function said(of: string, key: string | number, sentence: string): OfDay {
  return { day: of, row: <li key={key} class="row-tall"><p>{sentence}</p></li> };
}

export function Difference({ plan, before, difference, titles, base }: {
  plan: Plan; before: PlanSums; difference: PlanDifference; titles: [string, string]; base?: Plan | null;
}) {
  const changed = difference.starts.filter((s) => s.kind !== "kept");
  const rows = strips(usesOfDifference(difference), plan.first_day, plan.days, [], true);
  const both: [string, Plan][] = base ? [[titles[0], base], [titles[1], plan]] : [];
  return (
    <section class="plan-differ">
      <h2>{t("ui.plan.compare")}</h2>
      <SumTable rows={FIGURES.map(([name, text]) => ({ title: t(`ui.plan.sum.${name}`), before: before[name], after: plan.sums[name], text }))} titles={titles} />
      <p>
        {[
          tn("ui.plan.differ.kept", difference.kept), tn("ui.plan.differ.added", difference.added), tn("ui.plan.differ.gone", difference.gone),
          tn("ui.plan.differ.moved", difference.moved), tn("ui.plan.differ.filled", difference.filled),
        ].join(", ")}.
      </p>
      {both.length > 0 ? (
        <div class="plan-beside">
          {both.map(([title, p]) => (
            <div key={title}>
              <h3>{title}</h3>
              <PlanPicture bars={bars(p, "")} strips={[]} limits={[]} first={p.first_day} days={p.days} label={`${t("ui.plan.picture")}: ${title}`} asked={(b) => wanted(b, "", title)} />
            </div>
          ))}
        </div>
      ) : null}
      {changed.length > 0 ? (
        <>
          <PlanKey hasBars={false} />
          <PlanPicture bars={null} strips={rows} limits={[]} first={plan.first_day} days={plan.days} label={`${t("ui.plan.differ.picture")}: ${titles.join(", ")}`} asked={(b) => wanted(b, "", "")} />
          <ByDay rows={changed.map((s, i) => said((s.after ?? s.before)?.day ?? "", i, s.sentence))} />
        </>
      ) : null}
      {difference.harvests.length > 0 ? (
        <>
          <h3>{tn("ui.plan.differ.harvests", difference.harvests.length)}</h3>
          <ByDay rows={difference.harvests.map((h) => said(h.after, h.lot, h.sentence))} />
        </>
      ) : null}
      {difference.lines.length > 0 ? (
        <>
          <h3>{tn("ui.plan.differ.lines", difference.lines.length)}</h3>
          <ByDay rows={difference.lines.map((l, i) => said(l.day, i, l.sentence))} />
        </>
      ) : null}
    </section>
  );
}
