/* Changing a limit: its two ends, the source and where that comes from, from when, and why. What only tightens
 * needs no more than a source; what loosens needs one that was seen, worked out or derived. */
import { useState } from "preact/hooks";
import type { Command, Limits } from "../api/types";
import { dateTime, unitText, zone } from "../base/format";
import { t, word } from "../base/words";
import { instantOf } from "../base/zoned";
import { Mark } from "../parts/mark";
import { SignDialog } from "../parts/password";
import { TimeInput } from "../parts/time";
import { plainNumber, toldTime, wrongTime } from "../record/values";

export type Limit = Limits["limits"][number];

/* Of those that may widen a limit; the record refuses the other two (common practice, from memory) there. */
const MAY_WIDEN = ["published (seen)", "published (abstract only)", "computed here", "derived"];
const WORDS = [...MAY_WIDEN, "common practice", "from memory"];

/* An end that is taken away, or moved outwards. */
export function isLooser(now: { low: string | null; high: string | null }, low: string | null, high: string | null): boolean {
  const down = now.low !== null && (low === null || Number(low) < Number(now.low));
  const up = now.high !== null && (high === null || Number(high) > Number(now.high));
  return down || up;
}

export function rangeText(low: string | null, high: string | null, unit: string): string {
  if (low !== null && high !== null) return `${low} … ${high} ${unitText(unit)}`.trim();
  if (low !== null) return t("ui.limits.from", { n: `${low} ${unitText(unit)}`.trim() });
  return high !== null ? t("ui.limits.to", { n: `${high} ${unitText(unit)}`.trim() }) : t("ui.limits.open");
}

export function itemText(limit: Limit): string {
  return limit.item && limit.item !== "*" ? limit.item : t("ui.limits.every-item");
}

/* A change counts for a limit's name: for every item that has one of it. */
function Rows({ rows, low, high }: { rows: Limit[]; low: string | null; high: string | null }) {
  return (
    <ul class="plain-list">
      {rows.map((l) => (
        <li key={l.item}>
          {isLooser(l, low, high) ? <Mark tone="due" /> : null} <b>{itemText(l)}</b>: {rangeText(l.low, l.high, l.unit)} → {rangeText(low, high, l.unit)}
          {isLooser(l, low, high) ? <span class="small"> {t("ui.limits.looser")}</span> : null}
        </li>
      ))}
    </ul>
  );
}

export function LimitDialog({ limit, all, close }: { limit: Limit; all: Limit[]; close: () => void }) {
  const [low, setLow] = useState(limit.low ?? "");
  const [high, setHigh] = useState(limit.high ?? "");
  const [source, setSource] = useState(limit.source ?? "");
  const [saidWord, setWord] = useState("");
  const [from, setFrom] = useState("");
  const [reason, setReason] = useState("");
  const rows = all.filter((l) => l.name === limit.name);
  const end = (text: string) => (text.trim() === "" ? null : plainNumber(text));
  const loosens = rows.some((l) => isLooser(l, end(low), end(high)));
  const wrongEnd = (text: string) => text.trim() !== "" && plainNumber(text) === null;
  const wrongFrom = from === "" ? null : wrongTime(from);
  const command = (): Command => ({
    kind: "limit", limit: limit.name, source, reason,
    ...(end(low) !== null ? { low: end(low) } : {}), ...(end(high) !== null ? { high: end(high) } : {}),
    ...(saidWord !== "" ? { word: saidWord } : {}), ...(from !== "" ? { from: toldTime(from) } : {}),
  });
  const number = (label: string, value: string, set: (v: string) => void) => (
    <label class="field"><span class="field-label">{`${label} (${unitText(limit.unit)})`}</span>
      <input value={value} inputMode="decimal" aria-invalid={wrongEnd(value)} onInput={(e) => set(e.currentTarget.value)} />
      {wrongEnd(value) ? <span class="field-wrong" role="alert">{t("ui.record.number")}</span> : null}
    </label>
  );
  return (
    <SignDialog
      title={t("ui.limits.change", { name: word("limit", limit.name) })} verb={t("ui.limits.sign")} close={close} done={() => {}}
      commands={() => [command()]} isReady={!wrongEnd(low) && !wrongEnd(high) && wrongFrom === null && !(loosens && !MAY_WIDEN.includes(saidWord))}
    >
      <div class="two-times">
        {number(t("ui.limits.low"), low, setLow)}
        {number(t("ui.limits.high"), high, setHigh)}
      </div>
      <section class="read-back">
        <p>{rows.length > 1 ? t("ui.limits.items") : t("ui.limits.item")}</p>
        <Rows rows={rows} low={end(low)} high={end(high)} />
      </section>
      <label class="field"><span class="field-label">{t("ui.limits.source")}</span><input value={source} required onInput={(e) => setSource(e.currentTarget.value)} /></label>
      <label class="field"><span class="field-label">{t("ui.limits.word")}{loosens ? "" : <span class="small"> {t("ui.calc.may")}</span>}</span>
        <select value={saidWord} required={loosens} onChange={(e) => setWord(e.currentTarget.value)}>
          <option value="">{t("ui.record.choose")}</option>
          {(loosens ? MAY_WIDEN : WORDS).map((w) => <option key={w} value={w}>{word("word", w)}</option>)}
        </select>
      </label>
      {loosens ? <p class="note note-due" role="status"><Mark tone="due" /><span>{t("ui.limits.loosens")}</span></p> : null}
      <div class="field"><label class="field-label" for="limit-from">{t("ui.limits.when")} <span class="small">{t("ui.calc.may")}</span></label>
        <TimeInput id="limit-from" text={from} wrong={wrongFrom} set={setFrom} />
        {wrongFrom ? <span class="field-wrong" role="alert">{wrongFrom}</span> : null}
        <span class="small">{from === "" || wrongFrom ? t("ui.limits.when.now") : t("ui.limits.when.at", { when: dateTime(instantOf(from, zone.value) ?? 0) })}</span>
      </div>
      <label class="field"><span class="field-label">{t("ui.reason")}</span><input value={reason} required onInput={(e) => setReason(e.currentTarget.value)} /></label>
    </SignDialog>
  );
}
