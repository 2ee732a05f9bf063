/* People and limits: who may do what, on which devices, and what rules. */
import { useState } from "preact/hooks";
import { refresh, send, useRead } from "../api/client";
import type { Limits, Person as Known, Problem, Station } from "../api/types";
import { dateTime, unitText } from "../base/format";
import { entryPath } from "../base/route";
import { t, word } from "../base/words";
import { State } from "../parts/mark";
import { SignDialog } from "../parts/password";
import { Num, type Question } from "../parts/ask";
import { Person } from "../parts/person";
import { ProblemNote, Shown } from "../parts/read";
import { may, me } from "../shell/session";
import { asProblem } from "../shell/told";
import { BadgeDialog, PersonDialog } from "./people_edit";

function PeopleList() {
  const read = useRead<{ people: Known[] }>("/people");
  const [editing, setEditing] = useState<Known | "new" | null>(null);
  const [badge, setBadge] = useState<Known | null>(null);
  return (
    <section>
      <h2>{t("ui.people.title")}</h2>
      <Shown read={read}>
        {({ people }) => (
          <ul class="rows">
            {people.map((p) => (
              <li key={p.number} class="row-tall">
                <div>
                  <p><span class="person-n">{p.number}</span> <b>{p.name ?? t("ui.people.nameless")}</b> · {word("role", p.role)}</p>
                  <p class="small">
                    {p.active ? null : <State tone="stopped" text={t("ui.people.inactive")} />}
                    {p.locked ? <State tone="due" text={t("ui.people.locked")} /> : null}
                    {" "}{t(p.has_pin ? "ui.people.pin" : "ui.people.no-pin")} · {t(p.has_badge ? "ui.people.badge" : "ui.people.no-badge")}
                  </p>
                </div>
                <span class="actions">
                  {may("people") || p.number === me.value?.person ? <button type="button" onClick={() => setBadge(p)}>{t("ui.people.badge.do")}</button> : null}
                  {may("people") ? <button type="button" onClick={() => setEditing(p)}>{t("ui.people.change")}</button> : null}
                </span>
              </li>
            ))}
          </ul>
        )}
      </Shown>
      {may("people") ? <div class="actions"><button type="button" class="act" onClick={() => setEditing("new")}>{t("ui.people.new")}</button></div> : null}
      {editing ? <PersonDialog person={editing === "new" ? null : editing} close={() => setEditing(null)} /> : null}
      {badge ? <BadgeDialog person={badge} close={() => setBadge(null)} /> : null}
    </section>
  );
}

function Stations() {
  const read = useRead<{ stations: Station[] }>("/stations");
  const [code, setCode] = useState("");
  const [where, setWhere] = useState("");
  const [problem, setProblem] = useState<Problem | null>(null);
  const act = (what: Promise<unknown>) => {
    what.then(() => {
      setProblem(null);
      refresh();
    }, (error: unknown) => setProblem(asProblem(error)));
  };
  return (
    <section>
      <h2>{t("ui.stations.title")}</h2>
      <Shown read={read}>
        {({ stations }) => stations.length === 0 ? <p>{t("ui.stations.none")}</p> : (
          <ul class="rows">
            {stations.map((s) => (
              <li key={s.code} class="row-tall">
                <div><p><b>{s.code}</b>{s.place ? ` · ${s.place}` : ""}</p><p class="small">{s.by}, {dateTime(s.enrolled_ms)}{s.last_ms ? ` · ${t("ui.stations.last", { when: dateTime(s.last_ms) })}` : ""}</p></div>
                <button type="button" onClick={() => act(send("DELETE", `/stations/${encodeURIComponent(s.code)}`))}>{t("ui.stations.forget")}</button>
              </li>
            ))}
          </ul>
        )}
      </Shown>
      <form class="form form-row" onSubmit={(e) => { e.preventDefault(); act(send("POST", "/stations", { code, place: where || null })); }}>
        <label class="field"><span class="field-label">{t("ui.stations.code")}</span><input required value={code} aria-invalid={problem?.field === "code"} onInput={(e) => setCode(e.currentTarget.value)} /></label>
        <label class="field"><span class="field-label">{t("ui.at-place")}</span><input value={where} aria-invalid={problem?.field === "place"} onInput={(e) => setWhere(e.currentTarget.value)} /></label>
        <button type="submit">{t("ui.stations.enrol")}</button>
        <ProblemNote problem={problem} />
      </form>
    </section>
  );
}

type Limit = Limits["limits"][number];

function LimitDialog({ limit, close }: { limit: Limit; close: () => void }) {
  const [low, setLow] = useState(limit.low ?? "");
  const [high, setHigh] = useState(limit.high ?? "");
  const [source, setSource] = useState(limit.source ?? "");
  const [reason, setReason] = useState("");
  const text = (label: string, value: string, set: (v: string) => void, required = false) => (
    <label class="field"><span class="field-label">{label}</span><input value={value} required={required} onInput={(e) => set(e.currentTarget.value)} /></label>
  );
  return (
    <SignDialog
      title={t("ui.limits.change", { name: word("limit", limit.name) })} verb={t("ui.limits.sign")} close={close} done={() => {}}
      commands={() => [{ kind: "limit", limit: limit.name, ...(low ? { low } : {}), ...(high ? { high } : {}), source, reason }]}
    >
      {text(`${t("ui.limits.low")} (${limit.unit})`, low, setLow)}
      {text(`${t("ui.limits.high")} (${limit.unit})`, high, setHigh)}
      {text(t("ui.limits.source"), source, setSource, true)}
      {text(t("ui.reason"), reason, setReason, true)}
    </SignDialog>
  );
}

function limitAsk(l: Limit, which: string): Question {
  return {
    title: `${word("limit", l.name)}, ${which}`, about: "limit", of: l.name,
    inputs: [{ name: t("ui.limits.source"), value: `${l.source ?? "–"}${l.locator ? `, ${l.locator}` : ""} – ${word("word", l.word ?? "")}` }],
  };
}

function LimitsList() {
  const read = useRead<Limits>("/limits");
  const [changing, setChanging] = useState<Limit | null>(null);
  return (
    <section>
      <h2>{t("ui.limits.title")}</h2>
      <Shown read={read}>
        {({ profile, limits }) => (
          <>
            <p>{t("ui.limits.profile", { name: profile.title || profile.name, when: profile.from_ms === null ? "–" : dateTime(profile.from_ms) })} <span class="code small">{profile.digest.slice(0, 16)}</span></p>
            <div class="wide-table" role="region" aria-label={t("ui.limits.title")} tabIndex={0}>
              <table class="ledger">
                <thead><tr><th scope="col">{t("ui.limits.name")}</th><th scope="col" class="right">{t("ui.limits.low")}</th><th scope="col" class="right">{t("ui.limits.high")}</th><th scope="col">{t("ui.limits.source")}</th><th scope="col">{t("ui.limits.changed")}</th></tr></thead>
                <tbody>
                  {limits.map((l, i) => (
                    <tr key={i}>
                      <th scope="row">{word("limit", l.name)}{l.item ? <><br /><span class="small">{l.item}</span></> : null}</th>
                      <td class="right">{l.low !== null ? <Num plain value={`${l.low} ${unitText(l.unit)}`} ask={limitAsk(l, t("ui.limits.low"))} /> : "–"}</td><td class="right">{l.high !== null ? <Num plain value={`${l.high} ${unitText(l.unit)}`} ask={limitAsk(l, t("ui.limits.high"))} /> : "–"}</td>
                      <td class="source">{l.source}{l.locator ? `, ${l.locator}` : ""}<br /><span class="small">{word("word", l.word)}</span></td>
                      <td>
                        {l.changes.map((c) => (
                          <span class="small limit-change" key={c.entry}>
                            <a href={entryPath(c.entry)}>{t("ui.entry.n", { n: c.entry })}</a> <Person n={c.by} />, {dateTime(c.from_ms)}
                            {`: ${c.low ?? "–"} … ${c.high ?? "–"}. `}{c.reason}
                          </span>
                        ))}
                        {may("limit") ? <button type="button" class="plain" onClick={() => setChanging(l)}>{t("ui.people.change")}</button> : null}
                      </td>
                    </tr>
                  ))}
                </tbody>
              </table>
            </div>
          </>
        )}
      </Shown>
      {changing ? <LimitDialog limit={changing} close={() => setChanging(null)} /> : null}
    </section>
  );
}

export function People() {
  return (
    <article>
      <header class="page-head"><h1>{t("ui.place.people")}</h1></header>
      <PeopleList />
      {may("stations") ? <Stations /> : null}
      <LimitsList />
    </article>
  );
}

