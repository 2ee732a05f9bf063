/* Bars of supply against orders with the gap named, the strips of the chambers on the same days, and what the days' limits are
 * used for: one picture, as wide as there is room. */
import { useEffect, useRef, useState } from "preact/hooks";
import type { Closed } from "../api/types";
import { addDays, day as dayText, number } from "../base/format";
import { t } from "../base/words";
import { ask, type Question } from "../parts/ask";
import { type DayBar, FULL, type Limit, named, type Strip, type StripUse, thickness, type UseState } from "./layout";

export const BARS_H = 180;
const STRIP_GAP = 4;
const LIMIT_H = 22;
export const NARROW = 640;
const FIGURE = 10; /* width of a bold figure, rather too much */
export const RIGHT = 6; /* half a date stands out past the last day */

export const SIGNS: Record<UseState, string> = { running: "", taken: "", new: "", out: "×", added: "+", gone: "−", moved: "→", filled: "±" };

export interface Frame {
  left: number;
  column: number;
  width: number;
}

export function useWidth(): [{ current: HTMLDivElement | null }, number] {
  const ref = useRef<HTMLDivElement>(null);
  const [width, setWidth] = useState(960);
  useEffect(() => {
    const box = ref.current;
    if (!box) return undefined;
    const see = () => {
      if (box.clientWidth > 0) setWidth(box.clientWidth);
    };
    const watch = new ResizeObserver(see);
    watch.observe(box);
    see();
    return () => watch.disconnect();
  }, []);
  return [ref, width];
}

export function Bars({ list, frame, asked }: { list: DayBar[]; frame: Frame; asked: (b: DayBar) => Question }) {
  const [at, setAt] = useState(0);
  const [isOn, setOn] = useState(false);
  const most = list.reduce((m, b) => Math.max(m, b.orders, b.supply), 0);
  const scale = most > 0 ? (BARS_H - 34) / most : 0;
  const foot = BARS_H - 4;
  const h = (v: number) => Math.round(v * scale);
  const gap = (b: DayBar) => `−${number(b.short)}`;
  const names = named(list, frame.column, (b) => gap(b).length * FIGURE);
  const edge = frame.column > 40 ? 5 : frame.column > 16 ? 2 : 1;
  const thin = Math.round((frame.column - 2 * edge) * 0.2);
  const bar = list[Math.min(at, list.length - 1)];
  if (!bar) return null;
  const says = t("ui.plan.bar", { day: dayText(bar.day), orders: number(bar.orders), supply: number(bar.supply), short: number(bar.short) });
  const open = (b: DayBar) => ask({
    ...asked(b), value: t("ui.plan.bar", { day: dayText(b.day), orders: number(b.orders), supply: number(b.supply), short: number(b.short) }),
  });
  const key = (event: KeyboardEvent) => {
    const by = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, Home: -list.length, End: list.length }[event.key];
    if (by !== undefined) setAt(Math.max(0, Math.min(list.length - 1, at + by)));
    else if (event.key === "Enter" || event.key === " ") open(bar);
    else return;
    event.preventDefault();
  };
  const press = (event: MouseEvent) => {
    const box = (event.currentTarget as SVGGElement).querySelector(".plan-touch")?.getBoundingClientRect();
    const i = box && event.clientX > 0 ? Math.floor((event.clientX - box.left) / box.width * list.length) : at;
    const pressed = list[Math.max(0, Math.min(list.length - 1, i))] as DayBar;
    setAt(list.indexOf(pressed));
    open(pressed);
  };
  return (
    <g
      class="plan-bars num-drawn" role="slider" tabindex={0} aria-label={t("ui.plan.packs")} aria-valuemin={1} aria-valuemax={list.length}
      aria-valuenow={at + 1} aria-valuetext={says} onKeyDown={key} onClick={press} onFocus={() => setOn(true)} onBlur={() => setOn(false)}
    >
      <rect x={frame.left} y={0} width={frame.column * list.length} height={BARS_H} class="plan-touch" />
      {list.map((b, i) => {
        const x = frame.left + i * frame.column;
        const w = frame.column - 2 * edge;
        return (
          <g key={b.day}>
            {isOn && i === at ? <rect x={x} y={0} width={frame.column} height={BARS_H} class="plan-at" /> : null}
            <rect x={x + edge} y={foot - h(b.orders)} width={w} height={h(b.orders)} class="plan-orders" />
            <rect x={x + edge} y={foot - h(b.booked)} width={w} height={h(b.booked)} class="plan-booked" />
            <rect x={x + edge + thin} y={foot - h(b.supply)} width={Math.max(2, w - 2 * thin)} height={h(b.supply)} class="plan-supply" />
            {b.short > 0 ? <rect x={x + edge} y={foot - h(b.orders)} width={w} height={Math.max(3, h(b.short))} class="plan-short" /> : null}
          </g>
        );
      })}
      {names.map((i) => {
        const b = list[i] as DayBar;
        const half = gap(b).length * FIGURE / 2;
        const x = Math.min(frame.width - half, frame.left + (i + 0.5) * frame.column);
        return <text key={b.day} x={x} y={Math.max(14, foot - h(b.orders) - 6)} class="plan-gap">{gap(b)}</text>;
      })}
    </g>
  );
}

export function DayHeads({ first, days, y, frame }: { first: string; days: number; y: number; frame: Frame }) {
  const every = frame.column >= 22 ? 1 : frame.column >= 12 ? 2 : 3;
  const heads = [];
  for (let i = 0; i < days; i += every) {
    const d = addDays(first, i);
    const x = frame.left + (i + 0.5) * frame.column;
    heads.push(
      <g key={d}>
        <text x={x} y={y} class="plan-day">{dayText(d, { weekday: "narrow" })}</text>
        <text x={x} y={y + 17} class="plan-day plan-day-n">{dayText(d, { day: "numeric" })}</text>
      </g>,
    );
  }
  return <>{heads}</>;
}

/* Days on which the house is closed: a hatched column and a frame around the day; the sentences stand below the picture. */
function ClosedDays({ list, frame, height, headY }: { list: (Closed | null)[]; frame: Frame; height: number; headY: number }) {
  return (
    <>
      {list.map((c, i) => {
        if (!c) return null;
        const x = frame.left + i * frame.column;
        const w = frame.column;
        let hatch = "";
        for (let at = w; at <= height; at += 9) hatch += `M${x} ${at}L${x + w} ${at - w}`;
        return (
          <g key={i} class="plan-closed">
            <path d={hatch} class="plan-hatch" />
            <rect x={x + 1} y={headY - 14} width={w - 2} height={36} class="plan-closed-head" />
          </g>
        );
      })}
    </>
  );
}

function useText(u: StripUse, width: number): string {
  const many = u.count > 1 ? `${number(u.count)} × ` : "";
  const whole = `${SIGNS[u.state]}${SIGNS[u.state] ? " " : ""}${many}${u.item}`;
  if (whole.length * FIGURE + 10 <= width) return whole;
  const short = `${SIGNS[u.state]}${u.count > 1 ? number(u.count) : ""}`;
  return short.length * FIGURE + 8 <= width ? short : "";
}

function StripRow({ strip, y, height, frame, all }: { strip: Strip; y: number; height: number; frame: Frame; all: number }) {
  return (
    <g transform={`translate(0 ${y})`}>
      {strip.label ? <text x={0} y={height / 2 + 5} class="plan-label">{strip.label}</text> : null}
      {strip.uses.map((u, i) => {
        const x = frame.left + u.from * frame.column + 1;
        const w = Math.max(3, (u.to - u.from) * frame.column - 2);
        const h = strip.label ? height : thickness(u.count, all);
        return (
          <g key={i}>
            <rect x={x} y={0} width={w} height={h} rx="2" class={`plan-use plan-use-${u.state}`} />
            <text x={x + 5} y={Math.min(h, height) / 2 + 5} class="plan-item">{useText(u, w)}</text>
          </g>
        );
      })}
    </g>
  );
}

export function limitName(limit: Limit): string {
  return limit.name === "work" ? limit.work : t(`ui.plan.limit.${limit.name}`);
}

export function shortened(text: string, letters: number): string {
  return text.length > letters ? `${text.slice(0, letters - 1)}…` : text;
}

const NAME_H = 20;
export const LETTER = 8; /* of a label, in px: about what a letter takes */

/* A name too long for the column stands on a line of its own above its days. */
function limitHeight(limit: Limit, frame: Frame): number {
  return limitName(limit).length * LETTER > frame.left - 4 ? LIMIT_H + NAME_H : LIMIT_H;
}

/* Where each stands from y on, and where they end. */
export function limitRows(limits: Limit[], y: number, frame: Frame): { rows: { limit: Limit; y: number }[]; end: number } {
  const rows = [];
  for (const limit of limits) {
    rows.push({ limit, y });
    y += limitHeight(limit, frame);
  }
  return { rows, end: y };
}

export function LimitRow({ limit, y, frame }: { limit: Limit; y: number; frame: Frame }) {
  const above = limitHeight(limit, frame) - LIMIT_H;
  return (
    <g transform={`translate(0 ${y + above})`}>
      <text x={0} y={above > 0 ? -4 : 15} class="plan-label">{limitName(limit)}</text>
      {limit.days.map((d, i) => {
        const x = frame.left + i * frame.column + 1;
        const w = Math.max(2, frame.column - 2);
        const h = Math.round(Math.min(1, d.share) * (LIMIT_H - 4));
        return (
          <g key={i}>
            <rect x={x} y={0} width={w} height={LIMIT_H - 4} class="plan-cap" />
            <rect x={x} y={LIMIT_H - 4 - h} width={w} height={h} class={d.share >= FULL ? "plan-cap-full" : "plan-cap-used"} />
            {d.share >= FULL ? <path d={`M${x} 1H${x + w}`} class="plan-cap-lid" /> : null}
          </g>
        );
      })}
    </g>
  );
}

export function PlanPicture({ bars, strips, limits, closed = [], first, days, label, asked }: {
  bars: DayBar[] | null; strips: Strip[]; limits: Limit[]; closed?: (Closed | null)[]; first: string; days: number; label: string; asked: (b: DayBar) => Question;
}) {
  const [box, width] = useWidth();
  const left = width < NARROW ? 100 : 140;
  const frame = { left, width, column: (width - left - RIGHT) / days };
  const most = (bars ?? []).reduce((m, b) => Math.max(m, b.orders, b.supply), 0);
  const all = strips.reduce((s, row) => s + row.uses.reduce((n, u) => n + u.count, 0), 0);
  const headY = (bars ? BARS_H : 0) + 16;
  let y = headY + 28;
  const isGrouped = strips.length > 0 && strips[0]?.label === "";
  const rows = strips.map((strip) => {
    const height = strip.label ? 20 : thickness(strip.most, all);
    const row = { strip, y, height };
    y += height + STRIP_GAP;
    return row;
  });
  const limitsY = y + (rows.length > 0 ? 10 : 0);
  const uses = limitRows(limits, limitsY, frame);
  const height = uses.end + 4;
  const lines = [];
  for (let i = 0; i <= days; i++) lines.push(<path key={i} d={`M${left + i * frame.column} 0V${height}`} class="plan-grid" />);
  return (
    <div ref={box} class="plan-box">
      <svg class="plan-svg" viewBox={`0 0 ${width} ${height}`} width={width} height={height} role="group" aria-label={label}>
        {lines}
        <ClosedDays list={closed} frame={frame} height={height} headY={headY} />
        {bars ? (
          <>
            <text x={0} y={24} class="plan-label">{t("ui.plan.packs")}</text>
            <text x={0} y={46} class="plan-axis">{t("ui.plan.most", { n: number(most) })}</text>
            <Bars list={bars} frame={frame} asked={asked} />
            <path d={`M${left} ${BARS_H - 4}H${left + days * frame.column}`} class="plan-foot" />
          </>
        ) : null}
        <DayHeads first={first} days={days} y={headY} frame={frame} />
        {isGrouped ? <text x={0} y={headY + 42} class="plan-label">{t("ui.plan.grouped")}</text> : null}
        {rows.map((r, i) => <StripRow key={i} strip={r.strip} y={r.y} height={r.height} frame={frame} all={all} />)}
        {uses.rows.map((u) => <LimitRow key={u.limit.name + u.limit.work} limit={u.limit} y={u.y} frame={frame} />)}
      </svg>
    </div>
  );
}

export function Key({ name, text }: { name: string; text: string }) {
  return <span class="key"><svg viewBox="0 0 24 14" aria-hidden="true"><rect x="0.75" y="0.75" width="22.5" height="12.5" class={name} /></svg>{text}</span>;
}

export function PlanKey({ hasBars, hasClosed = false }: { hasBars: boolean; hasClosed?: boolean }) {
  const states: UseState[] = hasBars ? ["running", "taken", "new", "out"] : ["added", "gone", "moved", "filled"];
  return (
    <p class="plan-key">
      {hasBars ? (
        <>
          <Key name="plan-booked" text={t("ui.plan.key.booked")} />
          <Key name="plan-orders" text={t("ui.plan.key.forecast")} />
          <Key name="plan-supply" text={t("ui.plan.key.supply")} />
          <Key name="plan-short" text={t("ui.plan.key.short")} />
        </>
      ) : null}
      {states.map((s) => <Key key={s} name={`plan-use plan-use-${s}`} text={`${SIGNS[s]} ${t(`ui.plan.use.${s}`)}`.trim()} />)}
      {hasClosed ? <Key name="plan-closed-head" text={t("ui.plan.key.closed")} /> : null}
      {hasBars ? <Key name="plan-cap-full" text={t("ui.plan.key.full")} /> : null}
    </p>
  );
}
