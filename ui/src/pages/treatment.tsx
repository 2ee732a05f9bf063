/* The heat treatment of a load: the logged curve, what it is worth, and what decided. */
import { useMemo } from "preact/hooks";
import { useRead } from "../api/client";
import type { Treatment, TreatmentCurve } from "../api/types";
import { dateTime, number, percent, span, temperature } from "../base/format";
import { entryPath, lotPath } from "../base/route";
import { t, word } from "../base/words";
import { Chart, type ChartData } from "../parts/chart";
import { Mark, State } from "../parts/mark";
import { Shown } from "../parts/read";
import { Said } from "../parts/said";

const TONES = ["orange", "purple", "green", "ink"] as const;

function seconds(ms: number): string {
  return t("ui.treatment.seconds", { s: number(ms / 1000, 1, 0) });
}

function temperatures(c: TreatmentCurve): ChartData {
  return {
    x: c.points.map((p) => p.t_ms / 1000),
    lines: [
      ...c.probes.map((name, k) => ({
        label: name, values: c.points.map((p) => (p.temps_mc[k] ?? 0) / 1000), look: "solid" as const, tone: TONES[k % TONES.length] ?? "ink",
      })),
      { label: t("ui.treatment.coldest"), values: c.points.map((p) => p.coldest_mc / 1000), look: "dashed", tone: "blue" },
    ],
    limits: c.limit_mc !== null ? [{ label: t("ui.treatment.limit", { temp: temperature(c.limit_mc) }), value: c.limit_mc / 1000 }] : [],
    isTime: true,
  };
}

function rates(c: TreatmentCurve): ChartData {
  return {
    x: c.points.map((p) => p.t_ms / 1000), isTime: true,
    lines: [{ label: t("ui.treatment.rate"), values: c.points.map((p) => p.rate_milli / 1000), look: "solid", tone: "blue" }],
  };
}

function sums(c: TreatmentCurve): ChartData {
  return {
    x: c.points.map((p) => p.t_ms / 1000), isTime: true,
    lines: [
      { label: t("ui.treatment.best"), values: c.points.map((p) => p.f_best_ms / 1000), look: "dashed", tone: "blue" },
      { label: t("ui.treatment.conservative"), values: c.points.map((p) => p.f_conservative_ms / 1000), look: "solid", tone: "ink" },
    ],
  };
}

function Table({ c }: { c: TreatmentCurve }) {
  return (
    <table class="ledger">
      <thead>
        <tr>
          <th scope="col">{t("ui.time")}</th>
          {c.probes.map((p) => <th key={p} scope="col" class="right">{p}</th>)}
          <th scope="col" class="right">{t("ui.treatment.rate")}</th><th scope="col" class="right">{t("ui.treatment.best")}</th><th scope="col" class="right">{t("ui.treatment.conservative")}</th>
        </tr>
      </thead>
      <tbody>
        {c.points.map((p) => (
          <tr key={p.t_ms}>
            <td>{dateTime(p.t_ms)}</td>
            {p.temps_mc.map((mc, k) => <td key={k} class="right figure">{temperature(mc)}</td>)}
            <td class="right figure">{number(p.rate_milli / 1000, 3, 0)}</td><td class="right figure">{seconds(p.f_best_ms)}</td><td class="right figure">{seconds(p.f_conservative_ms)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Curve({ c, x }: { c: TreatmentCurve; x: Treatment }) {
  const temps = useMemo(() => temperatures(c), [c]);
  const rate = useMemo(() => rates(c), [c]);
  const sum = useMemo(() => sums(c), [c]);
  const table = <Table c={c} />;
  return (
    <>
      <section><h2>{t("ui.treatment.curve")}</h2><Chart data={temps} label={t("ui.treatment.chart", { lot: x.lot })} table={table} /></section>
      <section><h2>{t("ui.treatment.rate")}</h2><p class="small">{t("ui.treatment.rate.how", { temp: temperature(x.reference_mc), z: number(x.z_mc / 1000, 2, 0) })}</p><Chart data={rate} height={180} label={t("ui.treatment.rate")} table={table} /></section>
      <section>
        <h2>{t("ui.treatment.sum")}</h2>
        <p class="small">{t("ui.treatment.sum.how")}</p>
        <Chart data={sum} height={220} label={t("ui.treatment.sum")} table={table} />
        <dl class="figures">
          <div><dt>{t("ui.treatment.conservative")}</dt><dd class="figure">{seconds(c.f_conservative_ms)}</dd></div>
          <div><dt>{t("ui.treatment.best")}</dt><dd class="figure">{seconds(c.f_best_ms)}</dd></div>
          <div><dt>{t("ui.treatment.reduction")}</dt><dd class="figure">{c.reduction_shown}</dd></div>
          <div><dt>{t("ui.treatment.come-up")}</dt><dd class="figure">{percent(c.share_come_up_ppm)}</dd></div>
          <div><dt>{t("ui.treatment.hold")}</dt><dd class="figure">{percent(c.share_hold_ppm)}</dd></div>
          <div><dt>{t("ui.treatment.cooling")}</dt><dd class="figure">{percent(c.share_cooling_ppm)}</dd></div>
        </dl>
      </section>
      <section>
        <h2>{t("ui.treatment.log")}</h2>
        <ul class="rows">
          <li>{t("ui.treatment.logged", { n: number(c.logged) })}</li>
          <li>{c.lost > 0 ? <State tone="due" text={t("ui.treatment.lost", { n: number(c.lost) })} /> : t("ui.treatment.lost", { n: number(0) })}</li>
          <li>{c.gaps > 0 ? <State tone="due" text={t("ui.treatment.gaps", { n: number(c.gaps), longest: span(c.gap_longest_ms) })} /> : t("ui.treatment.gaps.none", { longest: seconds(c.gap_longest_ms) })}</li>
          <li>{c.overdue ? <State tone="stopped" text={t("ui.treatment.overdue")} /> : t("ui.treatment.calibrated")}</li>
          <li>{t("ui.treatment.coldest-probe", { probe: c.probes[c.coldest_probe] ?? String(c.coldest_probe + 1) })}</li>
        </ul>
      </section>
    </>
  );
}

function Decided({ x }: { x: Treatment }) {
  return (
    <section>
      <h2>{t("ui.treatment.decided")}</h2>
      <dl class="pairs">
        <dt>{t("ui.treatment.way")}</dt><dd>{word("treatment-way", x.way)}</dd>
        {x.recipe ? <><dt>{t("ui.treatment.recipe")}</dt><dd>{x.recipe}{x.recipe_source ? ` (${x.recipe_source})` : ""}</dd></> : null}
        {x.hold_s !== null && x.hold_wanted_s !== null ? <><dt>{t("ui.treatment.held")}</dt><dd>{t("ui.treatment.held.of", { held: number(x.hold_s), wanted: number(x.hold_wanted_s) })}</dd></> : null}
        {x.validation !== null ? <><dt>{t("ui.treatment.validation")}</dt><dd>{t(x.validation ? "ui.yes" : "ui.no")}</dd></> : null}
        {x.signed ? <><dt>{t("ui.treatment.signed")}</dt><dd>{x.signed.authority}, {dateTime(x.signed.at_ms)} · <a href={entryPath(x.signed.entry)}>{t("ui.entry.n", { n: x.signed.entry })}</a> · {t("ui.treatment.target", { log: number(x.signed.target_milli / 1000, 2, 0) })}</dd></> : null}
        <dt>{t("ui.treatment.papers")}</dt><dd>{x.papers.length === 0 ? t("ui.treatment.papers.none") : x.papers.map((p) => `${p.name} (${word("paper", p.kind)})`).join(", ")}</dd>
        <dt>{t("ui.treatment.entry")}</dt><dd><a href={entryPath(x.entry)}>{t("ui.entry.n", { n: x.entry })}</a></dd>
      </dl>
    </section>
  );
}

function Constants({ x }: { x: Treatment }) {
  return (
    <section>
      <h2>{t("ui.treatment.constants")}</h2>
      {x.stand_in ? <p class="note note-due"><Mark tone="due" /><span>{t("ui.treatment.stand-in", { set: x.stand_in })}</span></p> : null}
      <dl class="pairs">
        <dt>{t("ui.treatment.reference")}</dt><dd class="figure">{temperature(x.reference_mc)}</dd>
        <dt>z</dt><dd class="figure">{number(x.z_mc / 1000, 2, 0)}{"\u202f°C"}</dd>
        <dt>D</dt><dd class="figure">{seconds(x.d_ms)}</dd>
        {x.tested_max_mc !== null ? <><dt>{t("ui.treatment.tested")}</dt><dd class="figure">{temperature(x.tested_max_mc)}</dd></> : null}
      </dl>
      <ul class="plain-list">
        {x.constants.map((c) => <li key={c.name} class="small">{c.name} = {number(c.value, 4, 0)} {c.unit}: {c.source}, {c.locator} ({word("word", c.word)})</li>)}
      </ul>
      <div class="cautions"><ul>{x.cautions.map((c, i) => <li key={i}>{c}</li>)}</ul></div>
    </section>
  );
}

export function TreatmentPage({ code }: { code: string }) {
  const read = useRead<Treatment>(`/treatments/${encodeURIComponent(code)}`);
  return (
    <Shown read={read}>
      {(x) => (
        <article>
          <header class="page-head">
            <div>
              <p class="page-kicker">{x.item} · {x.place} · {dateTime(x.at_ms)}</p>
              <h1 class="code-title">{t("ui.treatment.title", { lot: x.lot })}</h1>
            </div>
            <p class="page-state"><State tone={x.met ? "done" : "stopped"} text={t(x.met ? "ui.treatment.met" : "ui.treatment.not-met")} /></p>
          </header>
          <div class="actions no-print"><a class="button" href={lotPath(x.lot)}>{t("ui.chamber.lot", { lot: x.lot })}</a></div>
          <Decided x={x} />
          {x.deviations.length > 0 ? (
            <section>
              <h2>{t("ui.treatment.deviations")}</h2>
              <ul class="rows">
                {x.deviations.map((d) => (
                  <li key={d.deviation}><State tone={d.closed_ms === null ? "due" : "done"} text={t(d.closed_ms === null ? "ui.treatment.open" : "ui.treatment.closed")} /> <Said text={d.sentence} /> <a href={entryPath(d.entry)}>{t("ui.entry.n", { n: d.entry })}</a></li>
                ))}
              </ul>
            </section>
          ) : null}
          {x.curve ? <Curve c={x.curve} x={x} /> : <p>{x.refused ?? t("ui.treatment.no-curve")}</p>}
          <Constants x={x} />
        </article>
      )}
    </Shown>
  );
}
