/* Whole numbers of the record as texts for people. A figure never shows more digits than are known. */
import { signal } from "@preact/signals";
import { language, t, tn } from "./words";

/* The house's time zone, told by the server. */
export const zone = signal<string>("UTC");

export const THIN = "\u202f";
export const DASH = "–";

function locale(): string {
  return language.value === "es" ? "es" : "en-GB";
}

export function number(value: number, decimals = 0, least = decimals): string {
  const text = new Intl.NumberFormat(locale(), {
    maximumFractionDigits: decimals,
    minimumFractionDigits: least,
    useGrouping: Math.abs(value) >= 10000,
  }).format(value === 0 ? 0 : value);
  return text.replace("-", "−");
}

/* Decimals that an uncertainty allows: 10 g of a scale is 2 decimals of a kg. */
export function decimalsFor(step: number): number {
  if (!(step > 0)) return 0;
  return Math.max(0, Math.min(6, Math.ceil(-Math.log10(step) - 1e-9)));
}

/* known_to_mg: uncertainty of the mass where it is known. */
export function mass(mg: number, known_to_mg = 0): string {
  const size = Math.abs(mg);
  if (size >= 1e10 && known_to_mg < 1e8 && known_to_mg === 0) return `${number(mg / 1e9, 1)}${THIN}t`;
  if (size >= 1e6 || mg === 0) {
    const kg = mg / 1e6;
    const usual = size >= 1e8 ? 0 : size >= 1e7 ? 1 : 2;
    const decimals = known_to_mg > 0 ? Math.min(usual, decimalsFor(known_to_mg / 1e6)) : usual;
    return `${number(kg, decimals, 0)}${THIN}kg`;
  }
  if (size >= 1000) return `${number(mg / 1000, size >= 1e5 ? 0 : 1, 0)}${THIN}g`;
  return `${number(mg)}${THIN}mg`;
}

/* For a small cell: two figures are enough. */
export function massShort(mg: number): string {
  if (Math.abs(mg) >= 1e9) return `${number(mg / 1e9, 1)}${THIN}t`;
  return mass(mg);
}

export function massRange(low_mg: number, high_mg: number): string {
  const low = mass(low_mg);
  const high = mass(high_mg);
  const unit = high.slice(high.indexOf(THIN));
  return low.endsWith(unit) ? `${low.slice(0, -unit.length)}${DASH}${high}` : `${low} ${DASH} ${high}`;
}

/* What is counted, beside pieces. */
const COUNTED = ["case", "lot", "unit", "reading", "harvest", "soak", "stopped"];

export function amount(value: number, unit: string, decimals = 0): string {
  if (decimals > 0) return `${number(value / 10 ** decimals, decimals, 0)}${THIN}${unitText(unit)}`;
  if (unit === "mg") return mass(value);
  if (unit === "pc") return pieces(value);
  if (unit === "mL") return `${number(value / 1000, 1, 0)}${THIN}L`;
  if (unit === "ppm") return percent(value, 2);
  if (unit === "d") return tn("ui.span.days", value, { n: number(value) });
  if (COUNTED.includes(unit)) return tn(`ui.counted.${unit}`, value, { n: number(value) });
  return `${number(value)}${THIN}${unit}`;
}

/* From two hours on with hours: nobody divides by sixty at five in the morning. */
export function minutes(n: number): string {
  const whole = Math.abs(n);
  const text = whole < 120 ? t("day.minutes", { n: number(whole) }) : t("day.hours", { h: number(Math.floor(whole / 60)), n: number(whole % 60) });
  return n < 0 ? `−${text}` : text;
}

export function pieces(n: number): string {
  return tn("ui.pieces", n, { n: number(n) });
}

export function percent(ppm: number, decimals = 1): string {
  return `${number(ppm / 10000, decimals, 0)}${THIN}%`;
}

export function temperature(mc: number): string {
  return `${number(mc / 1000, 1)}${THIN}°C`;
}

function parts(ms: number, options: Intl.DateTimeFormatOptions): string {
  return new Intl.DateTimeFormat(locale(), { timeZone: zone.value, ...options }).format(ms);
}

export function clock(ms: number): string {
  return parts(ms, { hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
}

export function dayOf(ms: number): string {
  return new Intl.DateTimeFormat("en-CA", { timeZone: zone.value }).format(ms);
}

export function dateTime(ms: number): string {
  return `${day(dayOf(ms))} ${clock(ms)}`;
}

/* "2026-03-01" as "Sun 1 Mar". */
export function day(text: string, options?: Intl.DateTimeFormatOptions): string {
  const ms = Date.parse(`${text}T12:00:00Z`);
  if (Number.isNaN(ms)) return text;
  return new Intl.DateTimeFormat(locale(), {
    timeZone: "UTC", ...(options ?? { weekday: "short", day: "numeric", month: "short" }),
  }).format(ms).replace(",", "");
}

export function dayLong(text: string): string {
  return day(text, { weekday: "long", day: "numeric", month: "long", year: "numeric" });
}

export function addDays(text: string, n: number): string {
  const ms = Date.parse(`${text}T12:00:00Z`) + n * 86400000;
  return new Date(ms).toISOString().slice(0, 10);
}

export function daysBetween(from: string, to: string): number {
  return Math.round((Date.parse(`${to}T12:00:00Z`) - Date.parse(`${from}T12:00:00Z`)) / 86400000);
}

/* How long: "3 min", "5 h", "2 days". */
export function span(ms: number): string {
  const minutes = Math.max(0, Math.round(ms / 60000));
  if (minutes < 1) return t("ui.span.now");
  if (minutes < 90) return t("ui.span.minutes", { n: number(minutes) });
  const hours = Math.round(minutes / 60);
  if (hours < 48) return t("ui.span.hours", { n: number(hours) });
  return tn("ui.span.days", Math.round(hours / 24));
}

export function hours(h: number): string {
  return h < 72 ? t("ui.span.hours", { n: number(h) }) : t("ui.span.days.other", { n: number(h / 24, 1, 0) });
}

/* A result of a calculation: a number with at most four significant digits, a list, a word. */
export function result(value: unknown): string {
  if (typeof value === "number") {
    if (Number.isInteger(value)) return number(value);
    const size = Math.abs(value);
    if (size > 0 && size < 1e-4) return value.toExponential(2);
    return number(value, size >= 1000 ? 1 : size >= 100 ? 1 : size >= 1 ? 2 : 4, 0);
  }
  if (typeof value === "boolean") return t(value ? "ui.yes" : "ui.no");
  if (Array.isArray(value)) return value.map(result).join(" · ");
  if (value === null || value === undefined) return DASH;
  if (typeof value === "object") {
    return Object.entries(value).map(([k, v]) => `${k} ${result(v)}`).join(", ");
  }
  return String(value);
}

/* The record writes C, people read °C; a plain number has no unit. */
export function unitText(unit: string): string {
  return unit === "C" ? "°C" : unit === "1" ? "" : unit;
}
