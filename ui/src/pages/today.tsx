/* Today: what needs me now, in one list, most urgent first. */
import { useRead } from "../api/client";
import type { Go, Today, TodayLine, Tone } from "../api/types";
import { now, tick } from "../base/clock";
import { clock, dateTime, dayLong, dayOf, span } from "../base/format";
import { entryPath, lotPath } from "../base/route";
import { t, tn } from "../base/words";
import { AskSentence } from "../parts/ask";
import { Mark } from "../parts/mark";
import { Empty, Shown } from "../parts/read";
import { Said } from "../parts/said";
import { isNow, shown } from "../shell/day";
import { shiftNow, today } from "../shell/session";
import { queued } from "../shell/told";

export function target(go: Go): string {
  const w = go.with as Record<string, string>;
  const query = new URLSearchParams(w).toString();
  const q = query ? `?${query}` : "";
  switch (go.page) {
    case "record": return `/record${go.form ? `/${go.form}` : ""}${q}`;
    case "lot": return w["lot"] ? lotPath(w["lot"]) : "/lots";
    case "chamber": return w["place"] ? `/chambers/${encodeURIComponent(w["place"])}` : "/chambers";
    case "trace": return `/trace${q}`;
    case "daybook": return w["entry"] ? entryPath(Number(w["entry"])) : `/daybook${q}`;
    case "plan": return "/plan";
    case "review": return "/safety#review";
    case "safety": return "/safety";
    case "schedule": return "/safety/schedule";
    case "lines": return "/plan/day";
    case "registers": return "/safety/registers";
    case "hold": return "/safety#holds";
    default: return "/daybook#health";
  }
}

/* What the figures of a line rest on, where its page is about one thing. */
function restsOn(go: Go): { about: string; of: string; with?: string } | null {
  const w = go.with as Record<string, string>;
  if (w["entry"]) return { about: "entry", of: w["entry"] };
  if (w["chamber"]) return { about: go.form === "harvest" ? "expected" : "ready", of: w["chamber"] };
  if (w["place"] && go.form?.endsWith("-check")) return { about: "checks", of: w["place"], with: go.form };
  if (w["hold"]) return { about: "hold", of: w["hold"] };
  return w["lot"] ? { about: "amount", of: w["lot"] } : null;
}

function By({ tone, ms }: { tone: Tone; ms: number | null }) {
  void tick.value;
  const left = ms === null ? 0 : ms - now();
  const when = ms === null ? "" : dayOf(ms) === today() ? clock(ms) : dateTime(ms);
  return (
    <p class="by">
      <span class={`state-word state-${tone}`}>{t(`ui.tone.${tone}`)}</span>
      {ms === null ? null : (
        <span class={left < 0 ? "by-late" : ""}>
          {" · "}{left < 0 ? t("ui.today.late", { when, age: span(-left) }) : t("ui.today.by", { when, left: span(left) })}
        </span>
      )}
    </p>
  );
}

function Line({ line, n }: { line: TodayLine; n: number }) {
  return (
    <li class={`line line-${line.tone}`}>
      <span class="line-n" aria-hidden="true">{n}</span>
      <Mark tone={line.tone} big />
      <div class="line-text">
        <p class="line-sentence"><Said text={line.sentence} /></p>
        <By tone={line.tone} ms={line.by_ms} />
        <AskSentence text={line.sentence} ask={restsOn(line.go) ?? { at: target(line.go) }} />
      </div>
      <a class="act line-act" href={target(line.go)}>{line.verb}</a>
    </li>
  );
}

function NeedsYou() {
  const needs = queued.value.filter((x) => x.state === "needs-you");
  if (needs.length === 0) return null;
  return (
    <li class="line line-stopped">
      <span class="line-n" aria-hidden="true">!</span>
      <Mark tone="stopped" big />
      <div class="line-text">
        <p class="line-sentence">{tn("ui.today.needs", needs.length)}</p>
        {needs.map((x) => (
          <p key={x.seq} class="small">
            {x.sentence} – {x.problem?.detail}
            {x.aside?.entry ? <> {t("ui.queue.known")} <a href={entryPath(x.aside.entry)}>{t("ui.entry.n", { n: x.aside.entry })}</a></> : null}
          </p>
        ))}
      </div>
    </li>
  );
}

export function TodayPage() {
  /* The server knows which day it is, and tells the browser of this very question ahead (web/pages.c). */
  const read = useRead<Today>(isNow.value ? "/today" : `/today?day=${shown.value}`);
  const hasNeeds = queued.value.some((x) => x.state === "needs-you");
  return (
    <article class="today">
      <header class="page-head">
        <h1>{isNow.value ? t("ui.today.title") : dayLong(shown.value)}</h1>
        <p class="page-sub">{isNow.value ? dayLong(read.data?.day ?? today()) : null}{isNow.value && shiftNow() ? ` · ${shiftNow()}` : null}</p>
      </header>
      <Shown read={read}>
        {(data) => (
          <>
            {data.lines.length === 0 && !hasNeeds ? (
              <Empty title={t("ui.today.empty")}><p>{t("ui.today.empty.do")}</p></Empty>
            ) : (
              <ol class="lines">
                <NeedsYou />
                {data.lines.map((line, i) => <Line key={line.key} line={line} n={i + 1} />)}
              </ol>
            )}
            {data.handover ? (
              <section class="handover">
                <h2>{t("ui.today.handover")}</h2>
                <p class="handover-text">{data.handover.text}</p>
                <p class="small">
                  {data.handover.by}, {dateTime(data.handover.at_ms)} · <a href={entryPath(data.handover.entry)}>{t("ui.entry.n", { n: data.handover.entry })}</a>
                </p>
              </section>
            ) : null}
          </>
        )}
      </Shown>
    </article>
  );
}
