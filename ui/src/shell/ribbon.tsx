/* The ribbon of days: the crop lives on a clock of about ten days, so time runs along the top. */
import { useEffect, useRef } from "preact/hooks";
import { useRead } from "../api/client";
import type { Day } from "../api/types";
import { addDays, day as dayText, dayLong, massShort, number } from "../base/format";
import { t } from "../base/words";
import { choose, isNow, shown } from "./day";
import { today } from "./session";

const BACK = 3;
const AHEAD = 10; /* as far as the longest crop */

function counts(d: Day): { key: string; text: string }[] {
  const out: { key: string; text: string }[] = [];
  if (d.harvest > 0) out.push({ key: "harvest", text: t("ui.ribbon.harvest", { n: number(d.harvest) }) });
  if (d.soak > 0) out.push({ key: "soak", text: t("ui.ribbon.soak", { n: number(d.soak) }) });
  if (d.ship_mg > 0) out.push({ key: "ship", text: t("ui.ribbon.ship", { n: massShort(d.ship_mg) }) });
  if (d.stopped > 0) out.push({ key: "stopped", text: t("ui.ribbon.stopped", { n: number(d.stopped) }) });
  return out;
}

function empty(day: string): Day {
  return { day, harvest: 0, soak: 0, ship_pieces: 0, ship_mg: 0, stopped: 0, now: day === today() };
}

export function Ribbon() {
  const list = useRef<HTMLDivElement>(null);
  const now = today();
  const far = shown.value < addDays(now, -BACK) ? shown.value : addDays(now, -BACK);
  const to = shown.value > addDays(now, AHEAD) ? shown.value : addDays(now, AHEAD);
  const read = useRead<{ days: Day[] }>(`/days?from=${far}&to=${to}`);
  const known = new Map((read.data?.days ?? []).map((d) => [d.day, d]));
  const days: Day[] = [];
  for (let d = far; d <= to && days.length < 60; d = addDays(d, 1)) days.push(known.get(d) ?? empty(d));

  useEffect(() => {
    const middle = () => {
      const cell = list.current?.querySelector<HTMLElement>('[aria-pressed="true"]');
      if (cell && list.current) list.current.scrollLeft = cell.offsetLeft - Math.max(0, (list.current.clientWidth - cell.clientWidth) / 2);
    };
    middle();
    addEventListener("resize", middle); /* a tablet that is turned */
    return () => removeEventListener("resize", middle);
  }, [shown.value, days.length, read.data]);

  const step = (event: KeyboardEvent) => {
    const by = event.key === "ArrowRight" ? 1 : event.key === "ArrowLeft" ? -1 : 0;
    if (by === 0 && event.key !== "Home") return;
    event.preventDefault();
    choose(by === 0 ? now : addDays(shown.value, by));
    requestAnimationFrame(() => list.current?.querySelector<HTMLElement>('[aria-pressed="true"]')?.focus());
  };

  return (
    <div class="ribbon" role="group" aria-label={t("ui.ribbon")} ref={list} onKeyDown={step}>
      {days.map((d) => {
        const isShown = d.day === shown.value;
        return (
          <button
            type="button" key={d.day} aria-pressed={isShown} tabIndex={isShown ? 0 : -1}
            class={`day${d.day === now ? " day-now" : ""}${d.day < now ? " day-past" : ""}`}
            onClick={() => choose(d.day)}
          >
            <span class="day-name">
              {d.day === now ? t("ui.today") : dayText(d.day, { weekday: "short" })}{" "}
              <b>{dayText(d.day, { day: "numeric" })}</b>{" "}
              {d.day === now || d.day.endsWith("-01") || d.day === far ? dayText(d.day, { month: "short" }) : null}
            </span>
            <span class="day-counts">
              {counts(d).map((c) => <span key={c.key} class={`count count-${c.key}`}>{c.text}</span>)}
            </span>
          </button>
        );
      })}
    </div>
  );
}

/* Says which day is shown when it isn't today. */
export function DayBand() {
  if (isNow.value) return null;
  const isAhead = shown.value > today();
  return (
    <div class="day-band" role="status">
      <p>
        <b>{dayLong(shown.value)}</b>{" "}
        {t(isAhead ? "ui.band.ahead" : "ui.band.past")}
      </p>
      <button type="button" onClick={() => choose(today())}>{t("ui.band.back")}</button>
    </div>
  );
}
