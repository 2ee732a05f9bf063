/* Trace: a lot in question followed back and forward; the list says the same as the picture. */
import { useEffect, useState } from "preact/hooks";
import { useRead } from "../api/client";
import type { Trace, TraceLot, Why } from "../api/types";
import { dateTime, day, mass, number, percent, pieces } from "../base/format";
import { entryPath, lotPath, place, query } from "../base/route";
import { t, tn, word } from "../base/words";
import { Num } from "../parts/ask";
import { Dialog } from "../parts/dialog";
import { State } from "../parts/mark";
import { Empty, Shown } from "../parts/read";
import { useScan } from "../record/listen";
import { hereLots, leftAsk, unique } from "../trace/asked";
import { Draw } from "../trace/draw";

function WhyDialog({ trace, lot, close }: { trace: Trace; lot: string; close: () => void }) {
  const ask = new URLSearchParams({ code: trace.code ?? "", direction: trace.direction, lot }).toString();
  const read = useRead<Why>(`/trace/why?${ask}`);
  return (
    <Dialog title={t("ui.trace.why", { lot })} close={close}>
      <Shown read={read}>
        {({ steps }) => (
          <ol class="plain-list way-list">
            {steps.map((s, i) => (
              <li key={i}>
                <a href={lotPath(s.parent)}>{s.parent}</a> → <a href={lotPath(s.child)}>{s.child}</a> <b class="figure">{mass(s.mg)}</b>{" "}
                <a href={entryPath(s.entry)}>{t("ui.entry.n", { n: s.entry })}</a>
              </li>
            ))}
          </ol>
        )}
      </Shown>
    </Dialog>
  );
}

function shareText(l: TraceLot): string {
  if (l.share_ppm === null) return t("ui.trace.unknown");
  return `${percent(l.share_ppm)}${l.certain ? "" : ` ${t("ui.trace.possible")}`}`;
}

function List({ trace, why }: { trace: Trace; why: (lot: string) => void }) {
  const sorted = [...trace.lots].sort((a, b) => a.born_ms - b.born_ms);
  return (
    <div class="wide-table" role="region" aria-label={t("ui.trace.list")} tabIndex={0}>
      <table class="ledger ledger-cards">
        <thead>
          <tr>
            <th scope="col">{t("ui.lot")}</th><th scope="col">{t("ui.item")}</th><th scope="col">{t("ui.day")}</th>
            <th scope="col" class="right">{t("ui.amount")}</th><th scope="col" class="right">{t("ui.trace.here")}</th>
            <th scope="col" class="right">{t("ui.trace.share.head")}</th><th scope="col">{t("ui.state")}</th>
          </tr>
        </thead>
        <tbody>
          {sorted.map((l) => (
            <tr key={l.lot}>
              <th scope="row"><a class="row-link" href={lotPath(l.lot)}>{l.lot}</a></th>
              <td data-name={t("ui.item")}>{l.item} · {word("lot-kind", l.kind)}</td>
              <td data-name={t("ui.day")}>{day(l.day)}</td>
              <td data-name={t("ui.amount")} class="right"><Num plain value={mass(l.mg)} ask={{ title: t("ui.lots.amount.of", { lot: l.lot }), about: "made", of: l.lot, with: "mg" }} /></td>
              <td data-name={t("ui.trace.here")} class="right"><Num plain value={l.here_pieces > 0 ? pieces(l.here_pieces) : mass(l.here_mg)} ask={{ title: `${t("ui.trace.here")}, ${l.lot}`, about: "amount", of: l.lot }} /></td>
              <td data-name={t("ui.trace.share.head")} class="right">
                <button type="button" class="num num-plain" aria-haspopup="dialog" onClick={() => why(l.lot)}>
                  {shareText(l)}
                </button>
              </td>
              <td>{l.held ? <State tone="stopped" text={t("ui.held")} /> : <State tone="done" text={t("ui.free")} />}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function Customers({ trace }: { trace: Trace }) {
  if (trace.customers.length === 0) return <p>{t("ui.trace.nobody")}</p>;
  return (
    <ul class="rows">
      {trace.customers.map((c) => (
        <li key={c.customer} class="row-tall">
          <div>
            <p><b>{c.name ?? c.customer}</b> {c.contact}</p>
            <p class="small">{c.shipments.map((s) => `${s.shipment} ${dateTime(s.at_ms)} ${tn("ui.pieces", s.pieces, { n: number(s.pieces) })}`).join(" · ")}</p>
          </div>
          <p class="right"><Num plain value={`${tn("ui.pieces", c.pieces, { n: number(c.pieces) })} · ${mass(c.mg)}`} ask={{ title: c.name ?? c.customer, ...leftAsk(trace, [c]) }} /></p>
        </li>
      ))}
    </ul>
  );
}

function heldInputs(trace: Trace): { name: string; value: string }[] {
  return trace.lots.filter((l) => l.held).map((l) => ({ name: l.lot, value: mass(l.here_mg) }));
}

function Found({ trace }: { trace: Trace }) {
  const [why, setWhy] = useState<string | null>(null);
  const a = trace.account;
  return (
    <>
      <dl class="figures">
        <div><dt>{t("ui.trace.accounted")}</dt><dd><Num big value={percent(a.accounted_ppm, 2)} ask={{ title: t("ui.trace.accounted"), how: t("ui.trace.accounted.how"), inputs: [{ name: t("ui.trace.produced"), value: mass(a.produced_mg) }, { name: t("ui.trace.accounted-for"), value: mass(a.accounted_mg) }, { name: t("ui.trace.owed"), value: mass(a.owed_mg) }], about: "amount", of: trace.lots.map((l) => l.lot), with: "mg", part: true }} /></dd></div>
        <div><dt>{t("ui.trace.here")}</dt><dd><Num big value={mass(trace.here_mg)} ask={{ title: t("ui.trace.here"), how: t("ui.trace.here.how"), about: "amount", of: hereLots(trace), with: "mg" }} /></dd></div>
        <div><dt>{t("ui.trace.left")}</dt><dd><Num big value={mass(trace.left_mg)} ask={{ title: t("ui.trace.left"), ...leftAsk(trace) }} /></dd></div>
        <div><dt>{t("ui.trace.held")}</dt><dd><Num big value={number(trace.held_lots)} ask={{ title: t("ui.trace.held"), how: t("ui.trace.held.how"), inputs: heldInputs(trace) }} /></dd></div>
        {trace.unknown_ppm > 0 ? <div><dt>{t("ui.trace.unknown")}</dt><dd><Num big value={percent(trace.unknown_ppm)} ask={{ title: t("ui.trace.unknown"), how: t("ui.trace.unknown.how"), about: "entry", of: unique(trace.steps.filter((s) => s.basis === "unknown").map((s) => String(s.entry))) }} /></dd></div> : null}
      </dl>
      <Draw trace={trace} />
      <section><h2>{t("ui.trace.customers")}</h2><Customers trace={trace} /></section>
      <section><h2>{t("ui.trace.list")}</h2><List trace={trace} why={setWhy} /></section>
      {why ? <WhyDialog trace={trace} lot={why} close={() => setWhy(null)} /> : null}
    </>
  );
}

export function TracePage() {
  const at = place.value.query;
  const code = at.get("code") ?? "";
  const direction = at.get("direction") === "back" ? "back" : "forward";
  const unknown = at.get("unknown") === "true";
  const [typed, setTyped] = useState(code);
  const ask = new URLSearchParams({ code, direction, unknown: String(unknown) }).toString();
  const read = useRead<Trace>(code ? `/trace?${ask}` : null);
  useEffect(() => setTyped(code), [code]);
  useScan((scan) => query({ code: scan.code }));
  return (
    <article>
      <header class="page-head">
        <h1>{code ? t("ui.trace.title", { code }) : t("ui.place.trace")}</h1>
        <form
          class="find" role="search"
          onSubmit={(e) => {
            e.preventDefault();
            query({ code: typed });
          }}
        >
          <label><span class="sr">{t("ui.trace.code")}</span>
            <input type="search" value={typed} placeholder={t("ui.trace.code")} onInput={(e) => setTyped(e.currentTarget.value)} />
          </label>
          <button type="submit">{t("ui.trace.follow")}</button>
        </form>
      </header>
      {code ? (
        <div class="filters">
          <div class="choices" role="group" aria-label={t("ui.trace.direction")}>
            <button type="button" aria-pressed={direction === "back"} onClick={() => query({ direction: "back" })}>{t("ui.trace.back")}</button>
            <button type="button" aria-pressed={direction === "forward"} onClick={() => query({ direction: "forward" })}>{t("ui.trace.forward")}</button>
          </div>
          <label class="check"><input type="checkbox" checked={unknown} onChange={(e) => query({ unknown: e.currentTarget.checked ? "true" : "" })} /><span>{t("ui.trace.with-unknown")}</span></label>
          <a class="button" href={`/recall/${encodeURIComponent(code)}`}>{t("ui.lot.recall")}</a>
        </div>
      ) : null}
      {code ? <Shown read={read}>{(trace) => <Found key={`${trace.code} ${trace.direction}`} trace={trace} />}</Shown> : (
        <Empty title={t("ui.trace.empty")}><p>{t("ui.trace.empty.do")}</p></Empty>
      )}
    </article>
  );
}
