/* The lists of a plan of fruit: what to do on a day, what comes in, why it is short, what to buy, and the tables behind the picture. */
import type { ReceivedPlan } from "../api/types";
import { DASH, day, hours, mass, number, percent } from "../base/format";
import { t, tn } from "../base/words";
import { Num, NumHead, type Question } from "../parts/ask";
import { Mark } from "../parts/mark";
import { type DayBar, FULL } from "../plan/layout";
import { coming, days, levels, machines, receivedBars, type Step, steps } from "../plan/received";
import { levelText } from "../plan/received_draw";
import { isNow, shown } from "../shell/day";
import { today } from "../shell/session";
import { Chance, Long } from "./plan_parts";

/* A shift weighs in kilograms. */
export function kg(g: number): string {
  return mass(Math.round(g / 1000) * 1e6, 1e6);
}

/* A day's bars: what is wanted, what is there, what is short. */
export function receivedWanted(b: DayBar, title: string): Question {
  return {
    title: `${title}, ${day(b.day)}`, how: t("ui.received.bar.how"),
    inputs: [
      { name: t("ui.plan.key.booked"), value: number(b.booked) }, { name: t("ui.plan.orders"), value: number(b.orders) },
      { name: t("ui.plan.key.supply"), value: number(b.supply) }, { name: t("ui.plan.key.short"), value: number(b.short) },
    ],
  };
}

function what(s: Step): string {
  return s.act === "used" ? s.name : t(`received.act.${s.act}`);
}

function DayTable({ list, of }: { list: Step[]; of: string }) {
  if (list.length === 0) return <p>{t("ui.received.day.none")}</p>;
  return (
    <div class="wide-table" role="region" aria-label={`${t("ui.received.do")}, ${day(of)}`} tabIndex={0}>
      <table class="ledger ledger-cards">
        <thead>
          <tr>
            <th scope="col">{t("ui.received.work")}</th><th scope="col">{t("ui.received.good")}</th>
            <NumHead title={t("ui.received.mass")} ask={{ how: t("ui.received.mass.how") }} /><th scope="col">{t("ui.received.gives")}</th>
          </tr>
        </thead>
        <tbody>
          {list.map((s, i) => (
            <tr key={i}>
              <th scope="row">{what(s)}</th>
              <td data-name={t("ui.received.good")}>{s.of === "" ? s.good : t("ui.received.good-of", { good: s.good, of: s.of })}</td>
              <td data-name={t("ui.received.mass")} class="right">{kg(s.g)}</td>
              <td data-name={t("ui.received.gives")}>{s.gives.length === 0 ? DASH : s.gives.map((x) => `${x.good} ${kg(x.g)}`).join(", ")}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/* Today and tomorrow, or the day that is chosen; the others are opened by who wants them. */
export function ToDo({ plan }: { plan: ReceivedPlan }) {
  const all = days(plan);
  const first = isNow.value ? all.slice(0, 2) : all.filter((d) => d === shown.value);
  const rest = isNow.value ? all.slice(2) : [];
  return (
    <section class="plan-todo">
      <h2>{t("ui.received.do")}</h2>
      {first.map((d) => <div key={d}><h3>{day(d)}{d === today() ? `, ${t("ui.today").toLowerCase()}` : ""}</h3><DayTable list={steps(plan, d)} of={d} /></div>)}
      {rest.map((d) => {
        const list = steps(plan, d);
        return list.length === 0 ? null : <details key={d} class="chart-table no-print"><summary>{day(d)}: {tn("ui.received.steps", list.length)}</summary><DayTable list={list} of={d} /></details>;
      })}
    </section>
  );
}

/* Of the plan in force: what of today is done since it was taken. */
export function OfToday({ plan }: { plan: ReceivedPlan }) {
  const list = plan.today ?? [];
  if (list.length === 0) return null;
  const columns = ["planned", "done", "left"] as const;
  return (
    <section class="plan-list plan-today">
      <h2>{t("ui.received.today")}</h2>
      <div class="wide-table" role="region" aria-label={t("ui.received.today")} tabIndex={0}>
        <table class="ledger ledger-cards">
          <thead>
            <tr>
              <th scope="col">{t("ui.received.work")}</th><th scope="col">{t("ui.received.good")}</th>
              {columns.map((c) => <NumHead key={c} title={t(`ui.received.${c}`)} ask={{ how: t(`ui.received.${c}.how`) }} />)}
            </tr>
          </thead>
          <tbody>
            {list.map((x, i) => (
              <tr key={i}>
                <th scope="row">{x.use ?? t(`received.act.${x.act}`)}</th>
                <td data-name={t("ui.received.good")}>{x.good}</td>
                {columns.map((c) => <td key={c} data-name={t(`ui.received.${c}`)} class="right">{x[`${c}_g`] > 0 ? kg(x[`${c}_g`]) : DASH}</td>)}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}

export function ComingIn({ plan }: { plan: ReceivedPlan }) {
  const list = coming(plan).filter((c) => c.agreed + c.expected + c.bought > 0);
  if (list.length === 0) return <p class="note"><Mark tone="due" /><span>{t("ui.received.coming.none")}</span></p>;
  const columns = ["agreed", "expected", "bought", "turned"] as const;
  return (
    <section class="plan-list">
      <h2>{t("ui.received.coming")}</h2>
      <div class="wide-table" role="region" aria-label={t("ui.received.coming")} tabIndex={0}>
        <table class="ledger ledger-cards">
          <thead><tr><th scope="col">{t("ui.day")}</th>{columns.map((c) => <NumHead key={c} title={t(`ui.received.coming.${c}`)} ask={{ how: t(`ui.received.coming.${c}.how`) }} />)}</tr></thead>
          <tbody>
            {list.map((c) => (
              <tr key={c.day}><th scope="row">{day(c.day)}</th>{columns.map((name) => <td key={name} data-name={t(`ui.received.coming.${name}`)} class="right">{c[name] > 0 ? kg(c[name]) : DASH}</td>)}</tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}

export function ReceivedShorts({ plan }: { plan: ReceivedPlan }) {
  if (plan.shorts.length === 0) return <p class="note note-done"><Mark tone="done" /><span>{t("ui.plan.enough")}</span></p>;
  const row = (s: ReceivedPlan["shorts"][number], i: number) => (
    <li key={i} class="row-tall"><Mark tone={s.forecast ? "waiting" : "due"} /><p>{s.order ? `${t("ui.received.order", { order: s.order })} ` : ""}{s.sentence} <Chance of={s} /></p></li>
  );
  return (
    <section class="plan-shorts">
      <h2>{tn("ui.plan.why", plan.shorts.length)}</h2>
      <Long rows={plan.shorts.map(row)} title={t("ui.plan.key.short")} />
      {plan.gains.length > 0 ? (
        <>
          <h3>{t("ui.received.gains")}</h3>
          <ul class="rows">{plan.gains.map((g, i) => <li key={i} class="row-tall"><p class="plan-gain">{g.sentence}</p></li>)}</ul>
        </>
      ) : null}
    </section>
  );
}

/* How sure it is: all in all, the days that may well be short, and what that is learnt from. */
export function HowSure({ plan }: { plan: ReceivedPlan }) {
  const c = plan.chance;
  if (!c || c.lines.length === 0) return null;
  const orders = c.lines.filter((l) => l.order !== null);
  const certain = orders.filter((l) => l.word === "certain").length;
  const open = c.days.filter((d) => d.word !== "certain");
  const inputs = [
    { name: t("ui.plan.sure.futures"), value: number(c.futures) }, { name: t("ui.plan.sure.short"), value: mass(c.short_g * 1000) },
    { name: t("ui.plan.sure.error"), value: percent(c.share_error_ppm, 2) },
  ];
  return (
    <section class="plan-list plan-sure-fruit">
      <h2>{t("ui.received.sure")}</h2>
      <p>
        {t("ui.plan.sure.expected")} <Num plain value={percent(c.share_ppm)} ask={{ title: t("ui.plan.sure.share"), how: t("ui.received.sure.how"), inputs }} />.{" "}
        {orders.length > 0 ? tn("ui.plan.sure.certain", certain, { of: number(orders.length) }) : null}
      </p>
      {plan.care ? <p>{plan.care.sentence}</p> : null}
      {c.no_room_g >= 1000 ? <p>{t("ui.received.sure.no-room", { mass: kg(c.no_room_g) })}</p> : null}
      {open.length > 0 ? <Long rows={open.map((d) => <li key={d.day} class="row-tall"><Mark tone="due" /><p>{t("ui.received.sure.day", { day: day(d.day), sentence: d.sentence })}</p></li>)} title={t("ui.received.sure.rest")} /> : <p>{t("ui.received.sure.days")}</p>}
      <details class="chart-table no-print"><summary>{tn("ui.received.learnt", c.learnt.filter((l) => l.known).length, { of: number(c.learnt.length) })}</summary><ul class="rows">{c.learnt.map((l) => <li key={l.name} class="row-tall"><p>{l.sentence}</p></li>)}</ul></details>
    </section>
  );
}

/* What uses are counted on to give: by the record or by the profile, which paper says too. */
export function Counted({ plan }: { plan: ReceivedPlan }) {
  const by = (record: boolean) => plan.counted.filter((c) => c.by_record === record).map((c) => c.use).join(", ");
  return (
    <section class="plan-list plan-counted">
      <h2>{t("ui.received.counted")}</h2>
      {by(true) ? <p>{t("ui.received.counted.record", { uses: by(true) })}</p> : null}
      {by(false) ? <p>{t("ui.received.counted.profile", { uses: by(false) })}</p> : null}
      {plan.chance ? null : <details class="chart-table no-print"><summary>{t("ui.received.counted.shares")}</summary><ul class="rows">{plan.counted.map((c) => <li key={c.use} class="row-tall"><p>{c.sentence}</p></li>)}</ul></details>}
    </section>
  );
}

export function Buy({ plan }: { plan: ReceivedPlan }) {
  if (plan.buy.length === 0) return null;
  return (
    <section class="plan-list">
      <h2>{t("ui.received.buy")}</h2>
      <Long rows={plan.buy.map((b, i) => <li key={i} class="row-tall"><Mark tone={b.order_by <= today() ? "due" : "waiting"} /><p>{b.sentence}</p></li>)} title={t("ui.received.buy")} />
    </section>
  );
}

/* What the plan would promise each order. */
export function ReceivedOrders({ plan }: { plan: ReceivedPlan }) {
  if (plan.orders.length === 0) return null;
  const short = plan.orders.filter((o) => o.met < o.pieces);
  const whole = plan.orders.filter((o) => o.met >= o.pieces);
  const row = (o: ReceivedPlan["orders"][number]) => (
    <li key={o.order} class="row-tall">
      <Mark tone={o.met < o.pieces ? "due" : "done"} />
      <p>{t("ui.plan.promise", { order: o.order, item: o.item, group: o.group, met: number(o.met), pieces: number(o.pieces), day: day(o.day) })} <Chance of={o} /></p>
    </li>
  );
  return (
    <section class="plan-list">
      <h2>{t("ui.plan.promises")}</h2>
      {short.length > 0 ? <Long rows={short.map(row)} title={t("ui.plan.promises")} /> : null}
      <details class="chart-table no-print"><summary>{tn("ui.plan.promises.whole", whole.length)}</summary><ul class="rows">{whole.map(row)}</ul></details>
    </section>
  );
}

interface Column {
  name: string;
  cells: string[];
}

function DaysTable({ title, how, plan, columns }: { title: string; how: string; plan: ReceivedPlan; columns: Column[] }) {
  return (
    <details class="chart-table">
      <summary>{title}</summary>
      <div class="wide-table" role="region" aria-label={title} tabIndex={0}>
        <table class="ledger">
          <thead><tr><th scope="col">{t("ui.day")}</th>{columns.map((c) => <NumHead key={c.name} title={c.name} ask={{ how }} />)}</tr></thead>
          <tbody>
            {days(plan).map((d, i) => <tr key={d}><th scope="row">{day(d)}</th>{columns.map((c) => <td key={c.name} class="right">{c.cells[i]}</td>)}</tr>)}
          </tbody>
        </table>
      </div>
    </details>
  );
}

/* The picture in words. */
export function ReceivedTables({ plan, item }: { plan: ReceivedPlan; item: string }) {
  const list = receivedBars(plan, item);
  const full = (share: number) => (share >= FULL ? ` ${t("ui.plan.full")}` : "");
  const packs: Column[] = [
    { name: t("ui.plan.key.booked"), cells: list.map((b) => number(b.booked)) }, { name: t("ui.plan.orders"), cells: list.map((b) => number(b.orders)) },
    { name: t("ui.plan.key.supply"), cells: list.map((b) => number(b.supply)) }, { name: t("ui.plan.key.short"), cells: list.map((b) => number(b.short)) },
  ];
  const stores = levels(plan).map((s, k): Column => ({
    name: s.store,
    cells: s.days.map((d, i) => {
      const tanks = plan.stores[k]?.days[i]?.tanks ?? null;
      const level = d.limit === null ? levelText(d.level, s.unit) : t("ui.plan.limit.of", { used: levelText(d.level, s.unit), limit: levelText(d.limit, s.unit) });
      const over = d.limit !== null && d.level > d.limit * 1.0005 ? ` ${t("ui.received.over")}` : d.limit !== null ? full(d.level / d.limit) : "";
      return `${level}${tanks === null ? "" : `, ${t("ui.received.tanks", { n: number(tanks), of: number(plan.stores[k]?.tanks ?? 0) })}`}${over}`;
    }),
  }));
  const works = machines(plan).map((m): Column => ({
    name: m.work, cells: m.days.map((d) => (d.limit === 0 && d.used === 0 ? DASH : t("ui.plan.limit.of", { used: hours(d.used / 60), limit: hours(d.limit / 60) }) + full(d.share))),
  }));
  return (
    <div class="plan-tables no-print">
      <DaysTable title={t("ui.chart.table")} how={t("ui.received.bar.how")} plan={plan} columns={packs} />
      <DaysTable title={t("ui.received.stores")} how={t("ui.received.stores.how")} plan={plan} columns={stores} />
      <DaysTable title={t("ui.received.hours")} how={t("ui.received.hours.how")} plan={plan} columns={works} />
    </div>
  );
}
