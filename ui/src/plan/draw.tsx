/* Bars of supply against orders with the gap named, and the strips of the chambers on the same days. */
import { useRef, useState } from "preact/hooks";
import { addDays, day as dayText, number } from "../base/format";
import { t } from "../base/words";
import { ask, type Question } from "../parts/ask";
import type { DayBar, Strip } from "./layout";

const LEFT = 140;
const COLUMN = 46;
const BARS_H = 180;
const STRIP_H = 24;

function left(i: number): number {
  return LEFT + i * COLUMN;
}

function Bar({ bar, i, most, isStop, asked, step }: {
  bar: DayBar; i: number; most: number; isStop: boolean; asked: (b: DayBar) => Question; step: (event: KeyboardEvent, by: number) => void;
}) {
  const scale = most > 0 ? (BARS_H - 34) / most : 0;
  const h = (v: number) => Math.round(v * scale);
  const foot = BARS_H - 4;
  const x = left(i) + 5;
  const says = t("ui.plan.bar", { day: dayText(bar.day), orders: number(bar.orders), supply: number(bar.supply), short: number(bar.short) });
  const open = () => ask({ ...asked(bar), value: says });
  const key = (event: KeyboardEvent) => {
    if (event.key === "ArrowRight" || event.key === "ArrowLeft") step(event, event.key === "ArrowRight" ? 1 : -1);
    else if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      open();
    }
  };
  return (
    <g
      class="plan-bar num-drawn" role="button" tabIndex={isStop ? 0 : -1} aria-haspopup="dialog" aria-label={t("ui.ask.label", { what: t("ui.plan.packs"), value: says })}
      onClick={open} onKeyDown={key}
    >
      <rect x={left(i)} y={0} width={COLUMN} height={BARS_H} class="plan-touch" />
      <rect x={x} y={foot - h(bar.orders)} width={COLUMN - 10} height={h(bar.orders)} class="plan-orders" />
      <rect x={x} y={foot - h(bar.booked)} width={COLUMN - 10} height={h(bar.booked)} class="plan-booked" />
      <rect x={x + 9} y={foot - h(bar.supply)} width={COLUMN - 28} height={h(bar.supply)} class="plan-supply" />
      {bar.short > 0 ? (
        <>
          <rect x={x} y={foot - h(bar.orders)} width={COLUMN - 10} height={Math.max(3, h(bar.short))} class="plan-short" />
          <text x={x + (COLUMN - 10) / 2} y={foot - h(bar.orders) - 6} class="plan-gap">−{number(bar.short)}</text>
        </>
      ) : null}
    </g>
  );
}

function DayHeads({ first, days, y }: { first: string; days: number; y: number }) {
  const heads = [];
  for (let i = 0; i < days; i++) {
    const d = addDays(first, i);
    heads.push(
      <g key={d}>
        <text x={left(i) + COLUMN / 2} y={y} class="plan-day">{dayText(d, { weekday: "narrow" })}</text>
        <text x={left(i) + COLUMN / 2} y={y + 17} class="plan-day plan-day-n">{dayText(d, { day: "numeric" })}</text>
      </g>,
    );
  }
  return <>{heads}</>;
}

function StripRow({ strip, y }: { strip: Strip; y: number }) {
  return (
    <g transform={`translate(0 ${y})`}>
      <text x={0} y={16} class="plan-label">{strip.label}</text>
      {strip.uses.map((u, i) => (
        <g key={i}>
          <rect
            x={left(u.from) + 1} y={2} width={Math.max(6, (u.to - u.from) * COLUMN - 2)} height={STRIP_H - 5} rx="2"
            class={u.isTaken ? "plan-use plan-use-taken" : "plan-use"}
          />
          {u.to - u.from > 1 ? <text x={left(u.from) + 7} y={16} class="plan-item">{u.count > 1 ? `${number(u.count)} × ` : ""}{u.item}</text> : null}
        </g>
      ))}
    </g>
  );
}

export function PlanPicture({ bars, strips, first, days, label, asked }: {
  bars: DayBar[] | null; strips: Strip[]; first: string; days: number; label: string; asked: (b: DayBar) => Question;
}) {
  const svg = useRef<SVGSVGElement>(null);
  const [at, setAt] = useState(0);
  const step = (event: KeyboardEvent, by: number) => {
    event.preventDefault();
    setAt(Math.max(0, Math.min((bars ?? []).length - 1, at + by)));
    requestAnimationFrame(() => svg.current?.querySelector<SVGElement>('.plan-bar[tabindex="0"]')?.focus());
  };
  const most = (bars ?? []).reduce((m, b) => Math.max(m, b.orders, b.supply), 0);
  const top = bars ? BARS_H : 0;
  const headY = top + 16;
  const stripsY = headY + 30;
  const width = left(days) + 4;
  const height = stripsY + strips.length * STRIP_H + 6;
  const lines = [];
  for (let i = 0; i <= days; i++) lines.push(<path key={i} d={`M${left(i)} 0V${height}`} class="plan-grid" />);
  return (
    <div class="plan-scroll" role="region" aria-label={label} tabIndex={0}>
      <svg ref={svg} class="plan-svg" viewBox={`0 0 ${width} ${height}`} width={width} height={height} role="group" aria-label={label}>
        {lines}
        {bars ? (
          <>
            <text x={0} y={24} class="plan-label">{t("ui.plan.packs")}</text>
            <text x={0} y={46} class="plan-axis">{t("ui.plan.most", { n: number(most) })}</text>
            {bars.map((bar, i) => <Bar key={bar.day} bar={bar} i={i} most={most} isStop={i === Math.min(at, bars.length - 1)} asked={asked} step={step} />)}
            <path d={`M${LEFT} ${BARS_H - 4}H${width}`} class="plan-foot" />
          </>
        ) : null}
        <DayHeads first={first} days={days} y={headY} />
        {strips.length > 0 && strips[0]?.label === "" ? <text x={0} y={stripsY + 16} class="plan-label">{t("ui.plan.grouped")}</text> : null}
        {strips.map((s, i) => <StripRow key={i} strip={s} y={stripsY + i * STRIP_H} />)}
      </svg>
    </div>
  );
}

export function PlanKey() {
  return (
    <p class="plan-key">
      <span class="key"><svg viewBox="0 0 24 14" aria-hidden="true"><rect width="24" height="14" class="plan-booked" /></svg>{t("ui.plan.key.booked")}</span>
      <span class="key"><svg viewBox="0 0 24 14" aria-hidden="true"><rect x="0.5" y="0.5" width="23" height="13" class="plan-orders" /></svg>{t("ui.plan.key.forecast")}</span>
      <span class="key"><svg viewBox="0 0 24 14" aria-hidden="true"><rect width="24" height="14" class="plan-supply" /></svg>{t("ui.plan.key.supply")}</span>
      <span class="key"><svg viewBox="0 0 24 14" aria-hidden="true"><rect width="24" height="14" class="plan-short" /></svg>{t("ui.plan.key.short")}</span>
    </p>
  );
}
