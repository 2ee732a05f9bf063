/* A day by the minute as a picture: lines as rows, minutes to the right, trucks as lines down. */
import type { Dayline } from "../api/types";

const MINUTE = 60000;
const HOUR = 60 * MINUTE;

export const NAMES = 104; /* px for the names of the rows, which stay in view */
export const LABEL = NAMES + 24; /* where the first hour is, half of it written before its line */
export const ROW = 40;
export const TRUCK = 26;
const WIDE = 880; /* minutes that a desk shows without scrolling */
const PX_LEAST = 1.7;
const PX_MOST = 3;

export type Bar = Dayline["stages"][number]["lines"][number]["bars"][number];
export type Truck = Dayline["trucks"][number];

export interface LineRow {
  stage: string; /* its title, on the first of its rows only */
  title: string;
  place: string | null;
  bars: Bar[];
  y: number;
}

export interface Picture {
  from_ms: number;
  to_ms: number;
  px: number; /* a minute */
  rows: LineRow[];
  trucks: (Truck & { y: number })[];
  hours: number[];
  now_y: number; /* of the word "now" */
  top: number; /* where the rows begin */
  width: number;
  height: number;
}

/* Nothing where there is nothing to draw. */
export function picture(day: Dayline): Picture | null {
  const bars = day.stages.flatMap((s) => s.lines.flatMap((l) => l.bars));
  if (bars.length === 0) return null;
  const shown = day.trucks.filter((x) => x.state !== "nothing");
  const times = [...bars.flatMap((b) => [b.from_ms, b.to_ms]), ...shown.map((x) => x.cut_off_ms), ...(day.now_ms === null ? [] : [day.now_ms])];
  const from_ms = Math.floor(Math.min(...times) / HOUR) * HOUR;
  const to_ms = Math.ceil((Math.max(...times) + 10 * MINUTE) / HOUR) * HOUR;
  const minutes = (to_ms - from_ms) / MINUTE;
  const px = Math.max(PX_LEAST, Math.min(PX_MOST, WIDE / minutes));
  const now_y = shown.length * TRUCK;
  const top = now_y + (day.now_ms === null ? 0 : TRUCK) + 34;
  const rows: LineRow[] = [];
  for (const stage of day.stages) {
    stage.lines.forEach((line, i) => rows.push({
      stage: i === 0 ? stage.title : "", title: stage.title, place: line.place, bars: line.bars, y: top + rows.length * ROW,
    }));
  }
  const hours = [];
  for (let ms = from_ms; ms <= to_ms; ms += HOUR) hours.push(ms);
  return {
    from_ms, to_ms, px, rows, hours, now_y, top, width: LABEL + minutes * px + 24, /* half of the last hour, written at its line */ height: top + rows.length * ROW + 4,
    trucks: shown.map((x, i) => ({ ...x, y: i * TRUCK })),
  };
}

export function left(p: Picture, ms: number): number {
  return LABEL + ((ms - p.from_ms) / MINUTE) * p.px;
}

/* The part of a span that the picture shows; nothing where it shows none. */
export function shownPart(p: Picture, from_ms: number, to_ms: number): [number, number] | null {
  const a = Math.max(from_ms, p.from_ms);
  const b = Math.min(to_ms, p.to_ms);
  return b > a ? [left(p, a), left(p, b)] : null;
}

export function minutesOf(from_ms: number, to_ms: number): number {
  return Math.round((to_ms - from_ms) / MINUTE);
}
