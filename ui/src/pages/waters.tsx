/* Water over days: what was read at each place against its limits, with product in it or not, and what
 * the laboratory said of the water itself. */
import { useMemo } from "preact/hooks";
import { useRead } from "../api/client";
import type { WaterPlace, Waters, WaterSeries } from "../api/types";
import { addDays, dateTime, number, unitText } from "../base/format";
import { entryPath, lotPath, place, query } from "../base/route";
import { t, word } from "../base/words";
import { NumHead } from "../parts/ask";
import { Chart, type ChartData } from "../parts/chart";
import { State } from "../parts/mark";
import { Empty, Shown } from "../parts/read";
import { shown } from "../shell/day";
import { Rooms } from "./safety";
import { Duties, Loops, Stops } from "./water_loops";

const DAYS = [1, 7, 30, 90];

function value(s: WaterSeries, milli: number): string {
  const unit = s.kind === "ph" ? "" : unitText(s.unit);
  return `${number(milli / 1000, s.kind === "ph" ? 2 : 1, 0)}${unit ? `\u202f${unit}` : ""}`;
}

function chartOf(p: WaterPlace, s: WaterSeries): ChartData {
  const limits = [
    ...(s.low !== null ? [{ label: t("ui.waters.low", { value: value(s, s.low) }), value: s.low / 1000 }] : []),
    ...(s.high !== null ? [{ label: t("ui.waters.high", { value: value(s, s.high) }), value: s.high / 1000 }] : []),
  ];
  const most = Math.max(...s.readings.map((r) => r.value)) / 1000;
  return {
    x: s.readings.map((r) => r.at_ms / 1000),
    lines: [{ label: t(`ui.waters.${s.kind}`), values: s.readings.map((r) => r.value / 1000), look: "solid", tone: "blue" }],
    /* A far upper limit would flatten the curve. */
    limits: limits.filter((l) => l.value <= most * 3),
    spans: p.product.map((x) => ({ from: x.from_ms / 1000, to: x.to_ms / 1000 })), spansLabel: t("ui.waters.product"),
    bad: s.readings.filter((r) => !r.ok).map((r) => ({ x: r.at_ms / 1000, y: r.value / 1000 })),
    isTime: true,
  };
}

function Series({ p, s }: { p: WaterPlace; s: WaterSeries }) {
  const data = useMemo(() => chartOf(p, s), [p, s]);
  const bad = s.readings.filter((r) => !r.ok).length;
  return (
    <section>
      <h3>{t(`ui.waters.${s.kind}`)} {bad > 0 ? <State tone="stopped" text={t("ui.waters.bad", { n: number(bad), of: number(s.readings.length) })} /> : <State tone="done" text={t("ui.waters.good", { n: number(s.readings.length) })} />}</h3>
      {s.low !== null || s.high !== null ? (
        <p class="small">
          {[s.low !== null ? t("ui.waters.low", { value: value(s, s.low) }) : "", s.high !== null ? t("ui.waters.high", { value: value(s, s.high) }) : "", s.source ?? ""].filter((x) => x !== "").join(" · ")}
        </p>
      ) : null}
      <Chart
        data={data} height={220} label={t("ui.waters.chart", { what: t(`ui.waters.${s.kind}`), place: p.place })}
        table={(
          <table class="ledger">
            <thead><tr><th scope="col">{t("ui.time")}</th><NumHead title={t(`ui.waters.${s.kind}`)} ask={{ how: t("ui.waters.how") }} /><th scope="col">{t("ui.waters.judged")}</th></tr></thead>
            <tbody>
              {s.readings.map((r) => (
                <tr key={`${r.entry} ${r.at_ms}`}><td><a href={entryPath(r.entry)}>{dateTime(r.at_ms)}</a></td><td class="right figure">{value(s, r.value)}</td><td>{t(r.ok ? "ui.waters.in-order" : "ui.waters.out")}</td></tr>
              ))}
            </tbody>
          </table>
        )}
      />
    </section>
  );
}

function Place({ p }: { p: WaterPlace }) {
  const lots = [...new Set(p.product.map((x) => x.lot))];
  return (
    <section>
      <h2>{p.place}</h2>
      {lots.length > 0 ? <p class="small">{t("ui.waters.held")} {lots.slice(0, 12).map((l) => <span key={l}><a href={lotPath(l)}>{l}</a> </span>)}</p> : <p class="small">{t("ui.waters.held.none")}</p>}
      {p.series.map((s) => <Series key={s.kind} p={p} s={s} />)}
    </section>
  );
}

function toneOf(state: string) {
  return state === "negative" || state === "confirmed-negative" ? "done" as const : state === "waiting" || state === "presumptive" ? "waiting" as const : "stopped" as const;
}

function Systems({ data }: { data: Waters }) {
  return (
    <section id="laboratory">
      <h2>{t("ui.waters.laboratory")}</h2>
      {data.systems.length === 0 ? <p>{t("ui.waters.laboratory.none")}</p> : data.systems.map((s) => (
        <section key={s.place}>
          <h3>{s.place}</h3>
          <ul class="rows">
            {s.results.map((r, i) => (
              <li key={i}>
                <State tone={toneOf(r.state)} text={word("finding", r.state)} /> {r.organism ?? ""} · {r.sample} · {t("ui.waters.drawn", { when: dateTime(r.taken_ms) })}
              </li>
            ))}
          </ul>
        </section>
      ))}
    </section>
  );
}

export function WatersPage() {
  const asked = Number(place.value.query.get("days") ?? "7");
  const back = DAYS.includes(asked) ? asked : 7;
  const read = useRead<Waters>(`/waters?from=${addDays(shown.value, 1 - back)}&to=${shown.value}`);
  return (
    <article>
      <header class="page-head"><h1>{t("ui.waters.title")}</h1></header>
      <Rooms at="water" />
      <div class="filters">
        <label class="filter">
          {t("ui.waters.days")}
          <select value={back} onChange={(e) => query({ days: e.currentTarget.value })}>
            {DAYS.map((n) => <option key={n} value={n}>{n}</option>)}
          </select>
        </label>
      </div>
      <Shown read={read}>
        {(data) => (
          <>
            <Stops data={data} />
            <Loops data={data} />
            <Duties data={data} />
            {data.places.length === 0 ? <Empty title={t("ui.waters.none")}><p>{t("ui.waters.none.do")}</p></Empty> : data.places.map((p) => <Place key={p.place} p={p} />)}
            <Systems data={data} />
          </>
        )}
      </Shown>
    </article>
  );
}
