/* One chamber: what it is, measured and predicted on one chart, and what stood in it before. */
import { useMemo } from "preact/hooks";
import { useRead } from "../api/client";
import type { ChamberDetail } from "../api/types";
import { now } from "../base/clock";
import { dateTime, hours, mass, massRange, number, percent, temperature } from "../base/format";
import { lotPath } from "../base/route";
import { t } from "../base/words";
import { Num, NumHead } from "../parts/ask";
import { Chart, type ChartData } from "../parts/chart";
import { State } from "../parts/mark";
import { Shown } from "../parts/read";
import { may } from "../shell/session";
import { chamberState, readyText } from "./chambers";

function temperatures(c: ChamberDetail): ChartData {
  return {
    x: c.measured.map((m) => m.t_ms / 1000),
    lines: [{ label: t("ui.chamber.measured"), values: c.measured.map((m) => m.temp_mc / 1000), look: "solid", tone: "ink" }],
    limits: c.limits.map((l) => ({ label: `${l.name} ${temperature(l.temp_mc)}`, value: l.temp_mc / 1000 })),
    ticks: c.waterings.map((w) => ({ x: w.t_ms / 1000, label: `${w.litres} L` })),
    isTime: true,
  };
}

/* Heat so far is the sum over the measured part; the rest is predicted, with its band. */
function heat(c: ChamberDetail): ChartData {
  const at = now();
  const firstAhead = c.predicted.findIndex((p) => p.t_ms >= at);
  const split = firstAhead < 0 ? c.predicted.length - 1 : firstAhead;
  return {
    x: c.predicted.map((p) => p.t_ms / 1000),
    lines: [
      { label: t("ui.chamber.heat-low"), values: c.predicted.map((p) => p.heat_ch_low), look: "edge", tone: "blue" },
      { label: t("ui.chamber.so-far"), values: c.predicted.map((p, i) => (i <= split ? p.heat_ch : null)), look: "solid", tone: "ink" },
      { label: t("ui.chamber.predicted"), values: c.predicted.map((p, i) => (i >= split ? p.heat_ch : null)), look: "dashed", tone: "blue" },
      { label: t("ui.chamber.heat-high"), values: c.predicted.map((p) => p.heat_ch_high), look: "edge", tone: "blue" },
    ],
    band: [0, 3],
    now: at / 1000,
    isTime: true,
  };
}

function Charts({ c }: { c: ChamberDetail }) {
  const measured = useMemo(() => temperatures(c), [c]);
  const predicted = useMemo(() => heat(c), [c]);
  return (
    <>
      {c.measured.length > 0 ? (
        <section>
          <h2>{t("ui.chamber.temperature")}</h2>
          <Chart
            data={measured} label={t("ui.chamber.chart.temperature", { place: c.place })}
            table={(
              <table class="ledger">
                <thead><tr><th scope="col">{t("ui.time")}</th><NumHead title={t("ui.chamber.measured")} ask={{ about: "logged", of: c.place }} /></tr></thead>
                <tbody>{c.measured.map((m) => <tr key={m.t_ms}><td>{dateTime(m.t_ms)}</td><td class="right figure">{temperature(m.temp_mc)}</td></tr>)}</tbody>
              </table>
            )}
          />
        </section>
      ) : null}
      {c.predicted.length > 0 ? (
        <section>
          <h2>{t("ui.chamber.heat")}</h2>
          <Chart
            data={predicted} label={t("ui.chamber.chart.heat", { place: c.place })} height={240}
            table={(
              <table class="ledger">
                <thead>
                  <tr><th scope="col">{t("ui.time")}</th><NumHead title={t("ui.chamber.heat-low")} ask={{ about: "heat", of: c.place }} /><NumHead title={t("ui.chamber.predicted")} ask={{ about: "heat", of: c.place }} /><NumHead title={t("ui.chamber.heat-high")} ask={{ about: "heat", of: c.place }} /></tr>
                </thead>
                <tbody>
                  {c.predicted.map((p) => (
                    <tr key={p.t_ms}><td>{dateTime(p.t_ms)}</td><td class="right figure">{number(p.heat_ch_low)}</td><td class="right figure">{number(p.heat_ch)}</td><td class="right figure">{number(p.heat_ch_high)}</td></tr>
                  ))}
                </tbody>
              </table>
            )}
          />
        </section>
      ) : null}
    </>
  );
}

function Facts({ c }: { c: ChamberDetail }) {
  const seed = c.seed_mg !== null ? [{ name: t("ui.chamber.seed"), value: mass(c.seed_mg) }] : [];
  return (
    <dl class="figures">
      {c.expected_low_mg !== null && c.expected_high_mg !== null && c.expected_mg !== null ? (
        <div>
          <dt>{t("ui.chamber.expected")}</dt>
          <dd>
            <Num
              big value={massRange(c.expected_low_mg, c.expected_high_mg)}
              ask={{
                title: t("ui.chamber.expected"), how: t("ui.chamber.expected.how", { value: mass(c.expected_mg) }),
                inputs: seed, about: "expected", of: c.place,
              }}
            />
          </dd>
        </div>
      ) : null}
      {c.ready_ms !== null ? (
        <div>
          <dt>{t("ui.chamber.ready")}</dt>
          <dd>
            <Num big value={dateTime(c.ready_ms)} ask={{ title: t("ui.chamber.ready"), how: readyText(c) ?? "", about: "ready", of: c.place }} />
            <span class="small below">{c.reckoned}</span>
          </dd>
        </div>
      ) : null}
      {c.temp_mc !== null && c.temp_ms !== null ? (
        <div>
          <dt>{t("ui.chamber.temperature")}</dt>
          <dd><Num big value={temperature(c.temp_mc)} ask={{ title: t("ui.chamber.temperature"), how: t("ui.chamber.temperature.how", { when: dateTime(c.temp_ms) }), about: "logged", of: c.place }} /></dd>
        </div>
      ) : null}
      {c.seed_mg !== null ? <div><dt>{t("ui.chamber.seed")}</dt><dd><Num big value={mass(c.seed_mg)} ask={{ title: t("ui.chamber.seed"), how: t("ui.chamber.seed.how"), about: "seed", of: c.place }} /></dd></div> : null}
      {c.age_h !== null ? <div><dt>{t("ui.chamber.age")}</dt><dd><Num value={hours(c.age_h)} ask={{ title: t("ui.chamber.age"), about: "seed", of: c.place }} /></dd></div> : null}
      {c.share_left_ppm !== null && c.share_left_ppm < 1000000 ? <div><dt>{t("ui.chamber.left")}</dt><dd><Num value={percent(c.share_left_ppm)} ask={{ title: t("ui.chamber.left"), about: "seed", of: c.place }} /></dd></div> : null}
    </dl>
  );
}

const ACTS: Record<string, string[]> = {
  ready: ["harvest", "water", "empty"], growing: ["water", "sample", "harvest"], soaking: ["water"],
  "to-clean": ["clean"], empty: ["grow", "clean"], "out-of-service": [],
};

export function ChamberPage({ code }: { code: string }) {
  const read = useRead<ChamberDetail>(`/chambers/${encodeURIComponent(code)}`);
  return (
    <Shown read={read}>
      {(c) => (
        <article>
          <header class="page-head">
            <div>
              <p class="page-kicker">{[c.name === c.place ? "" : c.name, c.item ?? ""].filter((x) => x !== "").join(" · ")}</p>
              <h1 class="code-title">{c.place}</h1>
            </div>
            <p class="page-state"><State tone={c.tone} text={c.holds > 0 ? `${chamberState(c)}, ${t("ui.held")}` : chamberState(c)} /></p>
          </header>
          <Facts c={c} />
          <div class="actions no-print">
            {(ACTS[c.state] ?? []).filter((s) => may(`record:${s}`)).map((s, i) => (
              <a
                key={s} class={i === 0 ? "act" : "button"}
                href={`/record/${s}?${new URLSearchParams(s === "clean" ? { place: c.place } : { chamber: c.place }).toString()}`}
              >
                {t(`ui.kind.${s}`)}
              </a>
            ))}
            {c.lot ? <a class="button" href={lotPath(c.lot)}>{t("ui.chamber.lot", { lot: c.lot })}</a> : null}
          </div>
          <Charts c={c} />
          <section>
            <h2>{t("ui.chamber.uses")}</h2>
            {c.uses.length === 0 ? <p>{t("ui.chamber.uses.empty")}</p> : (
              <ul class="rows">
                {c.uses.map((u) => (
                  <li key={u.lot}>
                    <a href={lotPath(u.lot)}>{u.lot}</a> · {u.item} · {dateTime(u.start_ms)} – {u.emptied_ms ? dateTime(u.emptied_ms) : t("ui.chamber.still")}
                  </li>
                ))}
              </ul>
            )}
          </section>
        </article>
      )}
    </Shown>
  );
}
