/* The lists of the plan board: why it is short, what orders get, which seed to buy, what to soak, and the tables behind the picture. */
import type { ComponentChildren } from "preact";
import type { Plan, PlanFor, TakenPlan } from "../api/types";
import { addDays, DASH, day, mass, number, percent } from "../base/format";
import { recordPath } from "../base/route";
import { t, tn } from "../base/words";
import { Num, NumHead, type Question } from "../parts/ask";
import { Mark } from "../parts/mark";
import { limitName } from "../plan/draw";
import { type DayBar, FULL, type Limit, SIGN_ORDER, type Strip } from "../plan/layout";
import { isNow, shown } from "../shell/day";
import { may, today } from "../shell/session";

const ROWS_MOST = 12;

/* A long list is opened by who wants all of it; paper says that there is more. */
export function Long({ rows, title }: { rows: preact.JSX.Element[]; title: string }) {
  if (rows.length <= ROWS_MOST) return <ul class="rows">{rows}</ul>;
  return (
    <>
      <ul class="rows">{rows.slice(0, ROWS_MOST)}</ul>
      <p class="small print-only">{tn("ui.plan.more.paper", rows.length - ROWS_MOST, { what: title })}</p>
      <details class="chart-table no-print"><summary>{tn("ui.plan.more", rows.length - ROWS_MOST, { what: title })}</summary><ul class="rows">{rows.slice(ROWS_MOST)}</ul></details>
    </>
  );
}

export interface OfDay {
  day: string;
  row: preact.JSX.Element;
}

/* A long list by day: today's and tomorrow's are open, the others are opened by who wants them. */
export function ByDay({ rows }: { rows: OfDay[] }) {
  if (rows.length <= ROWS_MOST) return <ul class="rows">{rows.map((r) => r.row)}</ul>;
  return (
    <div>
      {daysOf(rows).map(([d, list]) => (
        <Fold key={d} day={d} says={tn("ui.plan.day.changes", list.length)}><ul class="rows">{list.map((r) => r.row)}</ul></Fold>
      ))}
    </div>
  );
}

function daysOf<Row extends { day: string }>(rows: Row[]): [string, Row[]][] {
  const by = new Map<string, Row[]>();
  for (const r of rows) by.set(r.day, [...(by.get(r.day) ?? []), r]);
  return [...by].sort(([a], [b]) => a.localeCompare(b));
}

function Fold({ day: of, says, children }: { day: string; says: string; children: ComponentChildren }) {
  return (
    <details class="chart-table" open={of <= addDays(today(), 1) || of === shown.value}>
      <summary>{day(of)}{of === today() ? `, ${t("ui.today").toLowerCase()}` : ""}: {says}</summary>
      {children}
    </details>
  );
}

export function Chance({ of }: { of: { chance_percent?: number; chance_says?: string; late_percent?: number } }) {
  if (of.chance_percent === undefined) return null;
  const late = of.late_percent === undefined ? "" : ` ${t("ui.plan.chance.late", { n: number(of.late_percent) })}`;
  return <span class="small">{t("ui.plan.chance", { n: number(of.chance_percent) })}{late}{of.chance_says ? <span class="no-print"> {of.chance_says}</span> : null}</span>;
}

/* What comes of the plan in many futures, beside what was asked for. */
export function Sure({ plan, asked, ofProfile }: { plan: Plan; asked: number; ofProfile: boolean }) {
  const c = plan.chance;
  if (!c) return null;
  const share = percent(c.share_ppm);
  const orders = c.lines.filter((l) => l.order !== null);
  const certain = orders.filter((l) => l.word === "certain").length;
  const inputs = [
    { name: t("ui.plan.sure.futures"), value: number(c.futures) }, { name: t("ui.plan.sure.short"), value: mass(c.short_g * 1000) },
    { name: t("ui.plan.sure.waste"), value: mass(c.waste_g * 1000) }, { name: t("ui.plan.sure.error"), value: percent(c.share_error_ppm, 2) },
  ];
  return (
    <p class="plan-sure-of">
      {t(asked === 0 ? "ui.plan.sure.cheapest" : "ui.plan.sure.asked", { share: percent(asked) })}{" "}
      {ofProfile ? `${t("plan.service.profile")} ` : null}
      {t("ui.plan.sure.expected")} <Num plain value={share} ask={{ title: t("ui.plan.sure.share"), how: t("ui.plan.sure.how"), inputs }} />.{" "}
      {c.share_ppm < asked ? <b>{t("ui.plan.sure.less")}</b> : null}{" "}
      {orders.length > 0 ? tn("ui.plan.sure.certain", certain, { of: number(orders.length) }) : null}
    </p>
  );
}

function ShortRow({ s }: { s: Plan["shorts"][number] }) {
  return (
    <li class="row-tall">
      <Mark tone={s.forecast ? "waiting" : "due"} />
      <p>{s.sentence} {s.gain ? <span class="plan-gain">{s.gain.sentence}</span> : null} <Chance of={s} /></p>
      <p class="right">
        <Num value={`−${number(s.pieces)}`} ask={{ title: `${s.item}, ${day(s.day)}`, how: t(s.gain ? "ui.plan.gain.how" : "ui.plan.short.how"), about: "orders", of: s.day, with: s.item }} />
        <br /><span class="small">{s.item}, {day(s.day)}</span>
      </p>
    </li>
  );
}

/* Where there are many, those that one limit stops stand together, the most pieces first. */
function ShortGroups({ shorts }: { shorts: Plan["shorts"] }) {
  const groups = new Map<string, Plan["shorts"]>();
  for (const s of shorts) groups.set(s.limit, [...(groups.get(s.limit) ?? []), s]);
  const sum = (list: Plan["shorts"]) => list.reduce((n, s) => n + s.pieces, 0);
  const sorted = [...groups].sort(([, a], [, b]) => sum(b) - sum(a));
  return (
    <ul class="rows">
      {sorted.map(([limit, list]) => (
        <li key={limit} class="plan-why">
          <p><Mark tone={list.every((s) => s.forecast) ? "waiting" : "due"} /> {tn("ui.plan.why.limit", list.length, { pieces: number(sum(list)), why: t(`short.${limit}`) })}</p>
          {list.find((s) => s.gain) ? <p>{list.find((s) => s.gain)?.gain?.sentence}</p> : null}
          <details class="chart-table no-print"><summary>{t("ui.plan.gaps")}</summary><ul class="rows">{list.map((s, i) => <ShortRow key={i} s={s} />)}</ul></details>
        </li>
      ))}
    </ul>
  );
}

export function Shorts({ plan }: { plan: Plan }) {
  const lost = plan.dropped.map((d, i) => <li key={`d${i}`} class="row-tall"><Mark tone="stopped" /><p>{d.sentence}</p></li>);
  if (plan.shorts.length + lost.length === 0) return <p class="note note-done"><Mark tone="done" /><span>{t("ui.plan.enough")}</span></p>;
  return (
    <section class="plan-shorts">
      <h2>{tn("ui.plan.why", plan.shorts.length)}</h2>
      {lost.length > 0 ? <ul class="rows">{lost}</ul> : null}
      {plan.shorts.length > ROWS_MOST ? <ShortGroups shorts={plan.shorts} /> : <ul class="rows">{plan.shorts.map((s, i) => <ShortRow key={i} s={s} />)}</ul>}
    </section>
  );
}

export interface Start {
  day: string;
  place: string;
  item: string;
  seed: string;
  mg: number;
  harvest: string;
  later: string[]; /* the days of its other harvests */
  off: number; /* days after the day it is ready, below 0 before */
  isTaken: boolean;
  purposes: string[]; /* what it is for */
}

function forText(x: PlanFor): string {
  if (x.standing) return t("ui.plan.for.standing", { code: x.standing, day: day(x.day) });
  return x.order === null ? t("ui.plan.for.forecast", { group: x.group, day: day(x.day) }) : t("ui.plan.for.order", { order: x.order, day: day(x.day) });
}

function purposesOf(list: PlanFor[]): string[] {
  return list.length === 0 ? [t("ui.plan.for.end")] : list.map(forText);
}

function Purposes({ of }: { of: string[] }) {
  const rest = of.slice(2);
  return (
    <div>
      {of.slice(0, 2).join(", ")}
      {rest.length === 0 ? null : <details><summary>{t("ui.plan.for.more")}</summary>{rest.join(", ")}</details>}
    </div>
  );
}

export function startsOf(plan: Plan | null, taken: TakenPlan): Start[] {
  const of = plan ?? taken.plan;
  if (!of) {
    return taken.taken.map((s) => ({ day: s.day, place: s.place, item: s.item, seed: s.seed_lot ?? "–", mg: s.seed_mg, harvest: addDays(s.day, s.grow_days), later: [], off: 0, isTaken: true, purposes: [] }));
  }
  return of.starts.map((s) => ({
    day: s.soak, place: s.chamber, item: s.item, seed: s.seed.map((x) => (x.agreed ? t("ui.plan.seed-agreed", { code: x.lot }) : x.lot)).join(", ") || "–", mg: s.seed_g * 1000, harvest: s.harvest, later: s.harvests.slice(1).map((x) => x.day), off: s.off_days, isTaken: s.taken_before, purposes: purposesOf(s.for),
  }));
}

/* "one day early", "2 days late". */
function offText(days: number): string {
  const side = days < 0 ? "early" : "late";
  return Math.abs(days) === 1 ? t(`plan.harvest.one-${side}`) : t(`plan.harvest.${side}`, { n: number(Math.abs(days)) });
}

function seedAsk(s: Start): Question {
  const title = `${t("ui.plan.seed")}, ${s.place}, ${day(s.day)}`;
  return s.isTaken ? { title, about: "start", of: s.day, with: s.place } : { title, how: t("ui.plan.start.how"), calc: "seed-needed" };
}

function StartTable({ starts, title }: { starts: Start[]; title: string }) {
  return (
    <div class="wide-table" role="region" aria-label={title} tabIndex={0}>
      <table class="ledger ledger-cards">
        <thead><tr><th scope="col">{t("ui.chamber")}</th><th scope="col">{t("ui.item")}</th><th scope="col">{t("ui.plan.seed-lot")}</th><th scope="col" class="right">{t("ui.plan.seed")}</th><th scope="col">{t("ui.plan.harvest")}</th><th scope="col">{t("ui.plan.for")}</th></tr></thead>
        <tbody>
          {starts.map((s) => (
            <tr key={s.place}>
              <th scope="row"><span class="code">{s.place}</span></th><td data-name={t("ui.item")}>{s.item}</td>
              <td data-name={t("ui.plan.seed-lot")}>{s.seed}</td><td data-name={t("ui.plan.seed")} class="right"><Num plain value={mass(s.mg)} ask={seedAsk(s)} /></td><td data-name={t("ui.plan.harvest")}>{[s.harvest, ...s.later].map((d) => day(d)).join(", ")}{s.off === 0 ? null : <><br /><span class="small">{offText(s.off)}</span></>}</td>
              <td data-name={t("ui.plan.for")}><Purposes of={s.purposes} /></td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

export function Starts({ starts }: { starts: Start[] }) {
  const ahead = isNow.value ? starts.filter((s) => s.day >= today()) : starts.filter((s) => s.day === shown.value);
  const sorted = [...ahead].sort((a, b) => a.place.localeCompare(b.place, "en", { numeric: true }));
  return (
    <section class="plan-list">
      <h2>{isNow.value ? t("ui.plan.starts") : t("ui.plan.starts.of", { day: day(shown.value) })}</h2>
      {sorted.length === 0 ? <p>{t("ui.plan.starts.none")}</p> : (
        <div>
          {daysOf(sorted).map(([d, list]) => (
            <Fold key={d} day={d} says={tn("ui.plan.day.starts", list.length, { seed: mass(list.reduce((sum, s) => sum + s.mg, 0)) })}>
              <StartTable starts={list} title={t("ui.plan.starts.of", { day: day(d) })} />
            </Fold>
          ))}
        </div>
      )}
    </section>
  );
}

/* Lots that grow and are harvested before or after the day they are ready. */
export function OtherDays({ plan }: { plan: Plan }) {
  const list = plan.running.filter((r) => r.sentence !== "");
  if (list.length === 0) return null;
  return (
    <section class="plan-list">
      <h2>{t("ui.plan.other-days")}</h2>
      <Long rows={list.map((r) => <li key={r.lot} class="row-tall"><Mark tone="due" /><p>{r.sentence}</p></li>)} title={t("ui.plan.other-days")} />
    </section>
  );
}

/* What grows: when it is harvested, and from what that is reckoned. */
export function Growing({ plan }: { plan: Plan }) {
  if (plan.running.length === 0) return null;
  return (
    <details class="chart-table no-print">
      <summary>{t("ui.plan.growing")}</summary>
      <ul class="rows">
        {plan.running.map((r, i) => (
          <li key={i} class="row-tall">
            <Mark tone={r.later_days > 0 ? "due" : "waiting"} />
            <p>{t("ui.plan.growing.row", { place: r.chamber, item: r.item, day: day(r.harvest) })} <span class="small below">{r.reckoned}</span></p>
          </li>
        ))}
      </ul>
    </details>
  );
}

/* Lots whose result is tested again, and the day that moves. */
export function Retests({ plan }: { plan: Plan }) {
  if (plan.retests.length === 0) return null;
  return (
    <section class="plan-list">
      <h2>{t("ui.plan.retests")}</h2>
      <Long rows={plan.retests.map((r, i) => <li key={i} class="row-tall"><Mark tone="waiting" /><p>{r.sentence}</p></li>)} title={t("ui.plan.retests")} />
    </section>
  );
}

/* What the plan can promise each order. */
export function Orders({ plan }: { plan: Plan }) {
  if (plan.orders.length === 0) return null;
  const short = plan.orders.filter((o) => o.met < o.pieces || o.leaves !== o.day);
  const row = (o: Plan["orders"][number]) => (
    <li key={o.order ?? ""} class="row-tall">
      <Mark tone={o.met < o.pieces || o.leaves !== o.day ? "due" : "done"} />
      <p>
        {t("ui.plan.promise", { order: o.order ?? "", item: o.item, group: o.group, met: number(o.met), pieces: number(o.pieces), day: day(o.leaves) })}{" "}
        {o.leaves !== o.day ? t("ui.plan.promise.late", { day: day(o.day) }) : null}{" "}
        {o.instead.length > 0 ? `${o.instead.map((x) => x.sentence).join(", ")}.` : null}{" "}
        {o.rest ? t(o.rest.day === null ? "ui.plan.promise.none" : "ui.plan.promise.rest", { n: number(o.rest.pieces), day: o.rest.day === null ? "" : day(o.rest.day) }) : null} <Chance of={o} />
      </p>
    </li>
  );
  return (
    <section class="plan-list">
      <h2>{t("ui.plan.promises")}</h2>
      {short.length > 0 ? <Long rows={short.map(row)} title={t("ui.plan.promises")} /> : null}
      <details class="chart-table no-print"><summary>{tn("ui.plan.promises.whole", plan.orders.length - short.length)}</summary><ul class="rows">{plan.orders.filter((o) => !short.includes(o)).map(row)}</ul></details>
    </section>
  );
}

/* What orders were told, and whether the plan in force still keeps it. */
export function Promised({ taken }: { taken: TakenPlan }) {
  const now: { order: string | null; day: string; met: number }[] = taken.plan?.orders ?? taken.received?.orders ?? [];
  const orders = new Map(now.map((o) => [o.order, o]));
  const rows = taken.promised.flatMap((p) => p.told.map((told) => ({ order: p.order, ...told, now: orders.get(p.order) })));
  const broken = rows.filter((r) => r.now && r.now.day === r.day && r.now.met < r.pieces);
  if (rows.length === 0) return null;
  const row = (r: (typeof rows)[number], i: number) => (
    <li key={i} class="row-tall">
      <Mark tone={broken.includes(r) ? "stopped" : "done"} />
      <p>{t("ui.plan.told", { order: r.order, n: number(r.pieces), day: day(r.day) })} {broken.includes(r) ? t("ui.plan.told.broken", { n: number(r.now?.met ?? 0) }) : null}</p>
    </li>
  );
  return (
    <section class="plan-list">
      <h2>{t("ui.plan.told.title")}</h2>
      {broken.length > 0 ? <Long rows={broken.map(row)} title={t("ui.plan.told.title")} /> : null}
      <details class="chart-table no-print"><summary>{tn("ui.plan.told.kept", rows.length - broken.length)}</summary><ul class="rows">{rows.filter((r) => !broken.includes(r)).map(row)}</ul></details>
    </section>
  );
}

export function Rehearsed({ plan }: { plan: Plan }) {
  if (!plan.rehearsed || plan.rehearsed.length === 0) return null;
  return (
    <section class="plan-list">
      <h2>{t("ui.plan.rehearsed")}</h2>
      <ul class="rows">{plan.rehearsed.map((r) => <li key={r.item} class="row-tall"><p>{r.sentence}</p></li>)}</ul>
    </section>
  );
}

/* As a form asks for it: by the piece where it is bought so. */
function howMuch(g: number, pieces: number): Record<string, string> {
  return pieces > 0 ? { pieces: String(pieces) } : { mass: String(g / 1000) };
}

/* What to buy, and what was bought and is awaited. */
export function Purchases({ plan }: { plan: Plan }) {
  const mayAgree = may("record:delivery-agree"), mayReceive = may("record:receive");
  return (
    <>
      {plan.purchase.length > 0 ? (
        <section class="plan-list">
          <h2>{t("ui.plan.purchase")}</h2>
          <ul class="rows">
            {plan.purchase.map((p) => (
              <li key={p.item} class="row-tall"><Mark tone={p.late_days > 0 ? "stopped" : "due"} />
                <p>{p.sentence}{mayAgree ? <span class="small below no-print"><a href={recordPath("delivery-agree", { item: p.item, ...howMuch(p.order_g, p.order_pieces), ...(p.supplier === null ? {} : { supplier: p.supplier }) })}>{t("ui.plan.agree", { item: p.item })}</a></span> : null}</p>
              </li>
            ))}
          </ul>
        </section>
      ) : null}
      {plan.agreed.length > 0 ? (
        <section class="plan-list">
          <h2>{t("ui.plan.agreed")}</h2>
          <ul class="rows">
            {plan.agreed.map((d) => (
              <li key={d.delivery} class="row-tall"><Mark tone={d.late ? "due" : "waiting"} />
                <p>{d.sentence}
                  {mayReceive || mayAgree ? (
                    <span class="small below no-print">
                      {mayReceive ? <a href={recordPath("receive", { supplier: d.supplier, item: d.item, ...howMuch(d.g, d.pieces), delivery: d.delivery })}>{t("ui.plan.agreed.come", { code: d.delivery })}</a> : null}
                      {mayReceive && mayAgree ? " · " : null}
                      {mayAgree ? <a href={recordPath("delivery-agree", { code: d.delivery, supplier: d.supplier, item: d.item, day: d.day, ...howMuch(d.whole_g, d.whole_pieces) })}>{t("ui.plan.agreed.change", { code: d.delivery })}</a> : null}
                    </span>
                  ) : null}
                </p>
              </li>
            ))}
          </ul>
        </section>
      ) : null}
    </>
  );
}

/* A day's bars: what is wanted, what is there, what is short. */
export function wanted(b: DayBar, item: string, title: string): Question {
  return {
    title: `${title}, ${day(b.day)}`, about: "orders", of: b.day, with: item,
    inputs: [
      { name: t("ui.plan.key.booked"), value: number(b.booked) }, { name: t("ui.plan.orders"), value: number(b.orders) },
      { name: t("ui.plan.key.supply"), value: number(b.supply) }, { name: t("ui.plan.key.short"), value: number(b.short) },
    ],
  };
}

export function BarTable({ list, item }: { list: DayBar[]; item: string }) {
  return (
    <details class="chart-table">
      <summary>{t("ui.chart.table")}</summary>
      <div class="wide-table" role="region" aria-label={t("ui.plan.picture")} tabIndex={0}>
        <table class="ledger">
          <thead><tr><th scope="col">{t("ui.day")}</th><th scope="col" class="right">{t("ui.plan.key.booked")}</th><th scope="col" class="right">{t("ui.plan.orders")}</th><th scope="col" class="right">{t("ui.plan.key.supply")}</th><th scope="col" class="right">{t("ui.plan.key.short")}</th></tr></thead>
          <tbody>
            {list.map((b) => (
              <tr key={b.day}>
                <th scope="row">{day(b.day)}</th>
                <td class="right"><Num plain value={number(b.booked)} ask={wanted(b, item, t("ui.plan.key.booked"))} /></td>
                <td class="right"><Num plain value={number(b.orders)} ask={wanted(b, item, t("ui.plan.orders"))} /></td>
                <td class="right"><Num plain value={number(b.supply)} ask={{ title: `${t("ui.plan.key.supply")}, ${day(b.day)}`, about: "supply", of: b.day, with: item }} /></td>
                <td class="right"><Num plain value={number(b.short)} ask={wanted(b, item, t("ui.plan.key.short"))} /></td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  );
}

/* The strips in words. */
export function UseTable({ strips, first }: { strips: Strip[]; first: string }) {
  const uses = strips.flatMap((s) => s.uses.map((u) => ({ label: s.label, ...u })))
    .sort((a, b) => SIGN_ORDER.indexOf(a.state) - SIGN_ORDER.indexOf(b.state) || a.from - b.from || a.label.localeCompare(b.label));
  return (
    <details class="chart-table">
      <summary>{t("ui.plan.uses")}</summary>
      <ul class="plan-uses">
        {uses.map((u, i) => (
          <li key={i}>
            {t(u.label ? "ui.plan.use.one" : "ui.plan.use.many", { state: t(`ui.plan.use.${u.state}`), item: u.item, chamber: u.label, n: number(u.count), from: day(addDays(first, u.from)), to: day(addDays(first, u.to - 1)) })}
          </li>
        ))}
      </ul>
    </details>
  );
}

export function LimitTable({ plan, limits }: { plan: Plan; limits: Limit[] }) {
  if (limits.length === 0) return null;
  const isMass = (l: Limit) => ["treat", "soak", "harvest", "wash", "pack"].includes(l.name);
  const text = (l: Limit, v: number) => (isMass(l) ? mass(v * 1000) : l.name === "work" ? number(v / 1000, 1, 0) : number(v));
  return (
    <details class="chart-table">
      <summary>{t("ui.plan.limits")}</summary>
      <div class="wide-table" role="region" aria-label={t("ui.plan.limits")} tabIndex={0}>
        <table class="ledger">
          <thead><tr><th scope="col">{t("ui.day")}</th>{limits.map((l) => <NumHead key={l.name + l.work} title={limitName(l)} ask={{ how: t("ui.plan.limit.how", { limit: text(l, l.days[0]?.limit ?? 0) }) }} />)}</tr></thead>
          <tbody>
            {plan.capacity.map((c, i) => (
              <tr key={c.day}>
                <th scope="row">{day(c.day)}{c.closed ? <span class="small below">{t("ui.plan.key.closed")}</span> : null}</th>
                {limits.map((l) => {
                  const d = l.days[i] ?? { used: 0, limit: 0, share: 0 };
                  return <td key={l.name + l.work} class="right">{l.name !== "work" ? text(l, d.used) : d.limit + d.used === 0 ? DASH : t("ui.plan.limit.of", { used: text(l, d.used), limit: text(l, d.limit) })}{d.share >= FULL ? ` ${t("ui.plan.full")}` : ""}</td>;
                })}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  );
}
