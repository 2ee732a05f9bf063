/* Samples that wait: for results, those that are owed first, or for somebody else to read what was typed. A
 * scanned or typed number does as well. */
import { useRead } from "../api/client";
import type { Samples, SampleOpen, SampleSecond } from "../api/types";
import { dateTime, span } from "../base/format";
import { t } from "../base/words";
import { now } from "../base/clock";
import { Mark } from "../parts/mark";
import { Person } from "../parts/person";
import { me } from "../shell/session";
import type { FieldProps } from "./field";

const MOST = 8;

function whose(s: { lot: string | null; place: string | null }, item: string | null): string {
  return [s.lot ?? s.place ?? "", item ?? ""].filter((x) => x !== "").join(" · ");
}

function Open({ s }: { s: SampleOpen }) {
  return (
    <>
      {s.presumptive ? <Mark tone="stopped" /> : null}
      <b>{s.sample}</b> <span>{t(`word.${s.what}`)}, {whose(s, s.item)}</span>
      <span class="small sample-more">
        {t("ui.sample.drawn", { age: span(now() - s.taken_ms) })} · {s.owed.length > 0 ? t("ui.sample.owed", { organisms: s.owed.join(", ") }) : t("ui.sample.untold")}
        {s.presumptive ? ` · ${t("word.presumptive")}` : ""}
      </span>
    </>
  );
}

function Second({ s }: { s: SampleSecond }) {
  const isOwn = s.by === me.value?.person;
  return (
    <>
      <b>{s.sample}</b> <span>{s.organism}: {t(`word.${s.state}`)}</span>
      <span class="small sample-more">
        {whose(s, null)} · {isOwn ? t("ui.sample.own") : <><Person n={s.by} />, {dateTime(s.at_ms)}</>}
      </span>
    </>
  );
}

export function SampleInput({ field, text, wrong, set, also, focus }: FieldProps) {
  const read = useRead<Samples>("/samples");
  const waits = field.of?.waits_for;
  const fits = (s: { sample: string; lot: string | null }) => `${s.sample} ${s.lot ?? ""}`.toLowerCase().includes(text.toLowerCase());
  const open = waits === "result" ? (read.data?.open ?? []).filter(fits) : [];
  const second = waits === "second-reading" ? (read.data?.second ?? []).filter(fits) : [];
  const isChosen = [...open, ...second].some((s) => s.sample === text);
  const choose = (sample: string, organisms: string[]) => {
    set(sample);
    if (organisms.length === 1) also({ organism: organisms[0] ?? "" });
  };
  return (
    <>
      <input
        id={`f-${field.name}`} value={text} autocomplete="off" autocapitalize="characters" spellcheck={false}
        aria-invalid={wrong !== null} aria-describedby={`h-${field.name}`} placeholder={t("ui.record.scan")} onFocus={focus} onInput={(e) => set(e.currentTarget.value)}
      />
      {waits && !isChosen && read.data && open.length + second.length === 0 && text === "" ? <p class="small">{t("ui.sample.none")}</p> : null}
      <ul class="suggest" aria-label={t("ui.sample.waiting")}>
        {(isChosen && waits === "result" ? [] : open.slice(0, MOST)).map((s) => (
          <li key={s.sample}><button type="button" onFocus={focus} onClick={() => choose(s.sample, s.owed)}><Open s={s} /></button></li>
        ))}
        {second.slice(0, MOST).map((s) => (
          <li key={`${s.sample} ${s.organism}`}>
            <button type="button" disabled={s.by === me.value?.person} onFocus={focus} onClick={() => choose(s.sample, [s.organism])}><Second s={s} /></button>
          </li>
        ))}
      </ul>
      {open.length > MOST && !isChosen ? <p class="small">{t("ui.sample.more", { n: open.length - MOST })}</p> : null}
    </>
  );
}
