/* The list for a recall: who has what, and what is still here. Made to be printed. */
import { useRead } from "../api/client";
import type { Recall as RecallAnswer } from "../api/types";
import { now } from "../base/clock";
import { dateTime, mass, number, pieces } from "../base/format";
import { lotPath } from "../base/route";
import { t } from "../base/words";
import { Num } from "../parts/ask";
import { State } from "../parts/mark";
import { Shown } from "../parts/read";
import { hereLots, leftAsk, unique } from "../trace/asked";

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
                    <tr key={r.unit}><td class="code">{r.unit}</td><td>{r.lot}</td><td>{r.shipment}</td><td>{dateTime(r.at_ms)}</td><td class="right"><Num plain value={number(r.pieces)} ask={r.unit ? { title: r.unit, about: "unit", of: r.unit } : { title: r.shipment, about: "shipment", of: r.shipment, with: r.lot ?? "" }} /></td><td class="tick-box" /></tr>
                  ))}
                </tbody>
                <tfoot><tr><th scope="row" colSpan={4}>{t("ui.recall.sum")}</th><td class="right"><Num plain value={number(rows.reduce((s, r) => s + r.pieces, 0))} ask={{ title: known?.name ?? customer, about: "shipment", of: unique(rows.map((r) => r.shipment)), with: unique(rows.map((r) => r.lot ?? "")).join(",") }} /></td><td /></tr></tfoot>
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
          <dl class="figures">
            <div><dt>{t("ui.recall.left.sum")}</dt><dd><Num big value={mass(data.left_mg)} ask={{ title: t("ui.recall.left.sum"), ...leftAsk(data) }} /></dd></div>
            <div><dt>{t("ui.recall.customers")}</dt><dd><Num big value={number(data.customers.length)} ask={{ title: t("ui.recall.customers"), ...leftAsk(data) }} /></dd></div>
            <div><dt>{t("ui.recall.here")}</dt><dd><Num big value={mass(data.here_mg)} ask={{ title: t("ui.recall.here"), how: t("ui.trace.here.how"), about: "amount", of: hereLots(data), with: "mg" }} /></dd></div>
          </dl>
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
                      <td class="right"><Num plain value={h.pieces > 0 ? pieces(h.pieces) : mass(h.mg)} ask={h.unit ? { title: h.unit, about: "unit", of: h.unit } : { title: t("ui.lots.amount.of", { lot: h.lot }), about: "amount", of: h.lot }} /></td>
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
