/* A time series: what was measured is solid, what is predicted is dashed with its band, limits are lines
 * with their names, events are ticks. The same stands in a table behind it. */
import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";
import uPlot from "uplot";
import { decimalsFor, number, zone } from "../base/format";
import { language, t } from "../base/words";

export interface Line {
  label: string;
  values: (number | null)[];
  look: "solid" | "dashed" | "edge";
  tone: "ink" | "blue" | "orange" | "purple" | "green";
  unit?: string;
}

export interface ChartData {
  x: number[]; /* seconds, or any number where isTime is false */
  lines: Line[];
  band?: [number, number]; /* lines between which the band lies */
  limits?: { label: string; value: number }[];
  ticks?: { x: number; label: string }[];
  spans?: { from: number; to: number }[]; /* stretches of the time, drawn along the foot */
  spansLabel?: string;
  bad?: { x: number; y: number }[]; /* readings that were not in order */
  isTime: boolean;
  now?: number; /* a line across, at a place of x */
  nowText?: string;
}

function token(name: string): string {
  return getComputedStyle(document.documentElement).getPropertyValue(name).trim();
}

function drawOver(plot: uPlot, data: ChartData): void {
  const { ctx, bbox } = plot;
  const scale = devicePixelRatio;
  ctx.save();
  ctx.font = `600 ${13 * scale}px system-ui, sans-serif`;
  ctx.textAlign = "left";
  ctx.strokeStyle = token("--limit");
  ctx.fillStyle = token("--limit");
  ctx.lineWidth = 1.5 * scale;
  for (const limit of data.limits ?? []) {
    const y = plot.valToPos(limit.value, "y", true);
    if (y < bbox.top || y > bbox.top + bbox.height) continue;
    ctx.setLineDash([2 * scale, 3 * scale]);
    ctx.beginPath();
    ctx.moveTo(bbox.left, y);
    ctx.lineTo(bbox.left + bbox.width, y);
    ctx.stroke();
    ctx.textBaseline = "bottom";
    ctx.fillText(limit.label, bbox.left + 6 * scale, y - 2 * scale);
  }
  ctx.setLineDash([]);
  ctx.strokeStyle = token("--tick");
  ctx.lineWidth = 2 * scale;
  for (const tick of data.ticks ?? []) {
    const x = plot.valToPos(tick.x, "x", true);
    if (x < bbox.left || x > bbox.left + bbox.width) continue;
    const foot = bbox.top + bbox.height;
    ctx.beginPath();
    ctx.moveTo(x, foot);
    ctx.lineTo(x, foot - 10 * scale);
    ctx.stroke();
  }
  ctx.fillStyle = token("--line-green");
  for (const one of data.spans ?? []) {
    const left = Math.max(plot.valToPos(one.from, "x", true), bbox.left);
    const right = Math.min(plot.valToPos(one.to, "x", true), bbox.left + bbox.width);
    if (right < bbox.left || left > bbox.left + bbox.width) continue;
    ctx.fillRect(left, bbox.top + bbox.height - 8 * scale, Math.max(right - left, 2 * scale), 8 * scale);
  }
  ctx.strokeStyle = token("--stopped-mark");
  ctx.lineWidth = 3 * scale;
  for (const one of data.bad ?? []) {
    const x = plot.valToPos(one.x, "x", true);
    const y = plot.valToPos(one.y, "y", true);
    const r = 7 * scale;
    ctx.beginPath();
    ctx.moveTo(x - r, y - r);
    ctx.lineTo(x + r, y + r);
    ctx.moveTo(x + r, y - r);
    ctx.lineTo(x - r, y + r);
    ctx.stroke();
  }
  if (data.now !== undefined) {
    const x = plot.valToPos(data.now, "x", true);
    const nowText = data.nowText ?? t("ui.chart.now");
    ctx.strokeStyle = token("--ink-2");
    ctx.fillStyle = token("--ink-2");
    ctx.lineWidth = scale;
    ctx.beginPath();
    ctx.moveTo(x, bbox.top);
    ctx.lineTo(x, bbox.top + bbox.height);
    ctx.stroke();
    ctx.textBaseline = "top";
    const isEnd = x + 5 * scale + ctx.measureText(nowText).width > bbox.left + bbox.width;
    ctx.textAlign = isEnd ? "right" : "left";
    ctx.fillText(nowText, x + (isEnd ? -5 : 5) * scale, bbox.top + 2 * scale);
  }
  ctx.restore();
}

/* What stands at an axis, as all other figures are written. */
function figures(_plot: uPlot, splits: number[], _axis: number, _space: number, step: number): string[] {
  return splits.map((v) => number(v, decimalsFor(step)));
}

function options(data: ChartData, width: number, height: number): uPlot.Options {
  const ink = token("--ink");
  const grid = token("--rule");
  const axis: uPlot.Axis = {
    stroke: ink, font: "14px system-ui, sans-serif", grid: { stroke: grid, width: 1 }, ticks: { stroke: grid, width: 1 },
  };
  const series: uPlot.Series[] = [{}];
  for (const line of data.lines) {
    const one: uPlot.Series = {
      label: line.label, stroke: token(`--line-${line.tone}`), width: line.look === "edge" ? 1 : 2.5,
      spanGaps: false, points: { show: line.values.filter((v) => v !== null).length < 30 && line.look === "solid", size: 6 },
    };
    if (line.look === "dashed") one.dash = [8, 6];
    if (line.look === "edge") one.dash = [2, 4];
    series.push(one);
  }
  const lang = language.value === "es" ? "es" : "en-GB";
  const day = new Intl.DateTimeFormat(lang, { timeZone: zone.value, day: "numeric", month: "short" });
  const hour = new Intl.DateTimeFormat(lang, { timeZone: zone.value, hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
  const x: uPlot.Axis = data.isTime
    ? {
      ...axis, space: 80,
      values: (_plot, splits, _axis, _space, step) =>
        splits.map((s) => step >= 86400 ? day.format(s * 1000) : `${hour.format(s * 1000)}\n${day.format(s * 1000)}`),
      size: 48,
    }
    : { ...axis, values: figures };
  const made: uPlot.Options = {
    width, height, series, legend: { show: false }, cursor: { show: false },
    scales: { x: { time: data.isTime }, y: { range: (_p, low, high) => span(low, high, data) } },
    axes: [x, { ...axis, size: (_plot, texts) => Math.max(56, 16 + 9 * Math.max(...(texts ?? []).map((s) => s.length), 0)), values: figures }],
    hooks: { draw: [(plot) => drawOver(plot, data)] },
  };
  if (data.band) made.bands = [{ series: [data.band[1] + 1, data.band[0] + 1], fill: token("--band") }];
  return made;
}

function span(low: number, high: number, data: ChartData): [number, number] {
  const all = [low, high, ...(data.limits ?? []).map((l) => l.value)].filter((v) => Number.isFinite(v));
  const least = Math.min(...all);
  const most = Math.max(...all);
  const room = (most - least || 1) * 0.08;
  return [least - room, most + room];
}

export function Chart({ data, label, table, height = 320 }: {
  data: ChartData; label: string; table: ComponentChildren; height?: number;
}) {
  const box = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const at = box.current;
    if (!at) return undefined;
    const build = () => new uPlot(
      options(data, at.clientWidth, height),
      [data.x, ...data.lines.map((l) => l.values)] as uPlot.AlignedData, at);
    let plot = build();
    const resize = new ResizeObserver(() => plot.setSize({ width: at.clientWidth, height }));
    resize.observe(at);
    const dark = matchMedia("(prefers-color-scheme: dark)");
    const again = () => {
      plot.destroy();
      plot = build();
    };
    dark.addEventListener("change", again);
    return () => {
      resize.disconnect();
      dark.removeEventListener("change", again);
      plot.destroy();
    };
  }, [data, height, language.value]);
  return (
    <figure class="chart">
      <figcaption class="chart-key">
        {data.lines.filter((l) => l.look !== "edge").map((l) => (
          <span key={l.label} class="key">
            <svg viewBox="0 0 32 8" class={`key-line key-${l.tone} key-${l.look}`} aria-hidden="true"><path d="M0 4h32" /></svg>
            {l.label}
          </span>
        ))}
        {data.ticks && data.ticks.length > 0 ? (
          <span class="key"><svg viewBox="0 0 32 12" class="key-line key-tick" aria-hidden="true"><path d="M8 0v12M24 0v12" /></svg>{t("ui.chart.waterings")}</span>
        ) : null}
        {data.spans && data.spans.length > 0 && data.spansLabel ? (
          <span class="key"><svg viewBox="0 0 32 12" class="key-line key-span" aria-hidden="true"><path d="M0 9h32" /></svg>{data.spansLabel}</span>
        ) : null}
        {data.bad && data.bad.length > 0 ? (
          <span class="key"><svg viewBox="0 0 32 12" class="key-line key-bad" aria-hidden="true"><path d="M11 1l10 10M21 1l-10 10" /></svg>{t("ui.chart.bad")}</span>
        ) : null}
      </figcaption>
      <div ref={box} class="chart-box" role="img" aria-label={label} />
      <details class="chart-table">
        <summary>{t("ui.chart.table")}</summary>
        <div class="wide-table" role="region" aria-label={label} tabIndex={0}>{table}</div>
      </details>
    </figure>
  );
}
