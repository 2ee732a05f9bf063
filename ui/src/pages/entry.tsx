/* One line of the daybook: what was told, what it did, and the proof that it stands in the signed tree,
 * worked out here in the browser. */
import { useState } from "preact/hooks";
import { useRead } from "../api/client";
import type { Entry } from "../api/types";
import { dateTime, day, number, result } from "../base/format";
import { entryPath, lotPath } from "../base/route";
import { t, word } from "../base/words";
import { State } from "../parts/mark";
import { ProofStates } from "../parts/proof";
import { Shown } from "../parts/read";
import { Said } from "../parts/said";
import { may } from "../shell/session";
import { CorrectDialog } from "./correct";

function Proof({ e }: { e: Entry }) {
  const h = e.proof.head;
  return (
    <section class="proof">
      <h2>{t("ui.proof.title")}</h2>
      <ProofStates e={e} />
      <p class="small">{t("ui.proof.how", { index: number(e.proof.index), size: number(e.proof.size) })}</p>
      <details>
        <summary>{t("ui.proof.parts")}</summary>
        <dl class="pairs hashes">
          <dt>{t("ui.proof.leaf")}</dt><dd class="code hash">{e.leaf}</dd>
          {e.proof.path.map((p, i) => <><dt>{t("ui.proof.step", { n: i + 1 })}</dt><dd class="code hash">{p}</dd></>)}
          <dt>{t("ui.proof.root")}</dt><dd class="code hash">{e.proof.root}</dd>
          {h ? (
            <>
              <dt>{t("ui.proof.signed")}</dt><dd>{dateTime(h.signed_ms)}</dd>
              <dt>{t("ui.proof.key")}</dt><dd class="code hash">{h.public_key}</dd>
              <dt>{t("ui.proof.signature")}</dt><dd class="code hash">{h.signature}</dd>
            </>
          ) : null}
        </dl>
      </details>
    </section>
  );
}

function Pairs({ of }: { of: Record<string, unknown> }) {
  return (
    <dl class="pairs">
      {Object.entries(of).map(([name, value]) => (
        <>
          <dt>{word("field", name)}</dt>
          <dd>{typeof value === "object" && value !== null ? <pre class="code">{JSON.stringify(value, null, 1)}</pre> : result(value)}</dd>
        </>
      ))}
    </dl>
  );
}

/* Told and not booked: whether somebody has settled it, and where to. */
function SetAside({ e }: { e: Entry }) {
  if (!e.aside) return null;
  const { settled_by, may_settle } = e.aside;
  if (settled_by !== null) {
    return <p><State tone="done" text={t("ui.aside.settled")} /> <a href={entryPath(settled_by)}>{t("ui.entry.n", { n: settled_by })}</a></p>;
  }
  return (
    <>
      <p><State tone="stopped" text={t("ui.aside.open")} /> {may_settle ? t("ui.aside.do") : t("ui.aside.who")}</p>
      {may_settle && may("record:settle") ? (
        <div class="actions"><a class="act" href={`/record/settle?aside=${e.entry}`}>{t("ui.aside.settle")}</a></div>
      ) : null}
    </>
  );
}

/* The command that was refused, field by field. */
function refusedCommand(e: Entry): Record<string, unknown> | null {
  const text = e.aside ? e.told["told"] : null;
  try {
    return typeof text === "string" ? JSON.parse(text) as Record<string, unknown> : null;
  } catch {
    return null;
  }
}

export function EntryPage({ seq }: { seq: string }) {
  const read = useRead<Entry>(`/daybook/${encodeURIComponent(seq)}`);
  const [isCorrecting, setCorrecting] = useState(false);
  return (
    <Shown read={read}>
      {(e) => (
        <article class={e.struck_by !== null ? "entry entry-struck" : "entry"}>
          <header class="page-head">
            <div>
              <p class="page-kicker">{t("ui.entry.n", { n: e.entry })} · {day(e.day)}</p>
              <h1>{e.title}</h1>
            </div>
            {e.struck_by !== null ? <p class="page-state"><State tone="stopped" text={t("ui.entry.struck")} /></p> : null}
          </header>
          <p class="lead entry-sentence"><Said text={e.sentence} /></p>
          {e.struck_by !== null ? <p><a href={entryPath(e.struck_by)}>{t("ui.story.struck", { n: e.struck_by })}</a></p> : null}
          {e.strikes !== null ? <p><a href={entryPath(e.strikes)}>{t("ui.entry.strikes", { n: e.strikes })}</a></p> : null}
          <SetAside e={e} />
          {e.correctable && may("strike") ? <div class="actions"><button type="button" onClick={() => setCorrecting(true)}>{t("ui.correct")}</button></div> : null}
          <dl class="pairs">
            <dt>{t("ui.ask.by")}</dt><dd>{e.name ?? e.by}</dd>
            <dt>{t("ui.ask.at")}</dt><dd>{dateTime(e.at_ms)}</dd>
            <dt>{t("ui.entry.recorded")}</dt><dd>{dateTime(e.recorded_ms)}</dd>
            {e.place ? <><dt>{t("ui.at-place")}</dt><dd>{e.place}</dd></> : null}
            {e.lots.length > 0 ? <><dt>{t("ui.place.lots")}</dt><dd>{e.lots.map((l) => <span key={l}><a href={lotPath(l)}>{l}</a> </span>)}</dd></> : null}
            {e.device ? <><dt>{t("ui.ask.device")}</dt><dd>{e.device}, {t("ui.entry.clock", { n: number(e.clock_ms / 1000, 1, 0) })}</dd></> : null}
            {e.cause ? <><dt>{t("ui.entry.cause")}</dt><dd><a href={entryPath(e.cause)}>{t("ui.entry.n", { n: e.cause })}</a></dd></> : null}
            {e.caused.length > 0 ? <><dt>{t("ui.entry.caused")}</dt><dd>{e.caused.map((c) => <span key={c}><a href={entryPath(c)}>{c}</a> </span>)}</dd></> : null}
            <dt>{t("ui.entry.effects")}</dt><dd class="figure">{number(e.effects)}</dd>
          </dl>
          {refusedCommand(e) ? <section><h2>{t("ui.aside.told")}</h2><Pairs of={refusedCommand(e) ?? {}} /></section> : null}
          <Proof e={e} />
          <section><h2>{t("ui.entry.told")}</h2><Pairs of={e.told} /></section>
          <section><h2>{t("ui.entry.answer")}</h2><Pairs of={e.answer} /></section>
          <p class="small code">{e.uuid} · v{e.version}</p>
          {isCorrecting ? <CorrectDialog entry={e.entry} sentence={e.sentence} close={() => setCorrecting(false)} /> : null}
        </article>
      )}
    </Shown>
  );
}
