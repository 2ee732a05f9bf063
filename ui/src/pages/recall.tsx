/* The list for a recall: who has what, and what is still here. Made to be printed. */
import { useRead } from "../api/client";
import type { Recall as RecallAnswer } from "../api/types";
import { now } from "../base/clock";
import { dateTime, mass, number, pieces } from "../base/format";
import { lotPath } from "../base/route";
import { t, tn } from "../base/words";
import { State } from "../parts/mark";
import { Shown } from "../parts/read";

function Left({ data }: { data: RecallAnswer }) {
  const customers = [...new Set(data.left.map((l) => l.customer))];
  if (customers.length === 0) return <p>{t("ui.trace.nobody")}</p>;
  return (
    <>
      {customers.map((customer) => {
        const rows = data.left.filter((l) => l.customer === customer);
        const known = data.customers.find((c) => c.customer === customer);
        return (
          <section key={customer} class="recall-customer">
            <h3>{known?.name ?? customer} <span class="small">{rows[0]?.contact ?? known?.contact}</span></h3>
            <div class="wide-table" role="region" aria-label={customer} tabIndex={0}>
              <table class="ledger">
                <thead>
                  <tr><th scope="col">{t("ui.recall.case")}</th><th scope="col">{t("ui.lot")}</th><th scope="col">{t("ui.recall.shipment")}</th><th scope="col">{t("ui.time")}</th><th scope="col" class="right">{t("ui.packs")}</th><th scope="col">{t("ui.recall.told")}</th></tr>
                </thead>
                <tbody>
                  {rows.map((r) => (
                    <tr key={r.unit}><td class="code">{r.unit}</td><td>{r.lot}</td><td>{r.shipment}</td><td>{dateTime(r.at_ms)}</td><td class="right figure">{number(r.pieces)}</td><td class="tick-box" /></tr>
                  ))}
                </tbody>
                <tfoot><tr><th scope="row" colSpan={4}>{t("ui.recall.sum")}</th><td class="right figure">{number(rows.reduce((s, r) => s + r.pieces, 0))}</td><td /></tr></tfoot>
              </table>
            </div>
          </section>
        );
      })}
    </>
  );
}

export function Recall({ code }: { code: string }) {
  const read = useRead<RecallAnswer>(`/recall?code=${encodeURIComponent(code)}`);
  return (
    <Shown read={read}>
      {(data) => (
        <article class="recall">
          <header class="page-head">
            <div>
              <p class="page-kicker">{t("ui.recall.kicker", { when: dateTime(now()) })}</p>
              <h1>{t("ui.recall.title", { code })}</h1>
            </div>
            <button type="button" class="no-print" onClick={() => print()}>{t("ui.print")}</button>
          </header>
          <p class="lead">{t("ui.recall.lead", { left: mass(data.left_mg), customers: tn("ui.customers", data.customers.length), here: mass(data.here_mg) })}</p>
          <h2>{t("ui.recall.left")}</h2>
          <Left data={data} />
          <h2>{t("ui.recall.here")}</h2>
          {data.here.length === 0 ? <p>{t("ui.recall.here.none")}</p> : (
            <div class="wide-table" role="region" aria-label={t("ui.recall.here")} tabIndex={0}>
              <table class="ledger">
                <thead><tr><th scope="col">{t("ui.lot")}</th><th scope="col">{t("ui.recall.case")}</th><th scope="col">{t("ui.at-place")}</th><th scope="col" class="right">{t("ui.amount")}</th><th scope="col">{t("ui.state")}</th></tr></thead>
                <tbody>
                  {data.here.map((h, i) => (
                    <tr key={i}>
                      <td><a href={lotPath(h.lot)}>{h.lot}</a></td><td class="code">{h.unit ?? "–"}</td><td>{h.place ?? "–"}</td>
                      <td class="right figure">{h.pieces > 0 ? pieces(h.pieces) : mass(h.mg)}</td>
                      <td><State tone={h.held ? "stopped" : "due"} text={t(h.held ? "ui.held" : "ui.recall.not-held")} /></td>
                    </tr>
                  ))}
                </tbody>
              </table>
            </div>
          )}
        </article>
      )}
    </Shown>
  );
}
