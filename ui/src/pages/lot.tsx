/* A lot as a story from seed to customer: clauses on top, the balance beside. */
import { useState } from "preact/hooks";
import { useRead } from "../api/client";
import type { Clause, Hold, Lot } from "../api/types";
import { dateTime, day, mass, number, pieces } from "../base/format";
import { entryPath, lotPath, place, query } from "../base/route";
import { t, tn, word } from "../base/words";
import { AskSentence, Num } from "../parts/ask";
import { Mark, State } from "../parts/mark";
import { Person } from "../parts/person";
import { Shown } from "../parts/read";
import { Said } from "../parts/said";
import { may } from "../shell/session";
import { HoldDialog, LiftDialog, needsText } from "./lot_holds";
import { BalanceTable, Story } from "./lot_story";
import { ReleaseDialog } from "./lot_release";

function ClauseRow({ clause }: { clause: Clause }) {
  const tone = clause.state === "met" ? "done" : clause.state === "unmet" ? "due" : "waiting";
  return (
    <li class={`clause clause-${clause.state}`}>
      <Mark tone={tone} />
      <div>
        <p>
          <b>{clause.title}</b> <span class="small">{word("clause-state", clause.state)}</span>
          {clause.market ? <span class="tag">{clause.market}</span> : null}
        </p>
        <p><Said text={clause.sentence} /></p>
        <AskSentence text={clause.sentence} ask={clause.entries.length > 0 ? { about: "entry", of: clause.entries } : null} />
        <p class="small way">
          {clause.way.length > 1
            ? clause.way.map((code, i) => (
              <span key={code}>{i > 0 ? " ← " : null}<a href={lotPath(code)}>{code}</a></span>
            ))
            : null}
          {clause.entries.map((seq) => <a key={seq} class="seq" href={entryPath(seq)}>{t("ui.entry.n", { n: seq })}</a>)}
        </p>
      </div>
    </li>
  );
}

function Clauses({ lot }: { lot: Lot }) {
  const unmet = lot.clauses.filter((c) => c.state === "unmet");
  const met = lot.clauses.filter((c) => c.state !== "unmet");
  if (lot.clauses.length === 0) return null;
  return (
    <section class="clauses">
      <h2>
        {unmet.length === 0 ? t("ui.lot.clauses.met", { n: lot.clauses.length }) : tn("ui.lot.clauses.unmet", unmet.length)}
      </h2>
      <ul class="plain-list">{unmet.map((c, i) => <ClauseRow key={i} clause={c} />)}</ul>
      {met.length > 0 ? (
        <details>
          <summary>{tn("ui.lot.clauses.rest", met.length)}</summary>
          <ul class="plain-list">{met.map((c, i) => <ClauseRow key={i} clause={c} />)}</ul>
        </details>
      ) : null}
    </section>
  );
}

function HoldRow({ hold, lift }: { hold: Hold; lift: (h: Hold) => void }) {
  const isOpen = hold.lifted_ms === null;
  return (
    <li class="row-tall">
      <div>
        <p>
          <State tone={isOpen ? "stopped" : "done"} text={word("hold-kind", hold.kind)} /> <span class="code">{hold.hold}</span>
        </p>
        <p>{hold.reason}</p>
        <p class="small">
          {t("ui.hold.stops", { what: hold.stops.map((s) => word("stop", s)).join(", ") })}
          {hold.needs ? ` · ${needsText(hold.needs)}` : ""}
          {" · "}<Person n={hold.by} />{`, ${dateTime(hold.placed_ms)}`}
          {hold.lifted_ms !== null ? ` · ${t("ui.hold.lifted", { when: dateTime(hold.lifted_ms) })}` : ""}
        </p>
      </div>
      {isOpen && may("lift") ? <button type="button" onClick={() => lift(hold)}>{t("ui.hold.lift")}</button> : null}
    </li>
  );
}

function Facts({ lot }: { lot: Lot }) {
  return (
    <dl class="figures">
      <div>
        <dt>{t("ui.amount")}</dt>
        <dd><Num big value={mass(lot.mg)} ask={{ title: t("ui.lots.amount.of", { lot: lot.lot }), about: "amount", of: lot.lot, with: "mg" }} /></dd>
      </div>
      {lot.pieces > 0 ? <div><dt>{t("ui.packs")}</dt><dd><Num big value={number(lot.pieces)} ask={{ title: t("ui.packs"), about: "amount", of: lot.lot, with: "pc" }} /></dd></div> : null}
      {lot.units.cases > 0 ? (
        <div><dt>{t("ui.lot.cases")}</dt><dd><Num value={t("ui.lot.cases.value", { here: number(lot.units.here), shipped: number(lot.units.shipped) })} ask={{ title: t("ui.lot.cases"), about: "cases", of: lot.lot }} /></dd></div>
      ) : null}
      <div><dt>{t("ui.at-place")}</dt><dd class="figure">{lot.place ?? "–"}</dd></div>
      <div><dt>{t("ui.day")}</dt><dd class="figure">{day(lot.day)}</dd></div>
      {lot.best_before ? <div><dt>{t("ui.best-before")}</dt><dd><Num value={day(lot.best_before)} ask={{ title: t("ui.lots.life", { lot: lot.lot }), about: "life", of: lot.lot }} /></dd></div> : null}
      {lot.supplier ? <div><dt>{t("ui.supplier")}</dt><dd class="figure">{lot.supplier} {lot.supplier_lot}</dd></div> : null}
      {lot.markets.length > 0 ? <div><dt>{t("ui.markets")}</dt><dd class="figure">{lot.markets.join(", ")}</dd></div> : null}
    </dl>
  );
}

function Releases({ lot }: { lot: Lot }) {
  if (lot.releases.length === 0) return null;
  return (
    <section>
      <h2>{t("ui.lot.releases")}</h2>
      <ul class="rows">
        {lot.releases.map((r) => (
          <li key={r.entry}>
            <State tone={r.revoked === null ? "done" : "stopped"} text={t(r.revoked === null ? "ui.lot.released" : "ui.lot.revoked")} />{" "}
            <Person n={r.by} />{" "}
            {t("ui.lot.release.line", { when: dateTime(r.at_ms), markets: r.markets.join(", "), size: number(r.size) })}{" "}
            <a href={entryPath(r.entry)}>{t("ui.entry.n", { n: r.entry })}</a>{" "}
            <button type="button" class="plain" onClick={() => query({ size: String(r.size) })}>{t("ui.lot.as-known")}</button>
          </li>
        ))}
      </ul>
    </section>
  );
}

export function LotPage({ code }: { code: string }) {
  const size = place.value.query.get("size");
  const read = useRead<Lot>(`/lots/${encodeURIComponent(code)}${size ? `?as_known_on=${size}` : ""}`);
  const [open, setOpen] = useState<"release" | "hold" | null>(null);
  const [lifting, setLifting] = useState<Hold | null>(null);
  return (
    <Shown read={read}>
      {(lot) => (
        <article class="lot">
          {size ? (
            <div class="day-band" role="status">
              <p>{t("ui.lot.known-on", { size: number(Number(size)) })}</p>
              <button type="button" onClick={() => query({ size: "" })}>{t("ui.lot.known-now")}</button>
            </div>
          ) : null}
          <header class="page-head">
            <div>
              <p class="page-kicker">{word("lot-kind", lot.kind)} · {lot.item}</p>
              <h1 class="code-title">{lot.lot}</h1>
            </div>
            <p class="page-state"><State tone={lot.tone} text={word("lot-state", lot.state)} /></p>
          </header>
          <Facts lot={lot} />
          <div class="actions no-print">
            {may("release") && lot.may_release ? <button type="button" class="act" onClick={() => setOpen("release")}>{t("ui.lot.release")}</button> : null}
            {may("hold") ? <button type="button" onClick={() => setOpen("hold")}>{t("ui.lot.hold")}</button> : null}
            <a class="button" href={`/trace?code=${encodeURIComponent(lot.lot)}`}>{t("ui.lot.trace")}</a>
            <a class="button" href={`/recall/${encodeURIComponent(lot.lot)}`}>{t("ui.lot.recall")}</a>
            <a class="button" href={`/api/v1/lots/${encodeURIComponent(lot.lot)}/dossier.pdf`} target="_blank">{t("ui.lot.dossier")}</a>
            {lot.kind === "load" ? <a class="button" href={`/treatments/${encodeURIComponent(lot.lot)}`}>{t("ui.lot.treatment")}</a> : null}
            {lot.kind === "packed" ? <a class="button" href={`/api/v1/labels/${encodeURIComponent(lot.lot)}.pdf`} target="_blank">{t("ui.lot.labels")}</a> : null}
          </div>
          {lot.holds.length > 0 ? (
            <section>
              <h2>{t("ui.lot.holds")}</h2>
              <ul class="rows">{lot.holds.map((h) => <HoldRow key={h.hold} hold={h} lift={setLifting} />)}</ul>
            </section>
          ) : null}
          <Clauses lot={lot} />
          <Releases lot={lot} />
          <div class="beside">
            <Story lot={lot} />
            <BalanceTable lot={lot} />
          </div>
          {open === "release" ? <ReleaseDialog lot={lot} close={() => setOpen(null)} /> : null}
          {open === "hold" ? <HoldDialog lot={lot.lot} amount={lot.pieces > 0 ? pieces(lot.pieces) : mass(lot.mg)} close={() => setOpen(null)} /> : null}
          {lifting ? <LiftDialog hold={lifting} story={lot.story} close={() => setLifting(null)} /> : null}
        </article>
      )}
    </Shown>
  );
}
