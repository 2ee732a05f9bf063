/* The order book by day: what has left, what is there for the rest, what is missing; and what became of a line. */
import { useState } from "preact/hooks";
import { useRead } from "../api/client";
import type { OrderHistory, Orders, Tone } from "../api/types";
import { addDays, dateTime, day, dayLong, number } from "../base/format";
import { entryPath, recordPath } from "../base/route";
import { t, tn, word } from "../base/words";
import { Dialog } from "../parts/dialog";
import { Ledger, right } from "../parts/ledger";
import { State } from "../parts/mark";
import { Person } from "../parts/person";
import { Empty, Shown } from "../parts/read";
import { shown } from "../shell/day";
import { may } from "../shell/session";

const DAYS = 14;
type Line = Orders["days"][number]["lines"][number];

const TONES: Record<Line["state"], Tone> = { shipped: "done", stock: "done", short: "stopped", open: "waiting", cancelled: "waiting" };

function History({ line, close }: { line: Line; close: () => void }) {
  const read = useRead<OrderHistory>(`/orders/line?key=${encodeURIComponent(line.key)}`);
  return (
    <Dialog title={t("ui.orders.line", { key: line.key })} close={close} wide>
      <Shown read={read}>
        {(h) => (
          <>
            <h3>{t("ui.orders.versions")}</h3>
            <Ledger label={t("ui.orders.versions")} heads={[t("ui.orders.version"), t("ui.day"), t("ui.item"), right(t("ui.packs")), t("ui.state"), t("ui.orders.told")]}>
              {h.versions.map((v) => (
                    <tr key={v.version}>
                      <th scope="row">{v.version}</th><td data-name={t("ui.day")}>{day(v.day)}</td><td data-name={t("ui.item")}>{v.item}</td><td data-name={t("ui.packs")} class="right figure">{number(v.pieces)}</td>
                      <td data-name={t("ui.state")}>{word("order-state", v.state)}</td>
                      <td data-name={t("ui.orders.told")} class="small"><span>{v.source} · <Person n={v.by} />, {dateTime(v.at_ms)} <a href={entryPath(v.entry)}>{t("ui.entry.n", { n: v.entry })}</a></span></td>
                    </tr>
                  ))}
            </Ledger>
            <h3>{t("ui.orders.left")}</h3>
            {h.shipments.length === 0 ? <p>{t("ui.orders.left.none")}</p> : (
              <ul class="plain-list">{h.shipments.map((s) => <li key={s.shipment}><a href={`/trace?code=${encodeURIComponent(s.shipment)}&direction=back`}>{s.shipment}</a> {dateTime(s.at_ms)}, <b class="figure">{number(s.pieces)}</b></li>)}</ul>
            )}
          </>
        )}
      </Shown>
    </Dialog>
  );
}

/* Which of the customers' groups gets how much, where there are several. */
function Groups({ of }: { of: Orders["days"][number] }) {
  if (of.groups.length < 2) return null;
  return (
    <details>
      <summary>{t("ui.orders.groups")}</summary>
      <Ledger label={t("ui.orders.groups")} heads={[t("ui.orders.group"), right(t("ui.orders.wanted")), right(t("ui.orders.gone")), right(t("ui.orders.there")), right(t("ui.orders.lacking"))]}>
        {of.groups.map((g) => (
            <tr key={g.group}>
              <th scope="row">{g.group || t("ui.orders.group.none")}</th>
              <td data-name={t("ui.orders.wanted")} class="right figure">{number(g.pieces)}</td><td data-name={t("ui.orders.gone")} class="right figure">{number(g.shipped)}</td>
              <td data-name={t("ui.orders.there")} class="right figure">{number(g.stock)}</td><td data-name={t("ui.orders.lacking")} class="right figure">{number(g.missing)}</td>
            </tr>
          ))}
      </Ledger>
    </details>
  );
}

/* The goods that the orders are served from. */
function There({ list }: { list: Orders["there"] }) {
  if (list.length === 0) return null;
  return (
    <section>
      <h2>{t("ui.orders.now")}</h2>
      <p class="small">{t("ui.orders.now.lead")}</p>
      <Ledger label={t("ui.orders.now")} heads={[t("ui.item"), t("ui.best-before"), right(t("ui.keeping.left")), t("ui.markets"), right(t("ui.packs")), right(t("ui.orders.free"))]}>
        {list.map((g) => (
            <tr key={`${g.item} ${g.best_before ?? ""} ${g.markets}`}>
              <th scope="row">{g.item}</th>
              <td data-name={t("ui.best-before")}>{g.best_before !== null ? day(g.best_before) : "–"}</td>
              <td data-name={t("ui.keeping.left")} class="right figure">{g.left_d !== null ? tn("ui.span.days", g.left_d, { n: number(g.left_d) }) : "–"}</td>
              <td data-name={t("ui.markets")}>{g.markets.split(",").join(", ") || "–"}</td>
              <td data-name={t("ui.packs")} class="right figure">{number(g.pieces)}</td><td data-name={t("ui.orders.free")} class="right figure">{number(g.free)}</td>
            </tr>
          ))}
      </Ledger>
    </section>
  );
}

/* Nothing is dispatched on its day. */
function Leaves({ of }: { of: Line }) {
  if (of.closed === null) return null;
  const text = of.leaves !== null ? t("ui.orders.leaves", { day: day(of.leaves), why: of.closed }) : t("ui.orders.closed", { why: of.closed });
  return <span class="small below">{text}</span>;
}

/* Packs of other items that the plan promised it. */
function Instead({ of }: { of: Line }) {
  if (of.instead.length === 0) return null;
  return <span class="small below">{of.instead.map((x) => t("ui.orders.instead", { n: number(x.pieces), item: x.item })).join(", ")}</span>;
}

function DayOrders({ of, open }: { of: Orders["days"][number]; open: (line: Line) => void }) {
  return (
    <section>
      <h2>{day(of.day, { weekday: "long", day: "numeric", month: "long" })}</h2>
      <p>
        {t("ui.orders.sums", { pieces: number(of.pieces), shipped: number(of.shipped), stock: number(of.stock) })}
        {of.missing > 0 ? <> · <b>{t("ui.orders.missing", { n: number(of.missing) })}</b></> : null}
      </p>
      <Groups of={of} />
      <Ledger label={day(of.day)} heads={[t("ui.orders.key"), t("ui.customer"), t("ui.item"), right(t("ui.orders.wanted")), right(t("ui.orders.gone")), right(t("ui.orders.there")), right(t("ui.orders.lacking")), t("ui.state")]}>
        {of.lines.map((l) => (
              <tr key={l.key}>
                <th scope="row"><button type="button" class="plain" onClick={() => open(l)}>{l.key}{l.version > 1 ? ` (${t("ui.orders.nth", { n: l.version })})` : ""}</button><Leaves of={l} /></th>
                <td data-name={t("ui.customer")}><span>{l.customer}{l.life_days !== null ? <span class="small below">{tn("ui.orders.life", l.life_days, { n: number(l.life_days) })}</span> : null}</span></td><td data-name={t("ui.item")}><span>{l.item}<Instead of={l} /></span></td>
                <td data-name={t("ui.orders.wanted")} class="right figure">{number(l.pieces)}</td>
                <td data-name={t("ui.orders.gone")} class="right figure">{number(l.shipped)}</td>
                <td data-name={t("ui.orders.there")} class="right figure">{number(l.stock)}</td>
                <td data-name={t("ui.orders.lacking")} class="right figure">{number(l.missing)}</td>
                <td data-name={t("ui.state")}><State tone={TONES[l.state]} text={t(`ui.order-state.${l.state}`)} />{l.unfit > 0 ? <span class="small"> {t("ui.orders.unfit", { n: number(l.unfit) })}</span> : null}</td>
              </tr>
            ))}
      </Ledger>
    </section>
  );
}

const STANDING: Record<Orders["standing"][number]["state"], Tone> = { coming: "waiting", "in-force": "done", ended: "waiting" };

/* What customers take on their weekdays without ordering it each time. */
function Standing({ list }: { list: Orders["standing"] }) {
  const mayRecord = may("record:standing-order");
  if (list.length === 0 && !mayRecord) return null;
  return (
    <section>
      <h2>{t("ui.orders.standing")}</h2>
      <p class="small">{t("ui.orders.standing.lead")}</p>
      {list.length === 0 ? <p>{t("ui.orders.standing.none")}</p> : (
        <Ledger label={t("ui.orders.standing")} heads={[t("ui.orders.key"), t("ui.customer"), t("ui.item"), t("ui.orders.weekdays"), right(t("ui.packs")), t("ui.orders.standing.days"), t("ui.state")]}>
          {list.map((s) => (
            <tr key={s.code}>
              <th scope="row"><a href={entryPath(s.entry)}>{s.code}</a>{s.terms ? <span class="small below">{s.terms}</span> : null}</th>
              <td data-name={t("ui.customer")}>{s.customer}</td><td data-name={t("ui.item")}>{s.item}</td>
              <td data-name={t("ui.orders.weekdays")}>{s.weekdays.map((d) => word("weekdays", d)).join(", ")}</td>
              <td data-name={t("ui.packs")} class="right figure">{number(s.pieces)}</td>
              <td data-name={t("ui.orders.standing.days")}>{s.to !== null ? t("ui.orders.standing.between", { from: day(s.from), to: day(s.to) }) : t("ui.orders.standing.from", { from: day(s.from) })}</td>
              <td data-name={t("ui.state")}>
                <span><State tone={STANDING[s.state]} text={t(`ui.orders.standing.${s.state}`)} />
                {mayRecord ? <a class="small below no-print" href={recordPath("standing-order", { code: s.code, customer: s.customer, item: s.item, pieces: String(s.pieces), from: s.from })}>{t("ui.orders.standing.change")}</a> : null}</span>
              </td>
            </tr>
          ))}
        </Ledger>
      )}
      {mayRecord ? <p class="actions no-print"><a class="button" href={recordPath("standing-order", {})}>{t("ui.orders.standing.new")}</a></p> : null}
    </section>
  );
}

export function OrdersPage() {
  const from = shown.value;
  const read = useRead<Orders>(`/orders?from=${from}&to=${addDays(from, DAYS - 1)}`);
  const [open, setOpen] = useState<Line | null>(null);
  return (
    <article>
      <header class="page-head">
        <h1>{t("ui.orders.title")}</h1>
        <span class="actions no-print">
          <a class="button" href="/plan">{t("ui.place.plan")}</a>
          {may("record:order") ? <a class="button" href="/papers/files">{t("ui.files.title")}</a> : null}
        </span>
      </header>
      <p class="lead">{t("ui.orders.lead", { from: dayLong(from) })}</p>
      <Shown read={read}>
        {({ days, there, standing }) => (
          <>
            {days.length === 0
              ? <Empty title={t("ui.orders.none")}><p>{t("ui.orders.none.do")}</p></Empty>
              : days.map((d) => <DayOrders key={d.day} of={d} open={setOpen} />)}
            <Standing list={standing} />
            <There list={there} />
          </>
        )}
      </Shown>
      {open ? <History line={open} close={() => setOpen(null)} /> : null}
    </article>
  );
}
