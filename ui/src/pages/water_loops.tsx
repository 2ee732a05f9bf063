/* Water that goes round: stops that stand, what contact with the disinfectant was worth tank by tank, what
 * gathers in it and when it has to be changed; and what comes round next. */
import { useMemo } from "preact/hooks";
import type { WaterBalance, WaterContact, WaterLoop, Waters } from "../api/types";
import { dateTime, number, unitText } from "../base/format";
import { entryPath, recordPath } from "../base/route";
import { t } from "../base/words";
import { Num, NumHead } from "../parts/ask";
import { Chart, type ChartData } from "../parts/chart";
import { Mark, State } from "../parts/mark";

const WIDE = 300; /* of a bar, in its own units */

/* The tables say nothing above three decimals of Giardia and four of viruses. */
const GIARDIA_MOST = 3000, VIRUS_MOST = 4000;

function decimals(milli: number, most: number): string {
  return milli > most ? `>\u202f${number(most / 1000)}` : number(milli / 1000, 2, 0);
}

/* A bar against a line: what it brings against what is asked. Beyond twice of that it is cut. */
function Bar({ milli, asked, low }: { milli: number; asked: number; low: boolean }) {
  const most = Math.max(asked * 2, 1);
  const at = (m: number) => Math.min(m / most, 1) * WIDE;
  return (
    <svg class="ct-bar" viewBox={`0 0 ${WIDE} 22`} preserveAspectRatio="none" aria-hidden="true">
      <rect class="ct-room" x="0" y="4" width={WIDE} height="14" />
      <rect class={low ? "ct-low" : "ct-fill"} x="0" y="4" width={at(milli)} height="14" />
      {asked > 0 ? <path class="ct-asked" d={`M${at(asked)} 0v22`} /> : null}
    </svg>
  );
}

function Worth({ title, milli, asked, most }: { title: string; milli: number; asked: number; most: number }) {
  if (asked === 0) return null;
  return (
    <div class="ct-row">
      <span>{title}</span>
      <Bar milli={milli} asked={asked} low={milli < asked} />
      <Num value={t("ui.waters.of", { value: decimals(milli, most), asked: decimals(asked, most) })} ask={{ title, how: t("ui.waters.contact.how"), calc: "ct-credit" }} />
    </div>
  );
}

function Tanks({ c }: { c: WaterContact }) {
  return (
    <div class="wide-table" role="region" aria-label={t("ui.waters.tanks")} tabIndex={0}>
      <table class="ledger">
        <thead>
          <tr>
            <th scope="col">{t("ui.waters.tank")}</th>
            <NumHead title={t("ui.waters.volume")} ask={{ how: t("ui.waters.tank.how") }} />
            <NumHead title={t("ui.waters.flow.highest")} ask={{ how: t("ui.waters.tank.how") }} />
            <NumHead title={t("ui.waters.baffling")} ask={{ how: t("ui.waters.tank.how") }} />
            <NumHead title={t("ui.waters.t10")} ask={{ how: t("ui.waters.contact.how"), calc: "ct-credit" }} />
            <NumHead title={t("ui.waters.giardia")} ask={{ how: t("ui.waters.contact.how"), calc: "ct-credit" }} />
            <NumHead title={t("ui.waters.virus")} ask={{ how: t("ui.waters.contact.how"), calc: "ct-credit" }} />
          </tr>
        </thead>
        <tbody>
          {c.segments.map((s) => (
            <tr key={s.code}>
              <td>{s.code}</td>
              <td class="right figure">{number(s.volume_ml / 1000)} L</td>
              <td class="right figure">{number(s.flow_ml_min / 1000, 1, 0)} L/min</td>
              <td class="right figure">{number(s.baffling / 1000, 2, 1)}</td>
              <td class="right figure">{number(s.t10_ms / 60000, 1)} min</td>
              <td class="right figure">{decimals(s.giardia, GIARDIA_MOST)}</td>
              <td class="right figure">{decimals(s.virus, VIRUS_MOST)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/* One decimal of a reading, and the line it stands in. */
function Worst({ c }: { c: WaterContact }) {
  return (
    <p class="small">
      {t("ui.waters.worst")}{" "}
      {c.worst.filter((w) => w.value !== null).map((w, i) => {
        const unit = w.kind === "ph" ? "" : unitText(w.unit);
        const text = `${t(`ui.waters.${w.kind}`)} ${number((w.value ?? 0) / 1000, w.kind === "ph" ? 2 : 1, 0)}${unit ? `\u202f${unit}` : ""}`;
        return <span key={w.kind}>{i > 0 ? " · " : ""}{w.entry !== null ? <a href={entryPath(w.entry)}>{text}</a> : text}</span>;
      })}
    </p>
  );
}

function Contact({ c, periods }: { c: WaterContact; periods: WaterLoop["periods"] }) {
  const tone = c.low ? "stopped" : c.known ? "done" : "waiting";
  return (
    <section>
      <h3>{t("ui.waters.contact")} <State tone={tone} text={t(c.low ? "ui.waters.contact.low" : c.known ? "ui.waters.contact.enough" : "ui.waters.contact.unknown")} /></h3>
      <p class="small">{t("ui.waters.since", { when: dateTime(c.from_ms) })} · {c.source}</p>
      {c.known || c.low ? ( /* nothing known is not nothing */
        <>
          <Worth title={t("ui.waters.giardia")} milli={c.giardia} asked={c.giardia_asked} most={GIARDIA_MOST} />
          <Worth title={t("ui.waters.virus")} milli={c.virus} asked={c.virus_asked} most={VIRUS_MOST} />
        </>
      ) : null}
      {c.worst.some((w) => w.value !== null) ? <Worst c={c} /> : null}
      {c.segments.length > 0 ? <Tanks c={c} /> : <p>{t("ui.waters.tanks.none")}</p>}
      {periods.length > 1 ? (
        <details>
          <summary>{t("ui.waters.periods")}</summary>
          <ul class="rows">
            {periods.map((p) => (
              <li key={p.from_ms}>
                <State tone={p.low ? "stopped" : p.known ? "done" : "waiting"} text={dateTime(p.from_ms)} />{" "}
                {p.known || p.low ? `${t("ui.waters.giardia")} ${decimals(p.giardia, GIARDIA_MOST)} · ${t("ui.waters.virus")} ${decimals(p.virus, VIRUS_MOST)}` : t("ui.waters.contact.unknown")}
              </li>
            ))}
          </ul>
        </details>
      ) : null}
      <p class="small">{t("ui.waters.contact.caution")}</p>
    </section>
  );
}

function value(b: WaterBalance, milli: number): string {
  return `${number(milli / 1000, milli < 10000 ? 1 : 0, 0)}\u202f${unitText(b.unit)}`;
}

/* Measured and predicted on one time line; they meet at the last reading. */
function chartOf(b: WaterBalance): ChartData {
  const ahead = b.forecast.slice(1);
  const x = [...b.readings.map((r) => r.at_ms / 1000), ...ahead.map((r) => r.at_ms / 1000)];
  const seen = b.readings.map((r) => r.value / 1000);
  const last = seen[seen.length - 1] ?? null;
  return {
    x,
    lines: [
      { label: t("ui.waters.measured"), values: [...seen, ...ahead.map(() => null)], look: "solid", tone: "blue" },
      { label: t("ui.waters.predicted"), values: [...seen.map((_, i) => i === seen.length - 1 ? last : null), ...ahead.map((r) => r.value / 1000)], look: "dashed", tone: "orange" },
    ],
    limits: [{ label: t("ui.waters.high", { value: value(b, b.limit) }), value: b.limit / 1000 }],
    isTime: true,
  };
}

function sayReach(b: WaterBalance): string {
  if (b.reach === "above") return t("ui.waters.reach.above", { limit: value(b, b.limit) });
  if (b.reach === "reaches" && b.reach_ms !== null) return t("ui.waters.reach.at", { limit: value(b, b.limit), when: dateTime(b.reach_ms) });
  return t(b.known ? "ui.waters.reach.never" : "ui.waters.reach.unknown", { limit: value(b, b.limit) });
}

function Balance({ place, b }: { place: string; b: WaterBalance }) {
  const data = useMemo(() => chartOf(b), [b]);
  const last = b.readings[b.readings.length - 1];
  const known = (title: string) => ({ title, how: t("ui.waters.balance.how"), calc: "water-balance" });
  return (
    <section>
      <h3>{t(`ui.waters.${b.measure}`)} <State tone={b.reach === "above" ? "stopped" : b.due ? "due" : b.known ? "done" : "waiting"} text={b.due && b.change_by_ms !== null ? t("ui.waters.change.by", { when: dateTime(b.change_by_ms) }) : t(b.known ? "ui.waters.change.none" : "ui.waters.reach.more")} /></h3>
      <p>{sayReach(b)}</p>
      <dl class="pairs">
        {last ? <><dt>{t("ui.waters.last")}</dt><dd class="figure"><Num value={value(b, last.value)} ask={known(t("ui.waters.last"))} /> · {dateTime(last.at_ms)}</dd></> : null}
        {b.steady !== null ? <><dt>{t("ui.waters.steady")}</dt><dd class="figure"><Num value={value(b, b.steady)} ask={known(t("ui.waters.steady"))} /></dd></> : null}
        <dt>{t("ui.waters.leaves")}</dt><dd class="figure">{b.flows_read ? <Num value={`${number(b.leaves_ml_h / 1000)} L/h`} ask={known(t("ui.waters.leaves"))} /> : t("ui.waters.leaves.none")}</dd>
        <dt>{t("ui.waters.changed")}</dt><dd>{b.changed_ms !== null ? dateTime(b.changed_ms) : t("ui.waters.changed.never")}</dd>
        {b.next_change_ms !== null ? <><dt>{t("ui.waters.next")}</dt><dd>{dateTime(b.next_change_ms)}</dd></> : null}
      </dl>
      {b.readings.length > 0 ? (
        <Chart
          data={data} height={240} label={t("ui.waters.chart", { what: t(`ui.waters.${b.measure}`), place })}
          table={(
            <table class="ledger">
              <thead><tr><th scope="col">{t("ui.time")}</th><NumHead title={t(`ui.waters.${b.measure}`)} ask={{ how: t("ui.waters.balance.how"), calc: "water-balance" }} /><th scope="col">{t("ui.waters.judged")}</th></tr></thead>
              <tbody>
                {b.readings.map((r) => <tr key={`r${r.at_ms}`}><td>{dateTime(r.at_ms)}</td><td class="right figure">{value(b, r.value)}</td><td>{t("ui.waters.measured")}</td></tr>)}
                {b.forecast.slice(1).map((r) => <tr key={`f${r.at_ms}`}><td>{dateTime(r.at_ms)}</td><td class="right figure">{value(b, r.value)}</td><td>{t("ui.waters.predicted")}</td></tr>)}
              </tbody>
            </table>
          )}
        />
      ) : null}
      <p class="small">{t("ui.waters.balance.how")}</p>
      <div class="actions"><a class="act" href={recordPath("water-change", { place })}>{t("ui.waters.change")}</a></div>
    </section>
  );
}

export function Stops({ data }: { data: Waters }) {
  return (
    <>
      {data.stops.map((s) => (
        <section key={s.place} class="note note-stopped">
          <p><Mark tone="stopped" /> <strong>{t("ui.waters.stopped", { place: s.place, when: dateTime(s.since_ms), why: s.why })}</strong></p>
          <p>
            {s.heard_ms !== null && s.heard_by !== null ? t("ui.waters.heard", { when: dateTime(s.heard_ms), by: number(s.heard_by) }) : t("ui.waters.unheard")}{" "}
            <a href={recordPath(s.heard_ms !== null ? "water-restart" : "stop-heard", { place: s.place })}>{t(s.heard_ms !== null ? "ui.waters.restart" : "ui.waters.hear")}</a>
            {" · "}<a href={entryPath(s.entry)}>{t("ui.waters.stop.entry")}</a>
          </p>
        </section>
      ))}
    </>
  );
}

export function Loops({ data }: { data: Waters }) {
  return (
    <>
      {data.loops.map((l) => (
        <section key={l.place} class="loop">
          <h2>{t("ui.waters.loop", { place: l.place })}</h2>
          {l.rule !== null ? <p class="small">{t("ui.waters.rule", { rule: l.rule })}</p> : null}
          {l.contact !== null ? <Contact c={l.contact} periods={l.periods} /> : null}
          {l.balance !== null ? <Balance place={l.place} b={l.balance} /> : null}
        </section>
      ))}
    </>
  );
}

const DUTY_TONE: Record<string, "done" | "due" | "stopped"> = { done: "done", due: "due", late: "due", overdue: "stopped" };

export function Duties({ data }: { data: Waters }) {
  if (data.duties.length === 0) return null;
  return (
    <section id="duties">
      <h2>{t("ui.waters.duties")}</h2>
      <ul class="rows">
        {data.duties.map((d) => (
          <li key={d.code}>
            <State tone={DUTY_TONE[d.state] ?? "waiting"} text={t("ui.waters.due", { when: dateTime(d.due_ms) })} /> {d.title}{d.place !== null ? ` (${d.place})` : ""}
          </li>
        ))}
      </ul>
    </section>
  );
}
