/* Keeping: the cold rooms, and what stands there with the life it has left, the first to expire first. */
import { useRead } from "../api/client";
import type { ColdRoom, Keeping as KeepingAnswer, KeptLot } from "../api/types";
import { dateTime, day, mass, number, pieces, temperature } from "../base/format";
import { entryPath, lotPath, place, query } from "../base/route";
import { t, tn, word } from "../base/words";
import { Num, NumHead } from "../parts/ask";
import { Ledger, right } from "../parts/ledger";
import { State } from "../parts/mark";
import { Empty, Shown } from "../parts/read";
import { may } from "../shell/session";

function limitText(r: ColdRoom): string {
  const low = r.low_mc !== null ? temperature(r.low_mc) : "–";
  const high = r.high_mc !== null ? temperature(r.high_mc) : "–";
  return t("ui.keeping.limit", { low, high });
}

function Room({ r }: { r: ColdRoom }) {
  const asked = { title: `${t("ui.chamber.temperature")}, ${r.place}`, of: r.place };
  return (
    <li class={`tile tile-${r.tone}`}>
      <span class="tile-head"><b class="tile-name">{r.place}</b><State tone={r.tone} text={word("room-state", r.state)} /></span>
      {r.temp_mc !== null && r.temp_ms !== null ? (
        <>
          <Num value={temperature(r.temp_mc)} ask={r.how === "logged" ? { ...asked, about: "logged" } : { ...asked, about: "checks", with: "cold-check" }}><span class="tile-figure">{temperature(r.temp_mc)}</span></Num>
          <span class="tile-item">{dateTime(r.temp_ms)}</span>
        </>
      ) : null}
      <Num plain value={limitText(r)} ask={{ title: t("ui.keeping.limits"), about: "limit", of: "cold-room" }} />
      <Num plain value={`${tn("ui.counted.lot", r.lots, { n: number(r.lots) })} · ${mass(r.mg)}`} ask={{ title: r.place, how: t("ui.keeping.room.how") }} />
      {may("record:cold-check") ? <a class="button" href={`/record/cold-check?place=${encodeURIComponent(r.place)}`}>{t("ui.keeping.read")}</a> : null}
      {r.excursions.map((x) => (
        <span key={x.entry} class="tile-item">
          <State tone={x.closed ? "done" : "stopped"} text={t("ui.keeping.excursion")} /> {x.sentence} <a href={entryPath(x.entry)}>{t("ui.entry.n", { n: x.entry })}</a>
        </span>
      ))}
    </li>
  );
}

function Row({ l }: { l: KeptLot }) {
  const value = l.pieces > 0 ? `${mass(l.mg)} · ${pieces(l.pieces)}` : mass(l.mg);
  const age = tn("ui.span.days", l.age_d, { n: number(l.age_d) });
  return (
    <tr>
      <th scope="row"><a class="row-link" href={lotPath(l.lot)}>{l.lot}</a></th>
      <td><State tone={l.tone} text={word("lot-state", l.state)} /></td>
      <td data-name={t("ui.item")}>{l.item}</td>
      <td data-name={t("ui.at-place")} data-empty={l.place ? undefined : true}>{l.place ?? "–"}</td>
      <td data-name={t("ui.amount")} class="right"><Num plain value={value} ask={{ title: t("ui.lots.amount.of", { lot: l.lot }), about: "amount", of: l.lot }} /></td>
      <td data-name={t("ui.chamber.age")} class="right"><Num plain value={age} ask={{ title: `${t("ui.chamber.age")}, ${l.lot}`, about: "made", of: l.lot }} /></td>
      <td data-name={t("ui.keeping.left")} class="right" data-empty={l.left_d === null ? true : undefined}>
        {l.left_d !== null ? <Num plain value={tn("ui.span.days", l.left_d, { n: number(l.left_d) })} ask={{ title: `${t("ui.keeping.left")}, ${l.lot}`, about: "life", of: l.lot, inputs: [{ name: t("ui.best-before"), value: l.best_before ? day(l.best_before) : "–" }] }} /> : "–"}
      </td>
      <td data-name={t("ui.keeping.for")}>
        <State tone={l.life_tone} text={word("life", l.life)} />
        {l.leave_by ? <><br /><span class="small">{t("ui.keeping.leave-by", { day: day(l.leave_by) })}</span></> : null}
      </td>
    </tr>
  );
}

function Stock({ title, list }: { title: string; list: KeptLot[] }) {
  return (
    <section>
      <h2>{title}</h2>
      <Ledger label={title} heads={[t("ui.lot"), t("ui.state"), t("ui.item"), t("ui.at-place"), right(t("ui.amount")), right(t("ui.chamber.age")), right(t("ui.keeping.left")), t("ui.keeping.for")]}>
        {list.map((l) => <Row key={l.lot} l={l} />)}
      </Ledger>
    </section>
  );
}

function Customers({ k }: { k: KeepingAnswer }) {
  return (
    <details>
      <summary>{t("ui.keeping.customers")}</summary>
      <table class="ledger">
        <thead><tr><th scope="col">{t("ui.customer")}</th><th scope="col">{t("ui.markets")}</th><NumHead title={t("ui.keeping.wanted")} ask={{ about: "partner", of: k.customers.map((c) => c.customer) }} /></tr></thead>
        <tbody>
          {k.customers.map((c) => (
            <tr key={c.customer}>
              <th scope="row">{c.customer}</th><td>{c.market}</td>
              <td class="right"><Num plain value={tn("ui.span.days", c.life_days, { n: number(c.life_days) })} ask={{ title: c.customer, about: "partner", of: c.customer }} /></td>
            </tr>
          ))}
        </tbody>
      </table>
    </details>
  );
}

const URGENT = ["past", "nobody", "today"];

function View({ k }: { k: KeepingAnswer }) {
  const item = place.value.query.get("item") ?? "";
  const items = [...new Set(k.stock.map((l) => l.item))].sort();
  const list = item ? k.stock.filter((l) => l.item === item) : k.stock;
  const urgent = list.filter((l) => URGENT.includes(l.life));
  const rest = list.filter((l) => !URGENT.includes(l.life));
  return (
    <>
      {k.rooms.length > 0 ? <ul class="tiles rooms">{k.rooms.map((r) => <Room key={r.place} r={r} />)}</ul> : null}
      <div class="filters no-print">
        <label class="filter"><span>{t("ui.item")}</span>
          <select value={item} onChange={(e) => query({ item: e.currentTarget.value })}>
            <option value="">{t("ui.every")}</option>
            {items.map((i) => <option key={i} value={i}>{i}</option>)}
          </select>
        </label>
        {["store", "move", "ship", "count"].filter((s) => may(`record:${s}`)).map((s) => <a key={s} class="button" href={`/record/${s}`}>{word("kind", s)}</a>)}
      </div>
      {list.length === 0 ? <Empty title={t("ui.keeping.none")}><p>{t("ui.keeping.none.do")}</p></Empty> : null}
      {urgent.length > 0 ? <Stock title={t("ui.keeping.urgent")} list={urgent} /> : null}
      {rest.length > 0 ? <Stock title={t("ui.keeping.stock")} list={rest} /> : null}
      {k.customers.length > 0 ? <Customers k={k} /> : null}
    </>
  );
}

export function Keeping() {
  const read = useRead<KeepingAnswer>("/keeping");
  return (
    <article>
      <header class="page-head"><h1>{t("ui.place.keeping")}</h1></header>
      <Shown read={read}>{(k) => <View k={k} />}</Shown>
    </article>
  );
}
