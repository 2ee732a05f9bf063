/* The ribbon of days: the crop lives on a clock of about ten days, so time runs along the top. */
import { Fragment } from "preact";
import { useEffect, useRef } from "preact/hooks";
import { useRead } from "../api/client";
import type { Day } from "../api/types";
import { addDays, day as dayText, dayLong, massShort, number } from "../base/format";
import { t } from "../base/words";
import { ask } from "../parts/ask";
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
  if (d.closed) out.push({ key: "closed", text: t("ui.ribbon.closed") });
  return out;
}

function empty(day: string): Day {
  return { day, harvest: 0, soak: 0, ship_pieces: 0, ship_mg: 0, stopped: 0, now: day === today(), closed: null };
}

/* What a day brings, asked as one. */
function Counts({ d, isStop }: { d: Day; isStop: boolean }) {
  const list = counts(d);
  if (list.length === 0) return null;
  return (
    <button
      type="button" class="num day-counts" tabIndex={isStop ? 0 : -1} aria-haspopup="dialog"
      aria-label={t("ui.ask.label", { what: dayText(d.day), value: list.map((c) => c.text).join(" ") })}
      onClick={() => ask({ title: dayLong(d.day), value: list.map((c) => c.text).join(", "), ...(d.closed ? { how: d.closed.sentence } : {}), about: "day", of: d.day })}
    >
      {list.map((c) => <Fragment key={c.key}><span class={`count count-${c.key}`}>{c.text}</span>{" "}</Fragment>)}
    </button>
  );
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
      const cell = list.current?.querySelector<HTMLElement>(".day-shown");
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
          <div key={d.day} class={`day${isShown ? " day-shown" : ""}${d.day === now ? " day-now" : ""}${d.day < now ? " day-past" : ""}`}>
            <button type="button" class="day-name" aria-pressed={isShown} tabIndex={isShown ? 0 : -1} onClick={() => choose(d.day)}>
              {d.day === now ? t("ui.today") : dayText(d.day, { weekday: "short" })}{" "}
              <b>{dayText(d.day, { day: "numeric" })}</b>{" "}
              {d.day === now || d.day.endsWith("-01") || d.day === far ? dayText(d.day, { month: "short" }) : null}
            </button>
            <Counts d={d} isStop={isShown} />
          </div>
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
