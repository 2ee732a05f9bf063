/* The daybook: lines that are only ever added. And the state of the record itself. */
import { useRead } from "../api/client";
import type { EntryRow, Form, Health } from "../api/types";
import { clock, dateTime, day, dayLong, number } from "../base/format";
import { entryPath, lotPath, place, query } from "../base/route";
import { t } from "../base/words";
import { Num } from "../parts/ask";
import { State } from "../parts/mark";
import { Pages } from "../parts/pages";
import { Empty, Shown } from "../parts/read";
import { Said } from "../parts/said";
import { choose, isNow, shown } from "../shell/day";
import { today } from "../shell/session";

function Row({ e }: { e: EntryRow }) {
  return (
    <li class={e.struck_by !== null ? "entry-row struck" : "entry-row"}>
      <a class="entry-n figure" href={entryPath(e.entry)} aria-label={t("ui.entry.n", { n: e.entry })}>{e.entry}</a>
      <span class="entry-when">{clock(e.at_ms)}</span>
      <div>
        <p class="entry-text"><b>{e.title}.</b> <Said text={e.sentence} /></p>
        <p class="small">
          {e.name ?? e.by}{e.place ? ` · ${e.place}` : ""}
          {e.lots.slice(0, 5).map((l) => <span key={l}> · <a href={lotPath(l)}>{l}</a></span>)}
          {e.struck_by !== null ? <> · <a href={entryPath(e.struck_by)}>{t("ui.story.struck", { n: e.struck_by })}</a></> : null}
          {e.strikes !== null ? <> · {t("ui.entry.strikes", { n: e.strikes })}</> : null}
        </p>
      </div>
    </li>
  );
}

function Record() {
  const read = useRead<Health>("/health");
  return (
    <details class="health" id="health" open={location.hash === "#health"}>
      <summary>{t("ui.health.title")}</summary>
      <Shown read={read}>
        {(h) => (
          <dl class="pairs">
            <dt>{t("ui.health.size")}</dt><dd><Num plain value={number(h.size)} ask={{ title: t("ui.health.size"), about: "record" }} /></dd>
            <dt>{t("ui.health.root")}</dt><dd class="code hash">{h.root}</dd>
            <dt>{t("ui.health.signed")}</dt>
            <dd>{h.signed ? <Num plain value={t("ui.health.signed.value", { size: number(h.signed.size), when: dateTime(h.signed.signed_ms) })} ask={{ title: t("ui.health.signed"), about: "entry", of: h.signed.size }} /> : <State tone="due" text={t("ui.health.signed.none")} />}</dd>
            <dt>{t("ui.health.backup")}</dt>
            <dd>
              {h.backup.at_ms === null ? <State tone="due" text={t("ui.health.backup.none")} /> : (
                <State tone={h.backup.checked ? "done" : "due"} text={t(h.backup.checked ? "ui.health.backup.checked" : "ui.health.backup.unchecked", { when: dateTime(h.backup.at_ms) })} />
              )}
            </dd>
            {h.disk_days !== null && h.disk_days < 3650 ? <><dt>{t("ui.health.disk")}</dt><dd><Num plain value={t("ui.span.days.other", { n: number(h.disk_days) })} ask={{ title: t("ui.health.disk"), how: t("ui.health.disk.how"), about: "record" }} /></dd></> : null}
          </dl>
        )}
      </Shown>
    </details>
  );
}

export function Daybook() {
  const at = place.value.query;
  const lot = at.get("lot") ?? "";
  const kind = at.get("kind") ?? "";
  const everyDay = lot !== "" || at.get("day") === "all";
  const forms = useRead<{ forms: Form[] }>("/forms");
  const ask = new URLSearchParams();
  if (!everyDay) ask.set("day", shown.value);
  if (kind) ask.set("kind", kind);
  if (lot) ask.set("lot", lot);
  const path = `/daybook?${ask.toString()}`;
  return (
    <article>
      <header class="page-head">
        <h1>{t("ui.place.daybook")}</h1>
        <p class="page-sub">{everyDay ? lot || t("ui.daybook.all") : dayLong(shown.value)}</p>
      </header>
      <Record />
      <div class="filters">
        <div class="choices" role="group" aria-label={t("ui.day")}>
          <button type="button" aria-pressed={!everyDay && isNow.value} onClick={() => { choose(today()); query({ day: "", lot: "" }); }}>{t("ui.today")}</button>
          {isNow.value ? null : <button type="button" aria-pressed={!everyDay} onClick={() => query({ day: "", lot: "" })}>{day(shown.value)}</button>}
          <button type="button" aria-pressed={everyDay && lot === ""} onClick={() => query({ day: "all", lot: "" })}>{t("ui.daybook.all")}</button>
        </div>
        <label class="filter"><span>{t("ui.kind")}</span>
          <select value={kind} onChange={(e) => query({ kind: e.currentTarget.value })}>
            <option value="">{t("ui.every")}</option>
            {(forms.data?.forms ?? []).map((f) => <option key={f.kind} value={f.kind}>{f.title}</option>)}
          </select>
        </label>
        <label class="filter"><span>{t("ui.lot")}</span>
          <input type="search" value={lot} onChange={(e) => query({ lot: e.currentTarget.value })} />
        </label>
      </div>
      <Pages<EntryRow, "entries"> key={path} path={path} list="entries">
        {(rows) => rows.length === 0 ? (
          <Empty title={t("ui.daybook.empty")}><p>{t("ui.daybook.empty.do")}</p></Empty>
        ) : <ol class="entries plain-list">{rows.map((e) => <Row key={e.entry} e={e} />)}</ol>}
      </Pages>
    </article>
  );
}
