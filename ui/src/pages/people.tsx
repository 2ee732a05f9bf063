/* People and limits: who may do what, on which devices, and what rules. */
import { useState } from "preact/hooks";
import { refresh, send, useRead } from "../api/client";
import type { Limits, Person as Known, Problem, Station } from "../api/types";
import { now } from "../base/clock";
import { dateTime, unitText } from "../base/format";
import { entryPath } from "../base/route";
import { t, word } from "../base/words";
import { State } from "../parts/mark";
import { Num, NumHead, type Question } from "../parts/ask";
import { Person } from "../parts/person";
import { ProblemNote, Shown } from "../parts/read";
import { may, me } from "../shell/session";
import { asProblem } from "../shell/told";
import { itemText, type Limit, LimitDialog, rangeText } from "./limit_edit";
import { ProfileDialog } from "./profile_take";
import { BadgeDialog, PersonDialog, ProveDialog } from "./people_edit";

function PeopleList() {
  const read = useRead<{ people: Known[] }>("/people");
  const [editing, setEditing] = useState<Known | "new" | null>(null);
  const [badge, setBadge] = useState<Known | null>(null);
  const [proving, setProving] = useState<{ person: Known; what: "unlock" | "erase" } | null>(null);
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
                  {may("people") && p.locked ? <button type="button" class="act" onClick={() => setProving({ person: p, what: "unlock" })}>{t("ui.people.unlock")}</button> : null}
                  {may("people") || p.number === me.value?.person ? <button type="button" onClick={() => setBadge(p)}>{t("ui.people.badge.do")}</button> : null}
                  {may("people") ? <button type="button" onClick={() => setEditing(p)}>{t("ui.people.change")}</button> : null}
                  {p.name !== null && (p.number === me.value?.person || may("people")) ? (
                    <button type="button" class="plain" onClick={() => setProving({ person: p, what: "erase" })}>{t("ui.people.erase")}</button>
                  ) : null}
                </span>
              </li>
            ))}
          </ul>
        )}
      </Shown>
      {may("people") ? <div class="actions"><button type="button" class="act" onClick={() => setEditing("new")}>{t("ui.people.new")}</button></div> : null}
      {editing ? <PersonDialog person={editing === "new" ? null : editing} close={() => setEditing(null)} /> : null}
      {badge ? <BadgeDialog person={badge} close={() => setBadge(null)} /> : null}
      {proving ? <ProveDialog {...proving} close={() => setProving(null)} /> : null}
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

/* One change of a limit: when it counts, whose it is, and what it was told from. */
function Change({ change, unit }: { change: Limit["changes"][number]; unit: string }) {
  return (
    <span class="small limit-change">
      <a href={entryPath(change.entry)}>{t("ui.entry.n", { n: change.entry })}</a> <Person n={change.by} />, {t("ui.limits.since", { when: dateTime(change.from_ms) })}
      {change.from_ms > now() ? <> <State tone="waiting" text={t("ui.limits.later")} /></> : null}
      {`: ${rangeText(change.low, change.high, unit)}. `}{change.loosens ? <State tone="due" text={t("ui.limits.looser")} /> : null}
      {` ${change.reason} (${change.source}${change.word ? `, ${word("word", change.word)}` : ""})`}
    </span>
  );
}

function limitAsk(l: Limit, which: string): Question {
  return {
    title: `${word("limit", l.name)}, ${which}`, about: "limit", of: l.name,
    inputs: [{ name: t("ui.limits.source"), value: `${l.source ?? "–"}${l.locator ? `, ${l.locator}` : ""} – ${word("word", l.word ?? "")}` }],
  };
}

/* What the profile asks beside its limits: it changes with the profile. */
function Rules({ rules }: { rules: Limits["rules"] }) {
  return (
    <section id="rules">
      <h3>{t("ui.rules.title")}</h3>
      <p class="small">{t("ui.rules.how")}</p>
      <div class="wide-table" role="region" aria-label={t("ui.rules.title")} tabIndex={0}>
        <table class="ledger ledger-cards">
          <thead><tr><th scope="col">{t("ui.rules.rule")}</th><NumHead left title={t("ui.rules.says")} ask={{ how: t("ui.rules.says.how") }} /><th scope="col">{t("ui.limits.source")}</th></tr></thead>
          <tbody>
            {rules.map((r) => (
              <tr key={`${r.rule} ${r.name}`}>
                <th scope="row">{r.name}<br /><span class="small">{word("rule", r.rule)}</span></th>
                <td data-name={t("ui.rules.says")}>{r.says}</td>
                <td data-name={t("ui.limits.source")} class="source"><div>{r.source}{r.locator ? `, ${r.locator}` : ""}{r.word ? <><br /><span class="small">{word("word", r.word)}</span></> : null}</div></td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}

function LimitsList() {
  const read = useRead<Limits>("/limits");
  const [changing, setChanging] = useState<Limit | null>(null);
  const [isProposing, setProposing] = useState(false);
  return (
    <section>
      <h2>{t("ui.limits.title")}</h2>
      <Shown read={read}>
        {({ profile, limits, rules }) => (
          <>
            <p>{t("ui.limits.profile", { name: profile.title || profile.name, when: profile.from_ms === null ? "–" : dateTime(profile.from_ms) })} <span class="code small profile-digest" title={t("ui.profile.digest")}>{profile.digest}</span></p>
            <div class="actions no-print">
              <a class="button" href="/api/v1/profile.json" download>{t("ui.profile.download")}</a>
              {may("record:profile") ? <button type="button" onClick={() => setProposing(true)}>{t("ui.profile.propose")}</button> : null}
            </div>
            <div class="wide-table" role="region" aria-label={t("ui.limits.title")} tabIndex={0}>
              <table class="ledger ledger-cards">
                <thead><tr><th scope="col">{t("ui.limits.name")}</th><th scope="col" class="right">{t("ui.limits.low")}</th><th scope="col" class="right">{t("ui.limits.high")}</th><th scope="col">{t("ui.limits.source")}</th><th scope="col">{t("ui.limits.changed")}</th></tr></thead>
                <tbody>
                  {limits.map((l, i) => (
                    <tr key={i}>
                      <th scope="row">{word("limit", l.name)}<br /><span class="small">{itemText(l)}</span></th>
                      <td data-name={t("ui.limits.low")} class="right">{l.low !== null ? <Num plain value={`${l.low} ${unitText(l.unit)}`} ask={limitAsk(l, t("ui.limits.low"))} /> : "–"}</td><td data-name={t("ui.limits.high")} class="right">{l.high !== null ? <Num plain value={`${l.high} ${unitText(l.unit)}`} ask={limitAsk(l, t("ui.limits.high"))} /> : "–"}</td>
                      <td data-name={t("ui.limits.source")} class="source"><div>{l.source}{l.locator ? `, ${l.locator}` : ""}<br /><span class="small">{l.word ? word("word", l.word) : t("ui.limits.word.none")}</span></div></td>
                      <td data-name={t("ui.limits.changed")}>
                        <div>
                          {l.changes.map((c) => <Change key={c.entry} change={c} unit={l.unit} />)}
                          {may("limit") ? <button type="button" class="plain" onClick={() => setChanging(l)}>{t("ui.people.change")}</button> : null}
                        </div>
                      </td>
                    </tr>
                  ))}
                </tbody>
              </table>
            </div>
            <Rules rules={rules} />
          </>
        )}
      </Shown>
      {isProposing ? <ProfileDialog close={() => setProposing(false)} /> : null}
      {changing ? <LimitDialog limit={changing} all={read.data?.limits ?? []} close={() => setChanging(null)} /> : null}
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
