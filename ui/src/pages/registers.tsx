/* What must not end in product and what is kept: glass and blades, rounds, work orders, rejects, retained samples,
 * deliveries. */
import { useRead } from "../api/client";
import type { Registers, Tone } from "../api/types";
import { dateTime, mass, number, pieces } from "../base/format";
import { entryPath, lotPath, recordPath } from "../base/route";
import { t, tn, word } from "../base/words";
import { State } from "../parts/mark";
import { Person } from "../parts/person";
import { Empty, Shown } from "../parts/read";
import { may } from "../shell/session";
import { Rooms } from "./safety";

const DUE: Record<Registers["rounds"][number]["state"], Tone> = { done: "done", due: "due", late: "due", overdue: "stopped" };
const INSPECTION: Record<Registers["deliveries"][number]["inspection"], Tone> = { normal: "done", tightened: "due", discontinued: "stopped" };

function Do({ form, known, text, due }: { form: string; known: Record<string, string>; text: string; due?: boolean }) {
  return may(`record:${form}`) ? <a class={due ? "act" : "button"} href={recordPath(form, known)}>{text}</a> : null;
}

function Year({ year, off }: { year: number; off: number }) {
  return <>{tn("ui.registers.year", year)}{off > 0 ? ` · ${tn("ui.registers.off", off)}` : ""}</>;
}

function Counted({ data }: { data: Registers }) {
  return (
    <section id="counted">
      <h2>{t("ui.registers.counted")}</h2>
      {data.registers.length === 0 ? <Empty title={t("ui.registers.counted.none")}><p>{t("ui.registers.counted.do")}</p></Empty> : (
        <ul class="rows">
          {data.registers.map((r) => {
            const last = r.counts[0];
            return (
              <li key={r.register} class="row-tall">
                <div>
                  <p>
                    {last ? <State tone={last.ok ? "done" : "stopped"} text={t(last.ok ? "ui.registers.whole" : "ui.registers.short")} /> : <State tone="due" text={t("ui.registers.never")} />}
                    {" "}<b>{r.register}</b> {t(`word.of.${r.of}`)} <span class="tag">{r.place}</span>
                  </p>
                  <p>{last ? t("ui.registers.last", { counted: number(last.counted), expected: number(last.expected), when: dateTime(last.at_ms) }) : t("ui.registers.expected", { n: number(r.expected) })}</p>
                  <p class="small"><Year year={r.year} off={r.year_off} /></p>
                  {r.counts.length > 1 ? (
                    <details>
                      <summary>{t("ui.registers.before")}</summary>
                      <ul class="plain-list">
                        {r.counts.slice(1).map((c) => (
                          <li key={c.entry}>
                            <a href={entryPath(c.entry)}>{dateTime(c.at_ms)}</a>: {number(c.counted)} / {number(c.expected)} · <Person n={c.by} />{c.what ? ` · ${c.what}` : ""}
                          </li>
                        ))}
                      </ul>
                    </details>
                  ) : null}
                </div>
                <Do form="register-count" known={{ register: r.register }} text={t("ui.registers.count")} />
              </li>
            );
          })}
        </ul>
      )}
    </section>
  );
}

function Rounds({ data }: { data: Registers }) {
  return (
    <section id="rounds">
      <h2>{t("ui.registers.rounds")}</h2>
      {data.rounds.length === 0 ? <Empty title={t("ui.registers.rounds.none")}><p>{t("ui.registers.rounds.do")}</p></Empty> : (
        <ul class="rows">
          {data.rounds.map((r) => (
            <li key={r.duty} class="row-tall">
              <div>
                <p><State tone={DUE[r.state]} text={word("duty-state", r.state)} /> <b>{r.title}</b>{r.place ? <span class="tag">{r.place}</span> : null}</p>
                <p class="small">{t("ui.registers.due", { when: dateTime(r.due_ms) })} · {word("role", r.role)} · <Year year={r.year} off={r.year_off} /></p>
                {r.notes.length > 0 ? (
                  <ul class="plain-list">
                    {r.notes.slice(0, 4).map((n) => (
                      <li key={n.entry}><a href={entryPath(n.entry)}>{dateTime(n.at_ms)}</a>: {t(n.ok ? "ui.registers.good" : "ui.registers.bad")}{n.what ? ` · ${n.what}` : ""} · <Person n={n.by} /></li>
                    ))}
                  </ul>
                ) : null}
              </div>
              {r.told ? <Do form="duty-done" known={{ duty: r.duty }} text={t("ui.registers.done")} due={r.state !== "done"} /> : null}
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

function Work({ data }: { data: Registers }) {
  return (
    <section id="work">
      <h2>{t("ui.registers.work")}</h2>
      {data.work_places.length > 0 ? <p class="small">{data.work_places.map((p) => t("ui.registers.work.at", { place: p.place, n: number(p.orders), open: number(p.open) })).join(" · ")}</p> : null}
      {data.work.length === 0 ? <p>{t("ui.registers.work.none")}</p> : (
        <ul class="rows">
          {data.work.map((w) => (
            <li key={w.entry} class="row-tall">
              <div>
                <p><State tone={w.open ? "stopped" : "done"} text={t(w.open ? "ui.registers.work.open" : "ui.registers.work.back")} /> <b>{w.work_order}</b> <span class="tag">{w.place}</span> {w.what}</p>
                <p class="small">
                  <a href={entryPath(w.entry)}>{dateTime(w.opened_ms)}</a>{w.by !== null ? <> <Person n={w.by} /></> : null}
                  {w.back_ms !== null && w.back_entry !== null ? <>{" → "}<a href={entryPath(w.back_entry)}>{dateTime(w.back_ms)}</a>{w.back_by !== null ? <> <Person n={w.back_by} /></> : null}{w.note ? ` · ${w.note}` : ""}</> : null}
                </p>
              </div>
              {w.open ? <Do form="hand-back" known={{ work_order: w.work_order }} text={t("ui.board.hand-back")} due /> : null}
            </li>
          ))}
        </ul>
      )}
      <div class="actions"><Do form="work-order" known={{}} text={t("ui.registers.work.do")} /></div>
    </section>
  );
}

function Rejects({ data }: { data: Registers }) {
  return (
    <section id="rejects">
      <h2>{t("ui.registers.rejects")}</h2>
      {data.rejects.length === 0 ? <p>{t("ui.registers.rejects.none")}</p> : (
        <ul class="rows">
          {data.rejects.map((r) => (
            <li key={r.entry} class="row-tall">
              <div>
                <p><State tone={r.ok ? "done" : "stopped"} text={t(`word.metal.${r.code}`)} /> <span class="tag">{r.place}</span> {r.what}</p>
                <p class="small"><a href={entryPath(r.entry)}>{dateTime(r.at_ms)}</a> <Person n={r.by} /> · {tn("ui.registers.passes", r.passes)}</p>
              </div>
            </li>
          ))}
        </ul>
      )}
      <div class="actions"><Do form="metal-reject" known={{}} text={t("ui.registers.rejects.do")} /></div>
    </section>
  );
}

function Kept({ data }: { data: Registers }) {
  return (
    <section id="retained">
      <h2>{t("ui.registers.retained")}</h2>
      {data.retained.length === 0 ? <p>{t("ui.registers.retained.none")}</p> : (
        <ul class="rows">
          {data.retained.map((r) => (
            <li key={r.retained} class="row-tall">
              <div>
                <p><State tone={r.over ? "due" : "done"} text={t(r.over ? "ui.registers.retained.over" : "ui.registers.retained.kept")} /> <b>{r.retained}</b> {r.lot ? <a href={lotPath(r.lot)}>{r.lot}</a> : null} <span class="tag">{r.place}</span></p>
                <p class="small">{r.pieces > 0 ? pieces(r.pieces) : mass(r.mg)} · {t("ui.registers.retained.until", { when: dateTime(r.until_ms) })} · <a href={entryPath(r.entry)}>{t("ui.entry.n", { n: r.entry })}</a></p>
              </div>
              {r.over ? <Do form="retain-end" known={{ retained: r.retained }} text={t("ui.registers.retained.end")} due /> : null}
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

function Deliveries({ data }: { data: Registers }) {
  return (
    <section id="deliveries">
      <h2>{t("ui.registers.deliveries")}</h2>
      <p class="small">{t("ui.registers.deliveries.how")}</p>
      {data.deliveries.length === 0 ? <p>{t("ui.registers.deliveries.none")}</p> : (
        <ul class="rows">
          {data.deliveries.map((d) => (
            <li key={`${d.supplier} ${d.item}`} class="row-tall">
              <div>
                <p><State tone={INSPECTION[d.inspection]} text={t(`word.inspection.${d.inspection}`)} /> <b>{d.supplier}</b> {d.item}</p>
                <p class="small">{tn("ui.registers.deliveries.n", d.deliveries)} · {t("ui.registers.deliveries.taken", { accepted: number(d.accepted), refused: number(d.refused) })} · {dateTime(d.last_ms)}</p>
              </div>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

function Packs({ data }: { data: Registers }) {
  return (
    <section id="packs">
      <h2>{t("ui.registers.packs")}</h2>
      <p class="small">{t("ui.registers.packs.how")}</p>
      {data.packs.length === 0 ? <p>{t("ui.registers.packs.none")}</p> : (
        <ul class="rows">
          {data.packs.map((p) => (
            <li key={`${p.check} ${p.line} ${p.item}`} class="row-tall">
              <div>
                <p><State tone={INSPECTION[p.inspection]} text={t(`word.inspection.${p.inspection}`)} /> <b>{p.line}</b> {p.item}, {p.title}</p>
                <p class="small">{tn("ui.registers.packs.n", p.lots)} · {t("ui.registers.deliveries.taken", { accepted: number(p.accepted), refused: number(p.refused) })} · {dateTime(p.last_ms)}</p>
              </div>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

export function RegistersPage() {
  const read = useRead<Registers>("/registers");
  return (
    <article>
      <header class="page-head"><h1>{t("ui.registers.title")}</h1></header>
      <Rooms at="registers" />
      <div class="actions no-print"><button type="button" onClick={() => print()}>{t("ui.schedule.print")}</button></div>
      <Shown read={read}>
        {(data) => (
          <>
            <Counted data={data} />
            <Rounds data={data} />
            <Work data={data} />
            <Rejects data={data} />
            <Kept data={data} />
            <Deliveries data={data} />
            <Packs data={data} />
          </>
        )}
      </Shown>
    </article>
  );
}
