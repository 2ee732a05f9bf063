/* Lots: what is here, and in what state. */
import { useState } from "preact/hooks";
import { useRead } from "../api/client";
import type { House, LotRow } from "../api/types";
import { day, mass, pieces } from "../base/format";
import { lotPath, place, query } from "../base/route";
import { t, word } from "../base/words";
import { State } from "../parts/mark";
import { Num } from "../parts/ask";
import { Empty } from "../parts/read";
import { Pages } from "../parts/pages";

const STATES = ["open", "held", "released", "all"];
const KINDS = ["seed", "load", "growing", "harvested", "washed", "trimmed", "rinsed", "sorted", "packed", "by-product"];

function amountOf(row: LotRow) {
  const value = row.pieces > 0 ? `${mass(row.mg)} · ${pieces(row.pieces)}` : mass(row.mg);
  return (
    <Num plain value={value} ask={{ title: t("ui.lots.amount.of", { lot: row.lot }), about: "amount", of: row.lot }} />
  );
}

function Table({ rows }: { rows: LotRow[] }) {
  return (
    <div class="wide-table" role="region" aria-label={t("ui.place.lots")} tabIndex={0}>
      <table class="ledger ledger-cards">
        <thead>
          <tr>
            <th scope="col">{t("ui.lot")}</th><th scope="col">{t("ui.state")}</th><th scope="col">{t("ui.item")}</th>
            <th scope="col">{t("ui.kind")}</th><th scope="col">{t("ui.at-place")}</th><th scope="col">{t("ui.day")}</th>
            <th scope="col" class="right">{t("ui.amount")}</th><th scope="col">{t("ui.best-before")}</th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr key={row.lot}>
              <th scope="row"><a class="row-link" href={lotPath(row.lot)}>{row.lot}</a></th>
              <td><State tone={row.tone} text={word("lot-state", row.state)} /></td>
              <td data-name={t("ui.item")}>{row.item}</td>
              <td data-name={t("ui.kind")}>{word("lot-kind", row.kind)}</td>
              <td data-name={t("ui.at-place")} data-empty={row.place ? undefined : true}>{row.place ?? "–"}</td>
              <td data-name={t("ui.day")} class="when">{day(row.day)}</td>
              <td data-name={t("ui.amount")} class="right">{amountOf(row)}</td>
              <td data-name={t("ui.best-before")} data-empty={row.best_before ? undefined : true}>{row.best_before ? <Num plain value={day(row.best_before)} ask={{ title: t("ui.lots.life", { lot: row.lot }), about: "life", of: row.lot }} /> : "–"}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

export function Lots() {
  const at = place.value.query;
  const state = at.get("state") ?? "open";
  const kind = at.get("kind") ?? "";
  const item = at.get("item") ?? "";
  const q = at.get("q") ?? "";
  const [typed, setTyped] = useState(q);
  const house = useRead<House>("/house");
  const ask = new URLSearchParams({ state });
  if (kind) ask.set("kind", kind);
  if (item) ask.set("item", item);
  if (q) ask.set("q", q);
  const path = `/lots?${ask.toString()}`;
  return (
    <article>
      <header class="page-head">
        <h1>{t("ui.place.lots")}</h1>
        <form
          class="find" role="search"
          onSubmit={(e) => {
            e.preventDefault();
            query({ q: typed });
          }}
        >
          <label><span class="sr">{t("ui.lots.find")}</span>
            <input type="search" value={typed} placeholder={t("ui.lots.find")} onInput={(e) => setTyped(e.currentTarget.value)} />
          </label>
          <button type="submit">{t("ui.find")}</button>
        </form>
      </header>
      <div class="filters">
        <div class="choices" role="group" aria-label={t("ui.state")}>
          {STATES.map((s) => (
            <button type="button" key={s} aria-pressed={s === state} onClick={() => query({ state: s })}>{word("lot-state", s)}</button>
          ))}
        </div>
        <label class="filter"><span>{t("ui.kind")}</span>
          <select value={kind} onChange={(e) => query({ kind: e.currentTarget.value })}>
            <option value="">{t("ui.every")}</option>
            {KINDS.map((k) => <option key={k} value={k}>{word("lot-kind", k)}</option>)}
          </select>
        </label>
        <label class="filter"><span>{t("ui.item")}</span>
          <select value={item} onChange={(e) => query({ item: e.currentTarget.value })}>
            <option value="">{t("ui.every")}</option>
            {(house.data?.items ?? []).map((i) => <option key={i.code} value={i.code}>{i.code}</option>)}
          </select>
        </label>
      </div>
      <Pages<LotRow, "lots"> key={path} path={path} list="lots">
        {(rows) => rows.length === 0 ? (
          <Empty title={t("ui.lots.empty")}><p>{t("ui.lots.empty.do")}</p></Empty>
        ) : <Table rows={rows} />}
      </Pages>
    </article>
  );
}

