/* From what was typed to what is told, and to the sentence that reads it back. */
import type { Command, Field, Form } from "../api/types";
import { dateTime, number, unitText, zone } from "../base/format";
import { t, word } from "../base/words";
import { instantOf, offsetMin, offsetText, readLocal } from "../base/zoned";

export type Typed = Record<string, string>;

const NUMERIC = ["mass", "pieces", "percent", "number", "temp", "volume", "duration", "entry", "person"];
const LISTS = ["lots", "units", "texts", "entries", "counts", "numbers", "instruments", "papers", "choices"];
/* What a page has no question for: it comes by a file, by another page, or not by hand. */
const NOT_HERE = ["order-lines", "plan-starts", "data", "command", "log"];
/* Numbers without a unit that the record takes as whole numbers; other numbers are texts. */
const WHOLE = ["number", "close", "decide", "as_found_error", "uncertainty", "division", "life_days", "priority", "target_milli"];

export function unitOf(field: Field): string {
  return field.unit ?? (field.kind === "mass" ? "kg" : "");
}

export function isNumeric(field: Field): boolean {
  return NUMERIC.includes(field.kind);
}

export function isList(field: Field): boolean {
  return LISTS.includes(field.kind);
}

/* A form that needs an answer no page can ask for is not offered. */
export function canAsk(form: Form): boolean {
  return !form.fields.some((f) => f.required && NOT_HERE.includes(f.kind) && !(f.either ?? []).some((e) => form.fields.some((o) => o.name === e && !NOT_HERE.includes(o.kind))));
}

function has(typed: Typed, name: string): boolean {
  return (typed[name] ?? "").trim() !== "";
}

/* Whether the answer to another question, or one given in its place, leaves this one to be asked. */
export function isAsked(field: Field, typed: Typed): boolean {
  if (NOT_HERE.includes(field.kind)) return false;
  if (field.only_with && !field.only_with.values.includes(typed[field.only_with.field] ?? "")) return false;
  return has(typed, field.name) || !(field.either ?? []).some((name) => has(typed, name));
}

/* The questions everybody answers; what else may be said stands behind "more". */
export function isMain(field: Field): boolean {
  return field.required || field.kind === "instrument";
}

export function firstTyped(form: Form, given: URLSearchParams): Typed {
  const out: Typed = {};
  for (const f of form.fields) out[f.name] = given.get(f.name) ?? f.default ?? "";
  return out;
}

/* "5,5" and "5.5" are the same; null where it is no number. */
export function plainNumber(text: string): string | null {
  const clean = text.trim().replace(",", ".");
  return /^-?(\d+(\.\d*)?|\.\d+)$/.test(clean) ? clean.replace(/\.$/, "").replace(/^(-?)\./, "$10.") : null;
}

export interface Leg {
  lot?: string;
  mass?: string;
  role?: string;
}

export function readLegs(text: string): Leg[] {
  try {
    const list: unknown = JSON.parse(text || "[]");
    return Array.isArray(list) ? (list as Leg[]) : [];
  } catch {
    return [];
  }
}

export interface Series {
  name?: string;
  from?: string;
  to?: string;
}

export function readSeries(text: string): Series {
  try {
    return JSON.parse(text || "{}") as Series;
  } catch {
    return {};
  }
}

export function words(text: string): string[] {
  return text.split(/[\s,;]+/).filter((x) => x !== "");
}

/* The members of a list as they were typed; texts may have blanks in them. */
function members(field: Field, text: string): string[] {
  return field.kind === "texts" ? text.split(/[,;\n]+/).map((x) => x.trim()).filter((x) => x !== "") : words(text);
}

/* A list of texts may be told to be empty: a label that names no allergens. */
function mayBeNone(field: Field): boolean {
  return field.kind === "texts";
}

/* Why a typed time can't be taken as it stands; null where nothing is wrong with it. */
export function wrongTime(text: string): string | null {
  const local = readLocal(text, zone.value);
  if (local.kind === "none") return t("ui.time.none", { from: local.from, to: local.to, zone: zone.value });
  if (local.kind === "twice") return t("ui.time.twice", { zone: zone.value });
  return local.kind === "bad" ? t("ui.time.bad") : null;
}

/* As the record takes it; what is unclear stays as it was typed. */
export function toldTime(text: string): string {
  const ms = instantOf(text, zone.value);
  return ms === null ? text : new Date(ms).toISOString();
}

/* The house's clock, with the offset where that alone tells which of two. */
function saidTime(text: string): string {
  const ms = instantOf(text, zone.value);
  if (ms === null) return text;
  return /[+-]\d{2}:\d{2}$/.test(text) ? `${dateTime(ms)} (${offsetText(offsetMin(ms, zone.value))})` : dateTime(ms);
}

/* What is wrong with one answer, as a sentence; null where nothing is. */
export function wrongWith(field: Field, typed: Typed): string | null {
  const text = typed[field.name] ?? "";
  if (text.trim() === "") {
    return field.required && !mayBeNone(field) && !(field.either ?? []).some((name) => has(typed, name)) ? t("ui.record.needed") : null;
  }
  if (isNumeric(field)) {
    const n = plainNumber(text);
    if (n === null) return t("ui.record.number");
    if (["pieces", "entry", "person"].includes(field.kind) && !/^\d+$/.test(n)) return t("ui.record.whole");
    if (Number(n) < 0 && field.kind !== "temp" && field.kind !== "number") return t("ui.record.below");
  }
  if (["counts", "entries"].includes(field.kind) && words(text).some((w) => !/^\d+$/.test(w))) return t("ui.record.whole");
  if (field.kind === "numbers" && text.split(/[\s;]+/).some((w) => w !== "" && plainNumber(w) === null)) return t("ui.record.number");
  if (field.kind === "time") return wrongTime(text);
  if (field.kind === "series") {
    const { name, from, to } = readSeries(text);
    return name ? wrongTime(from ?? "") ?? wrongTime(to ?? "") : null;
  }
  if (field.kind === "inputs" || field.kind === "outputs") {
    const legs = readLegs(text);
    if (field.required && legs.length === 0) return t("ui.record.needed");
    if (legs.some((l) => l.mass !== undefined && l.mass !== "" && plainNumber(l.mass) === null)) return t("ui.record.number");
    if (field.kind === "inputs" && legs.some((l) => !l.lot)) return t("ui.record.lot");
  }
  return null;
}

function toldNumber(field: Field, text: string): unknown {
  const n = plainNumber(text) ?? text;
  if (["pieces", "entry", "person"].includes(field.kind)) return Number(n);
  const unit = unitOf(field);
  if (field.kind === "number" && (unit === "" || unit === "d")) return WHOLE.includes(field.name) && /^-?\d+$/.test(n) ? Number(n) : n;
  return unit === "" ? n : `${n} ${unit}`;
}

function told(field: Field, text: string): unknown {
  if (isNumeric(field)) return toldNumber(field, text);
  switch (field.kind) {
    case "yes-no": return text === "yes";
    case "counts": case "entries": return words(text).map(Number);
    case "numbers": return text.split(/[\s;]+/).filter((x) => x !== "").map((w) => plainNumber(w) ?? w);
    case "time": return toldTime(text);
    case "series": {
      const s = readSeries(text);
      return { name: s.name, from: toldTime(s.from ?? ""), to: toldTime(s.to ?? "") };
    }
    case "inputs": case "outputs":
      return readLegs(text).map((leg) => ({
        ...(leg.role ? { role: leg.role } : {}), ...(leg.lot ? { lot: leg.lot } : {}),
        ...(leg.mass ? { mass: `${plainNumber(leg.mass) ?? leg.mass} kg` } : {}),
      }));
    case "file": return text.slice(text.indexOf(",") + 1);
    default: return isList(field) ? members(field, text) : text.trim();
  }
}

export function commandOf(form: Form, typed: Typed): Command {
  const out: Command = { kind: form.kind };
  for (const field of form.fields) {
    const text = typed[field.name] ?? "";
    if (!isAsked(field, typed)) continue;
    if (text.trim() === "") {
      if (field.required && mayBeNone(field)) out[field.name] = [];
      continue;
    }
    if ((field.kind === "inputs" || field.kind === "outputs") && readLegs(text).length === 0) continue;
    if (field.kind === "series" && !readSeries(text).name) continue;
    out[field.name] = told(field, text);
  }
  /* How a mass is known says nothing where no mass is given. */
  if (out["how"] !== undefined && out["mass"] === undefined && out["gross"] === undefined) delete out["how"];
  return out;
}

/* One answer as a person reads it. */
export function said(field: Field, text: string): string {
  if (text.trim() === "") return "";
  if (isNumeric(field) && !field.choices) {
    const n = plainNumber(text);
    const decimals = n?.split(".")[1]?.length ?? 0;
    return `${n === null ? text : number(Number(n), decimals)} ${unitText(unitOf(field))}`.trim();
  }
  if (field.kind === "yes-no") return t(text === "yes" ? "ui.yes" : "ui.no");
  if (field.kind === "inputs" || field.kind === "outputs") {
    return readLegs(text).map((l) => [l.role ? word("leg", l.role) : "", l.mass ? `${l.mass} kg` : "", l.lot ?? ""].filter((x) => x !== "").join(" ")).join("; ");
  }
  if (field.kind === "series") return readSeries(text).name ?? "";
  if (field.kind === "time") return saidTime(text);
  if (field.kind === "file") return t("ui.record.file");
  if (field.kind === "paper" || field.kind === "papers") return words(text).map((w) => w.slice(0, 12)).join(", ");
  const label = (value: string) => field.choices?.find((c) => c.value === value)?.label ?? value;
  return isList(field) ? members(field, text).map(label).join(", ") : label(text);
}

/* The sentence that is read back before anything is sent. */
export function readBack(form: Form, typed: Typed): string {
  const parts = form.fields.filter((f) => isAsked(f, typed) && has(typed, f.name) && f.name !== "how")
    .map((f) => `${f.label}: ${said(f, typed[f.name] ?? "")}`);
  return `${form.title}. ${parts.join(" · ")}.`;
}
