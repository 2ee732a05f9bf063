/* What a hold from a lot's page covers: the whole lot, some of its cases, or what came off a run for a while. */
import { useState } from "preact/hooks";
import type { Command, LotParts } from "../api/types";
import { caseNumber, readRanges, toldCases, writeRanges } from "../base/cases";
import { dateTime, number, zone } from "../base/format";
import { t, tn, word } from "../base/words";
import { instantOf, localText } from "../base/zoned";
import { TimeInput } from "../parts/time";
import { useScan } from "../record/listen";
import { wrongTime } from "../record/values";

const SHOWN_MOST = 240; /* cases as presses of their own */

export type Cover =
  | { what: "lot" }
  | { what: "cases"; text: string }
  | { what: "run"; run: string; from: string; to: string };

type Case = LotParts["cases"][number];

function numbered(lot: string, parts: LotParts): Map<number, Case> {
  return new Map(parts.cases.flatMap((c) => {
    const n = caseNumber(c.code, lot);
    return n === null ? [] : [[n, c] as [number, Case]];
  }));
}

/* What is wrong with it, as a sentence; null where it may be sent. */
export function wrongCover(cover: Cover, lot: string, parts: LotParts): string | null {
  if (cover.what === "cases") {
    const numbers = readRanges(cover.text);
    if (numbers === null) return t("ui.cover.cases.wrong");
    if (numbers.length === 0) return t("ui.cover.cases.none");
    const known = numbered(lot, parts);
    const strange = parts.more > 0 ? undefined : numbers.find((n) => !known.has(n));
    return strange === undefined ? null : t("ui.cover.cases.unknown", { n: strange, lot });
  }
  if (cover.what === "run") {
    const wrong = wrongTime(cover.from) ?? wrongTime(cover.to);
    if (wrong) return wrong;
    if ((instantOf(cover.from, zone.value) ?? 0) > (instantOf(cover.to, zone.value) ?? 0)) return t("ui.cover.run.order");
  }
  return null;
}

/* The members of the command that say it. */
export function toldCover(cover: Cover, lot: string, parts: LotParts | null): Omit<Command, "kind"> {
  if (cover.what === "cases") {
    const known = parts ? numbered(lot, parts) : new Map<number, Case>();
    const width = (parts?.cases[0]?.code.length ?? lot.length + 5) - lot.length - 1;
    return { units: toldCases(readRanges(cover.text) ?? [], (n) => known.get(n)?.code ?? `${lot}-${String(n).padStart(width, "0")}`) };
  }
  if (cover.what === "run") {
    const iso = (text: string) => new Date(instantOf(text, zone.value) ?? 0).toISOString();
    return { run: cover.run, from: iso(cover.from), to: iso(cover.to) };
  }
  return { lot };
}

/* The same for people. */
export function saidCover(cover: Cover, lot: string): string {
  if (cover.what === "cases") return t("ui.cover.said.cases", { cases: cover.text, lot });
  if (cover.what === "run") {
    return t("ui.cover.said.run", { run: cover.run, from: dateTime(instantOf(cover.from, zone.value) ?? 0), to: dateTime(instantOf(cover.to, zone.value) ?? 0) });
  }
  return lot;
}

function Cases({ lot, parts, text, set }: { lot: string; parts: LotParts; text: string; set: (text: string) => void }) {
  const [strange, setStrange] = useState<string | null>(null);
  const known = numbered(lot, parts);
  const chosen = new Set(readRanges(text) ?? []);
  const put = (n: number, isIn: boolean) => set(writeRanges(isIn ? [...chosen, n] : [...chosen].filter((c) => c !== n)));
  useScan((scan) => {
    const n = caseNumber(scan.code, lot);
    setStrange(n === null ? scan.code : null);
    if (n !== null) put(n, true);
  });
  const marks = (c: Case) => [c.state === "here" ? "" : word("unit-state", c.state), c.held ? t("ui.held") : ""].filter((x) => x !== "").join(", ");
  return (
    <>
      <label class="field"><span class="field-label">{t("ui.cover.cases.which")}</span>
        <input value={text} autocomplete="off" inputMode="text" required onInput={(e) => set(e.currentTarget.value)} />
        <span class="small">{t("ui.cover.cases.help")} {chosen.size > 0 ? <b>{tn("ui.cases", chosen.size)}</b> : null}</span>
      </label>
      {strange ? <p class="note note-due" role="status">{t("ui.cover.cases.other", { code: strange, lot })}</p> : null}
      <details open={known.size <= 48}>
        <summary>{t("ui.cover.cases.pick", { n: number(known.size) })}</summary>
        <div class="case-picks" role="group" aria-label={t("ui.cover.cases.which")}>
          {[...known].slice(0, SHOWN_MOST).map(([n, c]) => (
            <button type="button" key={n} aria-pressed={chosen.has(n)} onClick={() => put(n, !chosen.has(n))}>
              <b class="figure">{n}</b>{marks(c) === "" ? null : <span class="small">{marks(c)}</span>}
            </button>
          ))}
        </div>
        {known.size > SHOWN_MOST ? <p class="small">{t("ui.cover.cases.rest", { n: number(known.size - SHOWN_MOST) })}</p> : null}
      </details>
    </>
  );
}

function RunTime({ parts, cover, set }: { parts: LotParts; cover: Extract<Cover, { what: "run" }>; set: (cover: Cover) => void }) {
  const run = parts.runs.find((r) => r.run === cover.run);
  const field = (name: "from" | "to", label: string) => (
    <div class="field"><label class="field-label" for={`cover-${name}`}>{label}</label>
      <TimeInput id={`cover-${name}`} needed text={cover[name]} set={(text) => set({ ...cover, [name]: text })} />
    </div>
  );
  return (
    <>
      {parts.runs.length > 1 ? (
        <label class="field"><span class="field-label">{t("ui.cover.run.which")}</span>
          <select value={cover.run} onChange={(e) => set(coverOfRun(parts, e.currentTarget.value))}>
            {parts.runs.map((r) => <option key={r.run} value={r.run}>{`${r.run} · ${r.place}, ${dateTime(r.start_ms)}`}</option>)}
          </select>
        </label>
      ) : null}
      {run ? <p class="small">{t("ui.cover.run.was", { run: run.run, place: run.place, from: dateTime(run.from_ms), to: dateTime(run.to_ms) })}</p> : null}
      <div class="two-times">{field("from", t("ui.record.from"))}{field("to", t("ui.record.to"))}</div>
      <p class="small">{t("ui.cover.run.help")}</p>
    </>
  );
}

/* Begins with the minutes the lot itself was on the run. */
function coverOfRun(parts: LotParts, code?: string): Cover {
  const run = parts.runs.find((r) => r.run === code) ?? parts.runs[0];
  return { what: "run", run: run?.run ?? "", from: run ? localText(run.from_ms, zone.value) : "", to: run ? localText(run.to_ms, zone.value) : "" };
}

export function CoverChoice({ lot, parts, cover, set }: { lot: string; parts: LotParts; cover: Cover; set: (cover: Cover) => void }) {
  const ways = [
    { what: "lot", is: true, make: (): Cover => ({ what: "lot" }) },
    { what: "cases", is: parts.cases.length > 0, make: (): Cover => ({ what: "cases", text: "" }) },
    { what: "run", is: parts.runs.length > 0, make: (): Cover => coverOfRun(parts) },
  ].filter((w) => w.is);
  if (ways.length === 1) return null;
  return (
    <>
      <div class="choices" role="group" aria-label={t("ui.cover.what")}>
        {ways.map((w) => <button type="button" key={w.what} aria-pressed={cover.what === w.what} onClick={() => set(w.make())}>{t(`ui.cover.way.${w.what}`)}</button>)}
      </div>
      {cover.what === "cases" ? <Cases lot={lot} parts={parts} text={cover.text} set={(text) => set({ what: "cases", text })} /> : null}
      {cover.what === "run" ? <RunTime parts={parts} cover={cover} set={set} /> : null}
    </>
  );
}
