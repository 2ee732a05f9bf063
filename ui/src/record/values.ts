/* From what was typed to what is told, and to the sentence that reads it back. */
import type { Command, Field, Form } from "../api/types";
import { number, unitText } from "../base/format";
import { t, word } from "../base/words";

export type Typed = Record<string, string>;

const UNITS: Partial<Record<Field["kind"], string>> = {
  mass: "kg", percent: "%", temp: "C", volume: "L", duration: "s", pieces: "",
};

export function unitOf(field: Field): string {
  return field.unit ?? UNITS[field.kind] ?? "";
}

export function isNumeric(field: Field): boolean {
  return ["mass", "pieces", "percent", "number", "temp", "volume", "duration"].includes(field.kind);
}

/* A field that hangs on another's answer is asked only where that answer was given. */
export function isAsked(field: Field, typed: Typed): boolean {
  if (!field.only_with) return true;
  return field.only_with.values.includes(typed[field.only_with.field] ?? "");
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

interface Leg {
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

/* What is wrong with one answer, as a sentence; null where nothing is. */
export function wrongWith(field: Field, text: string): string | null {
  if (text.trim() === "") return field.required ? t("ui.record.needed") : null;
  if (isNumeric(field)) {
    const n = plainNumber(text);
    if (n === null) return t("ui.record.number");
    if (field.kind === "pieces" && !/^\d+$/.test(n)) return t("ui.record.whole");
    if (Number(n) < 0 && field.kind !== "temp" && field.kind !== "number") return t("ui.record.below");
  }
  if (field.kind === "inputs" || field.kind === "outputs") {
    const legs = readLegs(text);
    if (field.required && legs.length === 0) return t("ui.record.needed");
    if (legs.some((l) => l.mass !== undefined && l.mass !== "" && plainNumber(l.mass) === null)) return t("ui.record.number");
    if (field.kind === "inputs" && legs.some((l) => !l.lot)) return t("ui.record.lot");
  }
  return null;
}

function told(field: Field, text: string): unknown {
  if (isNumeric(field)) {
    const n = plainNumber(text) ?? text;
    const unit = unitOf(field);
    if (unit === "") return /^-?\d+$/.test(n) ? Number(n) : n;
    return `${n} ${unit}`;
  }
  switch (field.kind) {
    case "yes-no": return text === "yes";
    case "lots": case "unit": {
      const list = text.split(/[\s,]+/).filter((x) => x !== "");
      return field.kind === "unit" && list.length === 1 && field.name === "unit" ? list[0] : list;
    }
    case "person": return Number(text);
    case "time": return new Date(text).toISOString();
    case "inputs": case "outputs":
      return readLegs(text).map((leg) => ({
        ...(leg.role ? { role: leg.role } : {}), ...(leg.lot ? { lot: leg.lot } : {}),
        ...(leg.mass ? { mass: `${plainNumber(leg.mass) ?? leg.mass} kg` } : {}),
      }));
    default: return text.trim();
  }
}

export function commandOf(form: Form, typed: Typed): Command {
  const out: Command = { kind: form.kind };
  for (const field of form.fields) {
    const text = typed[field.name] ?? "";
    if (text.trim() === "" || !isAsked(field, typed)) continue;
    if ((field.kind === "inputs" || field.kind === "outputs") && readLegs(text).length === 0) continue;
    out[field.name] = told(field, text);
  }
  return out;
}

/* One answer as a person reads it. */
export function said(field: Field, text: string): string {
  if (text.trim() === "") return "";
  if (isNumeric(field)) {
    const n = plainNumber(text);
    const decimals = n?.split(".")[1]?.length ?? 0;
    return `${n === null ? text : number(Number(n), decimals)} ${unitText(unitOf(field))}`.trim();
  }
  if (field.kind === "yes-no") return t(text === "yes" ? "ui.yes" : "ui.no");
  if (field.kind === "inputs" || field.kind === "outputs") {
    return readLegs(text).map((l) => [l.role ? word("leg", l.role) : "", l.mass ? `${l.mass} kg` : "", l.lot ?? ""].filter((x) => x !== "").join(" ")).join("; ");
  }
  const choice = field.choices?.find((c) => c.value === text);
  return choice ? choice.label : text;
}

/* The sentence that is read back before anything is sent. */
export function readBack(form: Form, typed: Typed): string {
  const parts = form.fields.filter((f) => isAsked(f, typed) && (typed[f.name] ?? "").trim() !== "")
    .map((f) => `${f.label}: ${said(f, typed[f.name] ?? "")}`);
  return `${form.title}. ${parts.join(" · ")}.`;
}
