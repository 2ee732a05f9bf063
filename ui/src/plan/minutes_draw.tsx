/* Runs, cleans and change-overs on the lines of a day, the trucks' cut-offs across them. */
import { useEffect, useRef, useState } from "preact/hooks";
import type { Dayline } from "../api/types";
import { clock, minutes, number } from "../base/format";
import { t } from "../base/words";
import { ask } from "../parts/ask";
import { type Bar, left, type LineRow, minutesOf, NAMES, type Picture, picture, ROW, shownPart } from "./minutes";

function what(bar: Bar): string {
  return bar.kind === "run" ? `${bar.chamber ?? ""} ${bar.item ?? ""}` : t(`ui.lines.${bar.kind}`);
}

function says(row: LineRow, bar: Bar): string {
  return t("ui.lines.bar", {
    what: what(bar), stage: row.place ? `${row.title} ${row.place}` : row.title, from: clock(bar.from_ms), to: clock(bar.to_ms),
    state: t(`ui.lines.state.${bar.state}`),
  });
}

function BarShape({ p, row, bar, isStop, step }: {
  p: Picture; row: LineRow; bar: Bar; isStop: boolean; step: (event: KeyboardEvent) => void;
}) {
  const x = left(p, bar.from_ms);
  const width = Math.max(4, left(p, bar.to_ms) - x - 1);
  const open = () => ask({
    title: `${what(bar)}, ${row.title}`, value: `${clock(bar.from_ms)}–${clock(bar.to_ms)}`, how: t("ui.lines.how"),
    inputs: [{ name: t("ui.lines.minutes"), value: number(minutesOf(bar.from_ms, bar.to_ms)) }, { name: t("ui.state"), value: t(`ui.lines.state.${bar.state}`) }],
  });
  const key = (event: KeyboardEvent) => {
    if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      open();
    } else step(event);
  };
  const room = width >= 40 ? bar.chamber ?? "" : "";
  return (
    <g class={`day-bar num-drawn day-${bar.kind} day-${bar.state}`} role="button" tabindex={isStop ? 0 : -1} aria-haspopup="dialog" aria-label={says(row, bar)} onClick={open} onKeyDown={key}>
      <rect x={x} y={row.y + 4} width={width} height={ROW - 9} rx={bar.kind === "run" ? 2 : 0} />
      {bar.kind === "run" && bar.state !== "planned" ? <path d={`M${x} ${row.y + ROW - 7}h${width}`} class="day-begun" /> : null}
      {bar.kind === "clean" ? <path d={waves(x, row.y + 4, width, ROW - 9)} class="day-hatch" /> : null}
      {bar.kind === "change" ? <path d={`M${x + width / 2} ${row.y + 7}v${ROW - 15}`} class="day-hatch" /> : null}
      {room === "" ? null : <text x={x + 5} y={row.y + 24} class="day-what">{room}</text>}
    </g>
  );
}

/* Slanted strokes inside a bar: a clean is known without its colour. */
function waves(x: number, y: number, width: number, height: number): string {
  let path = "";
  for (let at = 4; at < width + height; at += 8) {
    const x1 = Math.min(at, width);
    const y1 = at - x1;
    const x2 = Math.max(0, at - height);
    const y2 = Math.min(height, at);
    path += `M${x + x1} ${y + y1}L${x + x2} ${y + y2}`;
  }
  return path;
}

function TruckLine({ p, truck }: { p: Picture; truck: Picture["trucks"][number] }) {
  const x = left(p, truck.cut_off_ms);
  const isRight = x > p.width - 330;
  const state = truck.slack_min === null ? t(`ui.lines.truck.${truck.state}`)
    : t(truck.slack_min < 0 ? "ui.lines.late" : "ui.lines.early", { n: minutes(Math.abs(truck.slack_min)) });
  return (
    <g class={`day-truck day-truck-${truck.state}`}>
      <path d={`M${x} ${truck.y + 4}V${p.height}`} class="day-cut" />
      {truck.state === "late" ? <path d={`M${x - 6} ${truck.y + 6}l12 12m0 -12l-12 12`} class="day-cross" /> : <circle cx={x} cy={truck.y + 12} r="5" class="day-dot" />}
      <text x={isRight ? x - 12 : x + 12} y={truck.y + 18} class={isRight ? "day-name day-end" : "day-name"}>{`${truck.truck} ${clock(truck.cut_off_ms)} · ${state}`}</text>
    </g>
  );
}

/* Arrows go along a row and to the row above or below. */
function next(rows: LineRow[], at: [number, number], key: string): [number, number] | null {
  const [row, i] = at;
  const bars = rows[row]?.bars ?? [];
  if (key === "ArrowRight") return [row, Math.min(bars.length - 1, i + 1)];
  if (key === "ArrowLeft") return [row, Math.max(0, i - 1)];
  const by = key === "ArrowDown" ? 1 : key === "ArrowUp" ? -1 : 0;
  for (let to = row + by; by !== 0 && to >= 0 && to < rows.length; to += by) {
    const count = rows[to]?.bars.length ?? 0;
    if (count > 0) return [to, Math.min(i, count - 1)];
  }
  return null;
}

function Grid({ p, day }: { p: Picture; day: Dayline }) {
  return (
    <>
      {day.pauses.map((pause) => {
        const part = shownPart(p, pause.from_ms, pause.to_ms);
        return part ? <rect key={pause.from_ms} x={part[0]} y={p.top - 12} width={part[1] - part[0]} height={p.height - p.top + 12} class="day-pause" /> : null;
      })}
      {p.hours.map((ms) => (
        <g key={ms}>
          <path d={`M${left(p, ms)} ${p.top - 8}V${p.height}`} class="plan-grid" />
          <text x={left(p, ms)} y={p.top - 14} class="plan-day">{clock(ms)}</text>
        </g>
      ))}
      {p.rows.map((row) => (
        <path key={row.y} d={`M0 ${row.y}H${p.width}`} class="plan-grid" />
      ))}
    </>
  );
}

/* What each row is, in its place however far the picture is moved. */
function Names({ p }: { p: Picture }) {
  return (
    <svg class="plan-svg day-names" viewBox={`0 0 ${NAMES} ${p.height}`} width={NAMES} height={p.height} aria-hidden="true">
      {p.rows.map((row) => (
        <g key={row.y}>
          <path d={`M0 ${row.y}H${NAMES}`} class="plan-grid" />
          {row.stage ? <text x={0} y={row.place ? row.y + 17 : row.y + 24} class="plan-label">{row.stage}</text> : null}
          {row.place ? <text x={0} y={row.stage ? row.y + 33 : row.y + 24} class="day-place">{row.place}</text> : null}
        </g>
      ))}
    </svg>
  );
}

export function DayPicture({ day, label }: { day: Dayline; label: string }) {
  const svg = useRef<SVGSVGElement>(null);
  const scroll = useRef<HTMLDivElement>(null);
  const p = picture(day);
  const now_x = p && day.now_ms !== null ? left(p, day.now_ms) : 0;
  /* A narrow screen begins a little before now. */
  useEffect(() => {
    if (scroll.current) scroll.current.scrollLeft = Math.max(0, now_x - NAMES - (scroll.current.clientWidth - NAMES) / 2);
  }, [day.day]);
  const first = p ? p.rows.findIndex((r) => r.bars.length > 0) : -1;
  const [stop, setStop] = useState<[number, number] | null>(null);
  if (!p) return null;
  const here: [number, number] = stop && p.rows[stop[0]]?.bars[stop[1]] ? stop : [first, 0];
  const step = (event: KeyboardEvent) => {
    const to = next(p.rows, here, event.key);
    if (!to) return;
    event.preventDefault();
    setStop(to);
    requestAnimationFrame(() => svg.current?.querySelector<SVGElement>('.day-bar[tabindex="0"]')?.focus());
  };
  return (
    <div ref={scroll} class="plan-scroll day-scroll" role="region" aria-label={label} tabIndex={0}>
      <Names p={p} />
      <svg ref={svg} class="plan-svg day-svg" viewBox={`${NAMES} 0 ${p.width - NAMES} ${p.height}`} width={p.width - NAMES} height={p.height} role="group" aria-label={label}>
        <Grid p={p} day={day} />
        {p.rows.map((row, r) => row.bars.map((bar, i) => (
          <BarShape key={`${r} ${i}`} p={p} row={row} bar={bar} isStop={r === here[0] && i === here[1]} step={step} />
        )))}
        {p.trucks.map((truck) => <TruckLine key={truck.truck} p={p} truck={truck} />)}
        {day.now_ms === null ? null : (
          <g class="day-now">
            <path d={`M${left(p, day.now_ms)} ${p.now_y + 4}V${p.height}`} />
            <text x={left(p, day.now_ms) + 8} y={p.now_y + 18}>{`${t("ui.lines.now")} ${clock(day.now_ms)}`}</text>
          </g>
        )}
        <path d={`M0 ${p.top - 32}H${p.width}`} class="plan-grid" />
      </svg>
    </div>
  );
}

export function DayKey() {
  const shape = (kind: Bar["kind"], isBegun: boolean) => (
    <svg viewBox="0 0 32 16" aria-hidden="true" class={`day-svg day-${kind} day-${isBegun ? "done" : "planned"}`}>
      <rect x="1" y="1" width="30" height="13" />
      {isBegun ? <path d="M1 14h30" class="day-begun" /> : null}
      {kind === "clean" ? <path d={waves(1, 1, 30, 13)} class="day-hatch" /> : null}
      {kind === "change" ? <path d="M16 3v9" class="day-hatch" /> : null}
    </svg>
  );
  return (
    <p class="plan-key">
      <span class="key">{shape("run", false)}{t("ui.lines.state.planned")}</span>
      <span class="key">{shape("run", true)}{t("ui.lines.state.done")}</span>
      <span class="key">{shape("clean", false)}{t("ui.lines.clean")}</span>
      <span class="key">{shape("change", false)}{t("ui.lines.change")}</span>
      <span class="key"><svg viewBox="0 0 32 16" aria-hidden="true" class="day-svg"><rect x="1" y="1" width="30" height="13" class="day-pause" /></svg>{t("ui.lines.pause")}</span>
    </p>
  );
}
