/* How one plan of fruit differs from another: in figures side by side, as pictures, in words. */
import type { ReceivedPlan } from "../api/types";
import { mass, number } from "../base/format";
import { t, tn } from "../base/words";
import { ReceivedPicture } from "../plan/received_draw";
import { Long } from "./plan_parts";
import { receivedWanted } from "./plan_received_parts";
import { SumTable } from "./plan_sums";

type Sums = ReceivedPlan["sums"];

const grams = (v: number) => mass(v * 1000);
const FIGURES: [keyof Sums, string, (v: number) => string][] = [
  ["wanted", "ui.plan.sum.wanted", number], ["met", "ui.plan.sum.met", number], ["booked", "ui.plan.sum.booked", number],
  ["booked_met", "ui.plan.sum.booked_met", number], ["short_orders", "ui.plan.sum.short_orders", number],
  ["sold_g", "ui.received.sum.sold", grams], ["bought_g", "ui.received.sum.bought", grams], ["turned_g", "ui.received.sum.turned", grams],
  ["left_g", "ui.received.sum.left", grams], ["cost", "ui.received.sum.cost", (v) => number(v)],
];

export function ReceivedDifference({ plan, before, difference, titles, base }: {
  plan: ReceivedPlan; before: Sums; difference: NonNullable<ReceivedPlan["difference"]>; titles: [string, string]; base?: ReceivedPlan | null;
}) {
  const both: [string, ReceivedPlan][] = base ? [[titles[0], base], [titles[1], plan]] : [];
  const said = (list: { sentence: string }[]) => list.map((x, i) => <li key={i} class="row-tall"><p>{x.sentence}</p></li>);
  return (
    <section class="plan-differ">
      <h2>{t("ui.plan.compare")}</h2>
      <SumTable rows={FIGURES.map(([name, key, text]) => ({ title: t(key), before: before[name], after: plan.sums[name], text }))} titles={titles} />
      {both.length > 0 ? (
        <div class="plan-beside">
          {both.map(([title, p]) => (
            <div key={title}><h3>{title}</h3><ReceivedPicture plan={p} item="" label={`${t("ui.received.picture")}: ${title}`} asked={(b) => receivedWanted(b, title)} /></div>
          ))}
        </div>
      ) : null}
      {difference.flows.length === 0 && difference.lines.length === 0 ? <p>{t("ui.received.differ.none")}</p> : null}
      {difference.flows.length > 0 ? <><h3>{tn("ui.received.differ.flows", difference.flows.length)}</h3><Long rows={said(difference.flows)} title={t("ui.plan.differ")} /></> : null}
      {difference.lines.length > 0 ? <><h3>{tn("ui.plan.differ.lines", difference.lines.length)}</h3><Long rows={said(difference.lines)} title={t("ui.plan.differ")} /></> : null}
    </section>
  );
}
