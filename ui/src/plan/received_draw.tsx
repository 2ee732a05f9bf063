/* Demand against supply, what each store holds against its limit and the hours of each machine, on the same days. */
import type { ReceivedPlan } from "../api/types";
import { number, THIN } from "../base/format";
import { t } from "../base/words";
import type { Question } from "../parts/ask";
import { Bars, BARS_H, DayHeads, type Frame, Key, LETTER, LimitRow, limitRows, NARROW, RIGHT, shortened, useWidth } from "./draw";
import { type DayBar, FULL } from "./layout";
import { type Level, levels, machines, receivedBars } from "./received";

const LEVEL_H = 54;
const LEVEL_GAP = 12;

/* Thousandths of a unit, tonnes from ten thousand kilograms on. */
export function levelText(milli: number, unit: "kg" | "L"): string {
  return unit === "kg" && milli >= 1e7 ? `${number(milli / 1e6, 1, 0)}${THIN}t` : `${number(milli / 1000)}${THIN}${unit}`;
}

function LevelRow({ level, y, frame }: { level: Level; y: number; frame: Frame }) {
  const h = (v: number) => Math.round((v / level.scale) * LEVEL_H);
  const letters = Math.floor((frame.left - 4) / LETTER);
  return (
    <g transform={`translate(0 ${y})`}>
      <text x={0} y={18} class="plan-label">{shortened(level.store, letters)}<title>{level.store}</title></text>
      <text x={0} y={36} class="plan-axis">{t("ui.plan.most", { n: levelText(level.most, level.unit) })}</text>
      <text x={0} y={53} class="plan-axis">{level.limit === null ? t("ui.received.no-limit") : t("ui.received.limit", { n: levelText(level.limit, level.unit) })}</text>
      {level.days.map((d, i) => {
        const x = frame.left + i * frame.column + 1;
        const w = Math.max(2, frame.column - 2);
        const isOver = d.limit !== null && d.level > d.limit * 1.0005;
        const isFull = d.limit !== null && d.level >= d.limit * FULL;
        return (
          <g key={i}>
            <rect x={x} y={LEVEL_H - h(d.level)} width={w} height={h(d.level)} class={isOver ? "plan-short" : isFull ? "plan-cap-full" : "plan-cap-used"} />
            {d.limit !== null ? <path d={`M${x - 1} ${LEVEL_H - h(d.limit)}h${w + 2}`} class={isFull ? "plan-cap-lid" : "plan-limit"} /> : null}
          </g>
        );
      })}
      <path d={`M${frame.left} ${LEVEL_H}h${frame.column * level.days.length}`} class="plan-cap" />
    </g>
  );
}

export function ReceivedPicture({ plan, item, label, asked }: { plan: ReceivedPlan; item: string; label: string; asked: (b: DayBar) => Question }) {
  const [box, width] = useWidth();
  const left = width < NARROW ? 100 : 140;
  const frame = { left, width, column: (width - left - RIGHT) / plan.days };
  const bars = receivedBars(plan, item);
  const most = bars.reduce((m, b) => Math.max(m, b.orders, b.supply), 0);
  const stores = levels(plan);
  const hours = machines(plan);
  const headY = BARS_H + 16;
  const storesY = headY + 34;
  const hoursY = storesY + stores.length * (LEVEL_H + LEVEL_GAP) + 6;
  const uses = limitRows(hours, hoursY, frame);
  const height = uses.end + 4;
  const lines = [];
  for (let i = 0; i <= plan.days; i++) lines.push(<path key={i} d={`M${left + i * frame.column} 0V${height}`} class="plan-grid" />);
  return (
    <div ref={box} class="plan-box">
      <svg class="plan-svg" viewBox={`0 0 ${width} ${height}`} width={width} height={height} role="group" aria-label={label}>
        {lines}
        <text x={0} y={24} class="plan-label">{t("ui.plan.packs")}</text>
        <text x={0} y={46} class="plan-axis">{t("ui.plan.most", { n: number(most) })}</text>
        <Bars list={bars} frame={frame} asked={asked} />
        <path d={`M${left} ${BARS_H - 4}H${left + plan.days * frame.column}`} class="plan-foot" />
        <DayHeads first={plan.first_day} days={plan.days} y={headY} frame={frame} />
        {stores.map((s, i) => <LevelRow key={s.store} level={s} y={storesY + i * (LEVEL_H + LEVEL_GAP)} frame={frame} />)}
        {uses.rows.map((u) => <LimitRow key={u.limit.work} limit={u.limit} y={u.y} frame={frame} />)}
      </svg>
    </div>
  );
}

export function ReceivedKey() {
  return (
    <p class="plan-key">
      <Key name="plan-booked" text={t("ui.plan.key.booked")} />
      <Key name="plan-orders" text={t("ui.plan.key.forecast")} />
      <Key name="plan-supply" text={t("ui.plan.key.supply")} />
      <Key name="plan-short" text={t("ui.received.key.short")} />
      <Key name="plan-cap-used" text={t("ui.received.key.used")} />
      <Key name="plan-cap-full" text={t("ui.plan.key.full")} />
    </p>
  );
}
