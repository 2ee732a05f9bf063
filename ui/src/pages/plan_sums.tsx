/* Two plans in figures side by side, and what the one has more or less. */
import { t } from "../base/words";
import { NumHead } from "../parts/ask";

export interface SumRow {
  title: string;
  before: number;
  after: number;
  text: (v: number) => string;
}

export function SumTable({ rows, titles }: { rows: SumRow[]; titles: [string, string] }) {
  const how = t("ui.plan.sum.how");
  return (
    <div class="wide-table" role="region" aria-label={`${t("ui.plan.compare")}: ${titles.join(", ")}`} tabIndex={0}>
      <table class="ledger plan-sums">
        <thead><tr><td />{[...titles, t("ui.plan.differ")].map((title) => <NumHead key={title} title={title} ask={{ how }} />)}</tr></thead>
        <tbody>
          {rows.map(({ title, before, after, text }) => {
            const d = after - before;
            return (
              <tr key={title}>
                <th scope="row">{title}</th>
                <td class="right">{text(before)}</td><td class="right">{text(after)}</td>
                <td class="right">{Math.round(d) === 0 ? "0" : `${d > 0 ? "+" : "−"}${text(Math.abs(d))}`}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </div>
  );
}
