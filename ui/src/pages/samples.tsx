/* When to draw samples of what grows, what each market asks for, and where those drawn are. */
import { useRead } from "../api/client";
import type { DrawnSample, SampleBatch, SampleCalendar, Tone } from "../api/types";
import { dateTime, hours, number, percent, span, temperature } from "../base/format";
import { entryPath, lotPath, recordPath } from "../base/route";
import { t, tn, word } from "../base/words";
import { State } from "../parts/mark";
import { Empty, Shown } from "../parts/read";
import { may } from "../shell/session";
import { Rooms } from "./safety";

const TONES: Record<SampleBatch["state"], Tone> = { early: "waiting", due: "due", late: "stopped", drawn: "done" };
const RANK: SampleBatch["state"][] = ["late", "due", "early", "drawn"];
const HOUR_MS = 3600000;

function Drawn({ s }: { s: DrawnSample }) {
  return (
    <li>
      <p>
        <a href={entryPath(s.entry)}>{s.sample}</a> {word("sample-what", s.what)}, {s.location} · {dateTime(s.taken_ms)}
        {s.age_ms !== null ? ` · ${t("ui.samples.age", { age: hours(Math.floor(s.age_ms / HOUR_MS)) })}` : ""}
      </p>
      <p class="small">
        {s.findings.length === 0 ? t("ui.samples.no-result") : s.findings.map((f) => `${f.organism}: ${word("finding", f.state)}`).join(" · ")}
      </p>
      {s.custody.length > 0 ? (
        <p class="small">
          {t("ui.samples.custody")} {s.custody.map((c) => `${c.to}, ${dateTime(c.at_ms)}${c.temp_mc !== null ? `, ${temperature(c.temp_mc)}` : ""}${c.seal !== null ? `, ${word("seal", c.seal)}` : ""}`).join(" → ")}
          {s.custody.some((c) => !c.ok) ? <> <State tone="stopped" text={t("ui.samples.custody.broken")} /></> : null}
        </p>
      ) : null}
    </li>
  );
}

function Batch({ b, now }: { b: SampleBatch; now: number }) {
  return (
    <li class="row-tall">
      <div>
        <p><State tone={TONES[b.state]} text={word("sample-state", b.state)} /> <b>{b.chamber}</b> <a class="row-link" href={lotPath(b.lot)}>{b.lot}</a> {b.item}</p>
        <p>
          {t("ui.samples.from", { when: dateTime(b.earliest_ms) })}
          {b.latest_ms !== null ? <>{" · "}{t("ui.samples.until", { when: dateTime(b.latest_ms) })}</> : null}
          {b.state === "late" && b.latest_ms !== null ? <b>{" · "}{t("ui.samples.too-late", { span: span(now - b.latest_ms) })}</b> : null}
        </p>
        <p class="small">
          {t("ui.samples.counted", { counted: number(b.counted), needed: number(b.needed) })}
          {b.miss_ppm !== null ? ` · ${t("ui.samples.miss.drawn", { share: percent(b.miss_ppm) })}` : ""}
          {b.harvest_ms !== null ? ` · ${t("ui.samples.harvest", { when: dateTime(b.harvest_ms) })}` : ""}
        </p>
        <details>
          <summary>{t("ui.samples.wants")}</summary>
          <ul class="plain-list">
            {b.wants.map((w) => (
              <li key={w.market}>
                <b>{w.market}</b>: {tn("ui.samples.want", w.samples)} {w.what.map((x) => word("sample-what", x)).join(", ")}
                {w.volume_ml > 0 ? `, ${t("ui.samples.volume", { ml: number(w.volume_ml) })}` : ""}{w.locations.length > 0 ? ` (${w.locations.join(", ")})` : ""}: {w.organisms.join(", ")}.{" "}
                <span class="small">{w.found_per_l_milli !== null ? `${t("ui.samples.found", { level: number(w.found_per_l_milli / 1000, 2, 0) })} ` : ""}{w.miss_ppm !== null ? `${t("ui.samples.miss", { share: percent(w.miss_ppm) })} ` : ""}{w.source}</span>
              </li>
            ))}
          </ul>
        </details>
        {b.samples.length > 0 ? <ul class="plain-list">{b.samples.map((s) => <Drawn key={s.sample} s={s} />)}</ul> : null}
      </div>
      {may("record:sample") && b.state !== "drawn" && b.state !== "early" ? <a class="act" href={recordPath("sample", { lot: b.lot })}>{t("ui.samples.do")}</a> : null}
    </li>
  );
}

export function Samples() {
  const read = useRead<SampleCalendar>("/samples/calendar");
  return (
    <article>
      <header class="page-head"><h1>{t("ui.samples.title")}</h1></header>
      <Rooms at="samples" />
      <Shown read={read}>
        {(data) => (
          <>
            <p class="small">{t("ui.samples.how", { transit: span(data.transit_ms), lab: span(data.lab_ms) })}</p>
            <section>
              <h2>{t("ui.samples.batches")}</h2>
              {data.batches.length === 0 ? <Empty title={t("ui.samples.none")} /> : (
                <ul class="rows">
                  {[...data.batches].sort((a, b) => RANK.indexOf(a.state) - RANK.indexOf(b.state) || a.earliest_ms - b.earliest_ms)
                    .map((b) => <Batch key={b.lot} b={b} now={data.now_ms} />)}
                </ul>
              )}
            </section>
            <section>
              <h2>{t("ui.samples.waiting")}</h2>
              {data.waiting.length === 0 ? <p>{t("ui.samples.waiting.none")}</p> : (
                <ul class="rows">
                  {data.waiting.map((w) => (
                    <li key={w.sample} class="row-tall">
                      <div>
                        <p>
                          <State tone={w.presumptive ? "stopped" : w.late ? "due" : "waiting"} text={t(w.presumptive ? "ui.samples.presumptive" : w.late ? "ui.samples.late" : "ui.samples.under-way")} />
                          {" "}<b>{w.sample}</b> {w.lot ? <a href={lotPath(w.lot)}>{w.lot}</a> : w.place}
                        </p>
                        <p class="small">{t("ui.samples.expected", { taken: dateTime(w.taken_ms), due: dateTime(w.due_ms) })}</p>
                      </div>
                      {may("record:result") ? <a class="button" href={recordPath("result", { sample: w.sample })}>{t("ui.samples.enter")}</a> : null}
                    </li>
                  ))}
                </ul>
              )}
            </section>
          </>
        )}
      </Shown>
    </article>
  );
}
