/* What is open and what it stops: rules that were broken, the environment, places, lots that wait. */
import { useRead } from "../api/client";
import type { Deviation, SafetyBoard } from "../api/types";
import { dateTime, mass } from "../base/format";
import { entryPath, lotPath, recordPath } from "../base/route";
import { t, tn, word } from "../base/words";
import { AskSentence } from "../parts/ask";
import { State } from "../parts/mark";
import { Person } from "../parts/person";
import { Empty, Shown } from "../parts/read";
import { Said } from "../parts/said";
import { may } from "../shell/session";

function Do({ form, known, text }: { form: string; known: Record<string, string | number>; text: string }) {
  return may(`record:${form}`) ? <a class="act" href={recordPath(form, known)}>{text}</a> : null;
}

function Next({ d }: { d: Deviation }) {
  if (d.next === "correct") return <Do form="corrective-action" known={{ deviation: d.deviation }} text={t("ui.board.correct")} />;
  if (d.mine) return <p class="small">{t("ui.board.verify-other")}</p>;
  return <Do form="verification" known={{ deviation: d.deviation }} text={t("ui.board.verify")} />;
}

function Window({ d }: { d: Deviation }) {
  if (d.lot_count === 0) return <p class="small">{t("ui.board.window.none")}</p>;
  return (
    <p class="small">
      {d.from_ms !== null || d.to_ms !== null
        ? t("ui.board.window", {
          from: d.from_ms !== null ? dateTime(d.from_ms) : t("ui.board.window.begin"),
          to: d.to_ms !== null ? dateTime(d.to_ms) : t("ui.board.window.now"),
        })
        : t("ui.board.window.lot")}
      {" "}
      {d.lots.map((l) => <span key={l}><a href={lotPath(l)}>{l}</a> </span>)}
      {d.lot_count > d.lots.length ? tn("ui.safety.more-lots", d.lot_count - d.lots.length) : null}
    </p>
  );
}

function DeviationRow({ d }: { d: Deviation }) {
  return (
    <li class="row-tall">
      <div>
        <p>
          <State tone={d.next === "correct" ? "due" : "waiting"} text={t(`ui.board.next.${d.next}`)} />
          {d.place ? <span class="tag">{d.place}</span> : null}
        </p>
        <p><Said text={d.sentence} /></p>
        <AskSentence text={d.sentence} ask={{ about: "entry", of: d.entry }} />
        <p class="small">
          <a href={entryPath(d.entry)}>{t("ui.entry.n", { n: d.entry })}</a> · {dateTime(d.at_ms)} · <Person n={d.by} />
        </p>
        <Window d={d} />
        {d.action ? (
          <ul class="plain-list">
            <li><b>{t("ui.board.cause")}:</b> {d.action.cause}</li>
            <li><b>{t("ui.board.correction")}:</b> {d.action.correction}</li>
            <li><b>{t("ui.board.disposition")}:</b> {word("disposition", d.action.disposition)}</li>
            {d.action.restart ? <li><b>{t("ui.board.restart")}:</b> {d.action.restart}</li> : null}
            <li class="small">{t("ui.board.told-by")} <Person n={d.action.by} />, {dateTime(d.action.at_ms)} · <a href={entryPath(d.action.entry)}>{t("ui.entry.n", { n: d.action.entry })}</a></li>
          </ul>
        ) : null}
      </div>
      <Next d={d} />
    </li>
  );
}

function Deviations({ board }: { board: SafetyBoard }) {
  return (
    <section id="deviations">
      <h2>{t("ui.board.deviations")}</h2>
      {board.deviations.length === 0 ? <Empty title={t("ui.board.deviations.none")} /> : (
        <ul class="rows">{board.deviations.map((d) => <DeviationRow key={d.deviation} d={d} />)}</ul>
      )}
      {board.deviation_count > board.deviations.length ? <p class="small">{tn("ui.board.more", board.deviation_count - board.deviations.length)}</p> : null}
    </section>
  );
}

function Environment({ board }: { board: SafetyBoard }) {
  if (board.environments.length === 0) return null;
  return (
    <section id="environment">
      <h2>{t("ui.board.environment")}</h2>
      <ul class="rows">
        {board.environments.map((e) => (
          <li key={e.environment} class="row-tall">
            <div>
              <p><State tone={e.product_hold ? "stopped" : "due"} text={t(e.product_hold ? "ui.board.holds" : "ui.board.acts")} /> <b>{e.place}</b>{e.site ? <span class="tag">{e.site}</span> : null}{e.zone !== null ? <span class="tag">{t("ui.zone.n", { n: e.zone })}</span> : null}</p>
              <p>{[e.organism, e.sample].filter((x) => x !== null).join(", ")}</p>
              <p class="small">
                {t("ui.board.since", { when: dateTime(e.opened_ms) })}
                {e.clear !== null ? ` · ${tn("ui.board.clear", e.clear)}` : ""}
                {e.tasks > 0 ? ` · ${tn("ui.board.tasks", e.tasks)}` : ""}
              </p>
            </div>
            <Do form="environment" known={{ place: e.place, close: e.environment }} text={t("ui.board.close")} />
          </li>
        ))}
      </ul>
    </section>
  );
}

function Blocks({ board }: { board: SafetyBoard }) {
  return (
    <section id="blocks">
      <h2>{t("ui.board.blocks")}</h2>
      {board.blocks.length === 0 ? <Empty title={t("ui.board.blocks.none")} /> : (
        <ul class="rows">
          {board.blocks.map((b) => (
            <li key={`${b.kind} ${b.code}`} class="row-tall">
              <div>
                <p><State tone="stopped" text={t("ui.board.stops", { place: b.place })} /> <span class="code">{b.code}</span></p>
                <p>{b.sentence}</p>
                <AskSentence text={b.sentence} ask={{ at: b.kind === "duty" ? "/safety/schedule" : "/safety/registers" }} />
                <p class="small">{t(`ui.board.${b.kind}`)} · {t("ui.board.since", { when: dateTime(b.since_ms) })}</p>
              </div>
              <Do form={b.form} known={b.with as Record<string, string>} text={t(b.kind === "duty" ? "ui.board.do" : "ui.board.hand-back")} />
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

function Waiting({ board }: { board: SafetyBoard }) {
  return (
    <section id="waiting">
      <h2>{t("ui.board.waiting")}</h2>
      {board.waiting.length === 0 ? <Empty title={t("ui.board.waiting.none")} /> : (
        <ul class="rows">
          {board.waiting.map((w) => (
            <li key={w.lot} class="row-tall">
              <div>
                <p><a class="row-link" href={lotPath(w.lot)}>{w.lot}</a> {w.item} · {mass(w.mg)}</p>
                {w.unmet.length === 0
                  ? <p><State tone="due" text={t("ui.board.all-met")} /></p>
                  : (
                    <ul class="plain-list">
                      {w.unmet.map((c, i) => (
                        <li key={i}><b>{c.title}:</b> <Said text={c.sentence} /> <AskSentence text={c.sentence} ask={{ at: lotPath(c.lot) }} />{c.lot !== w.lot ? <> <a href={lotPath(c.lot)}>{c.lot}</a></> : null}</li>
                      ))}
                    </ul>
                  )}
              </div>
            </li>
          ))}
        </ul>
      )}
      {board.waiting_count > board.waiting.length ? <p class="small">{tn("ui.safety.more-lots", board.waiting_count - board.waiting.length)}</p> : null}
    </section>
  );
}

/* What is stopped, what broke a rule, what is found in the environment; what is in order stands behind. */
function worstFirst(board: SafetyBoard) {
  const parts = [
    { part: Blocks, count: board.blocks.length }, { part: Deviations, count: board.deviations.length },
    { part: Environment, count: board.environments.length }, { part: Waiting, count: board.waiting.length },
  ];
  return [...parts.filter((p) => p.count > 0), ...parts.filter((p) => p.count === 0)].map((p) => p.part);
}

export function Board() {
  const read = useRead<SafetyBoard>("/safety");
  return (
    <Shown read={read}>
      {(board) => <>{worstFirst(board).map((Part, i) => <Part key={i} board={board} />)}</>}
    </Shown>
  );
}
