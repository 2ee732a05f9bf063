/* What comes round: every duty with its state, a month of them to print, and the map of swab sites. */
import { useRead } from "../api/client";
import type { Duty, Schedule, SwabSite, Tone } from "../api/types";
import { DASH, dateTime, day, dayOf, number, percent, span } from "../base/format";
import { place, query, recordPath } from "../base/route";
import { t, tn, word } from "../base/words";
import { Num, NumHead } from "../parts/ask";
import { State } from "../parts/mark";
import { Empty, Shown } from "../parts/read";
import { may, today } from "../shell/session";
import { Rooms } from "./safety";

const TONES: Record<Duty["state"], Tone> = { done: "done", due: "due", late: "due", overdue: "stopped" };
const RANK: Duty["state"][] = ["overdue", "late", "due", "done"];
const DAY_MS = 86400000;
const PER_ROUND = [3, 5, 10, 20];

function DutyRow({ d }: { d: Duty }) {
  return (
    <tr>
      <th scope="row">{d.title}{d.place ? <span class="tag">{d.place}</span> : null}{d.blocks ? <span class="tag">{t("ui.schedule.blocks")}</span> : null}</th>
      <td data-name={t("ui.schedule.state")}><State tone={TONES[d.state]} text={word("duty-state", d.state)} /></td>
      <td data-name={t("ui.schedule.last")} class="when">{d.last_ms === null ? t("ui.schedule.never") : dateTime(d.last_ms)}</td>
      <td data-name={t("ui.schedule.due")} class="when">{dateTime(d.due_ms)}</td>
      <td class="as-one" data-name={t("ui.schedule.every")}><Num plain value={span(d.every_ms)} ask={{ title: d.title, how: t("ui.schedule.every.how", { source: d.source }) }} /></td>
      <td data-name={t("ui.role")}>{word("role", d.role)}</td>
      <td class="no-print">
        {may(`record:${d.form}`) ? <a class={d.state === "done" ? "button" : "act"} href={recordPath(d.form, d.with as Record<string, string>)}>{d.verb}</a> : null}
      </td>
    </tr>
  );
}

function Duties({ duties }: { duties: Duty[] }) {
  const list = [...duties].sort((a, b) => RANK.indexOf(a.state) - RANK.indexOf(b.state) || a.due_ms - b.due_ms);
  if (list.length === 0) return <Empty title={t("ui.schedule.none")}><p>{t("ui.schedule.none.do")}</p></Empty>;
  return (
    <div class="wide-table" role="region" aria-label={t("ui.schedule.duties")} tabIndex={0}>
      <table class="ledger ledger-cards">
        <thead>
          <tr>
            {["duty", "state", "last", "due", "every"].map((k) => <th key={k} scope="col">{t(`ui.schedule.${k}`)}</th>)}
            <th scope="col">{t("ui.role")}</th><td class="no-print" />
          </tr>
        </thead>
        <tbody>{list.map((d) => <DutyRow key={d.code} d={d} />)}</tbody>
      </table>
    </div>
  );
}

/* The days of a month on which a duty falls; what is due already falls on today. */
function daysOf(d: Duty, month: string): string[] {
  const out: string[] = [];
  const first = Date.parse(`${month}-01T00:00:00Z`);
  const every = Math.max(d.every_ms, DAY_MS);
  const now = Date.parse(`${today()}T12:00:00Z`);
  let at = Math.max(d.due_ms, now);
  if (at < first) at += Math.floor((first - at) / every) * every;
  for (; at < first + 33 * DAY_MS; at += every) {
    const on = dayOf(at);
    if (on.startsWith(month)) out.push(on);
  }
  return out;
}

function moved(month: string, by: number): string {
  const [year = 0, m = 1] = month.split("-").map(Number);
  return new Date(Date.UTC(year, m - 1 + by, 1)).toISOString().slice(0, 7);
}

function Month({ duties }: { duties: Duty[] }) {
  const month = place.value.query.get("month") ?? today().slice(0, 7);
  const byDay = new Map<string, Duty[]>();
  for (const d of duties) for (const on of daysOf(d, month)) byDay.set(on, [...(byDay.get(on) ?? []), d]);
  const title = day(`${month}-01`, { month: "long", year: "numeric" });
  return (
    <section id="month">
      <h2>{title}</h2>
      <div class="actions">
        <button type="button" onClick={() => query({ month: moved(month, -1) })}>{day(`${moved(month, -1)}-01`, { month: "long" })}</button>
        <button type="button" onClick={() => query({ month: moved(month, 1) })}>{day(`${moved(month, 1)}-01`, { month: "long" })}</button>
        <button type="button" onClick={() => print()}>{t("ui.schedule.print")}</button>
      </div>
      {byDay.size === 0 ? <p>{t("ui.schedule.month.none")}</p> : (
        <ul class="rows">
          {[...byDay.keys()].sort().map((on) => (
            <li key={on} class="month-day">
              <b>{day(on)}</b>
              <ul class="plain-list">
                {(byDay.get(on) ?? []).map((d) => <li key={d.code}><span class="tick-box" aria-hidden="true" /> {d.title}{d.place ? ` · ${d.place}` : ""} · {word("role", d.role)}</li>)}
              </ul>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

const RESULTS: Record<SwabSite["result"], Tone> = { none: "due", waiting: "waiting", presumptive: "stopped", negative: "done", "confirmed-positive": "stopped" };

function Site({ s, now }: { s: SwabSite; now: number }) {
  const age = s.last_ms === null ? null : Math.floor((now - s.last_ms) / DAY_MS);
  return (
    <li class="row-tall">
      <div>
        <p><b>{s.site}</b> {s.surface} <span class="tag">{s.place}</span>{s.next ? <span class="tag tag-next">{t("ui.swabs.next")}</span> : null}</p>
        <p class="small"><State tone={RESULTS[s.result]} text={word("swab-result", s.result)} /> {age === null ? t("ui.swabs.never") : tn("ui.swabs.days", age)}</p>
      </div>
      {may("record:sample") ? <a class={s.next ? "act" : "button"} href={recordPath("sample", { what: "swab", place: s.place, location: s.site })}>{t("ui.swabs.do")}</a> : null}
    </li>
  );
}

function Zones({ data }: { data: Schedule }) {
  if (data.sites.length === 0) return <Empty title={t("ui.swabs.none")}><p>{t("ui.swabs.none.do")}</p></Empty>;
  return (
    <>
      {data.zones.map((z) => {
        const sites = data.sites.filter((s) => s.zone === z.zone);
        return sites.length === 0 ? null : (
          <section key={z.zone} class="zone">
            <h3>{t("ui.zone.n", { n: z.zone })} · {t(`ui.zone.${z.zone}`)}</h3>
            {z.every_ms !== null ? <p class="small">{t("ui.swabs.every", { span: span(z.every_ms), source: z.source ?? "" })}</p> : null}
            <ul class="rows">{sites.map((s) => <Site key={s.site} s={s} now={data.now_ms} />)}</ul>
          </section>
        );
      })}
    </>
  );
}

function Hits({ data }: { data: Schedule }) {
  if (data.hits.length === 0) return null;
  return (
    <section id="hits">
      <h3>{t("ui.swabs.hits")}</h3>
      <p class="small">{t("ui.swabs.hits.how")}</p>
      <div class="wide-table" role="region" aria-label={t("ui.swabs.hits")} tabIndex={0}>
        <table class="ledger">
          <thead><tr><th scope="col">{t("ui.swabs.month")}</th><th scope="col">{t("ui.zone")}</th>{["hit", "swabs", "interval"].map((k) => <NumHead key={k} title={t(`ui.swabs.${k}`)} ask={{ how: t("ui.swabs.hits.how"), calc: "hit-rate" }} />)}</tr></thead>
          <tbody>
            {data.hits.map((h) => (
              <tr key={`${h.month} ${h.zone}`}>
                <th scope="row">{day(`${h.month}-01`, { month: "long", year: "numeric" })}</th><td><span class="code">{number(h.zone)}</span></td>
                <td class="right figure">{number(h.hits)}</td><td class="right figure">{number(h.swabs)}</td>
                <td class="right figure">{percent(h.low_ppm)}{DASH}{percent(h.high_ppm)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}

export function SchedulePage() {
  const per = Number(place.value.query.get("round") ?? "5");
  const read = useRead<Schedule>(`/schedule?per_round=${PER_ROUND.includes(per) ? per : 5}`);
  return (
    <article>
      <header class="page-head"><h1>{t("ui.schedule.title")}</h1></header>
      <Rooms at="schedule" />
      <Shown read={read}>
        {(data) => (
          <>
            <section id="duties"><h2>{t("ui.schedule.duties")}</h2><Duties duties={data.duties} /></section>
            {data.duties.length > 0 ? <Month duties={data.duties} /> : null}
            <section id="swabs">
              <h2>{t("ui.swabs.title")}</h2>
              {data.sites.length > 0 ? (
                <div class="filters">
                  <label class="filter">
                    {t("ui.swabs.per-round")}
                    <select value={data.per_round} onChange={(e) => query({ round: e.currentTarget.value })}>
                      {PER_ROUND.map((n) => <option key={n} value={n}>{n}</option>)}
                    </select>
                  </label>
                  <span>{tn("ui.swabs.rounds", data.rounds)}</span>
                </div>
              ) : null}
              <Zones data={data} />
              <Hits data={data} />
            </section>
          </>
        )}
      </Shown>
    </article>
  );
}
