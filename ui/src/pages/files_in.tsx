/* Files in: a file is chosen, tried, looked at, and only then taken, whole or not at all. */
import { useRef, useState } from "preact/hooks";
import { useRead, refresh } from "../api/client";
import type { FileReport, Mapping, Problem } from "../api/types";
import { base64Of, type Upload, upload } from "../api/upload";
import { dateTime, number } from "../base/format";
import { entryPath } from "../base/route";
import { t, tn, word } from "../base/words";
import { Mark, State } from "../parts/mark";
import { Person } from "../parts/person";
import { ProblemNote, Shown } from "../parts/read";
import { may } from "../shell/session";
import { asProblem } from "../shell/told";
import { FILE_KINDS, MappingDialog } from "./mapping_edit";

const FILE_MOST = 16 * 1024 * 1024; /* bytes, as the record takes them */
const MARKS = ["new", "changed", "cancelled", "shipped", "known", "duplicate", "gap"] as const;
const TONES = { new: "done", changed: "due", cancelled: "due", shipped: "stopped", known: "waiting", duplicate: "waiting", gap: "due" } as const;

function isMark(mark: string): mark is (typeof MARKS)[number] {
  return (MARKS as readonly string[]).includes(mark);
}

/* What the report says: how much of each, then line by line. */
function Report({ r }: { r: FileReport }) {
  return (
    <>
      <dl class="figures">
        <div><dt>{t("ui.files.rows")}</dt><dd class="figure">{number(r.rows)}</dd></div>
        {r.pieces !== undefined ? <div><dt>{t("ui.files.pieces")}</dt><dd class="figure">{number(r.pieces)}</dd></div> : null}
        {MARKS.filter((m) => r[m] > 0).map((m) => <div key={m}><dt><State tone={TONES[m]} text={t(`ui.files.mark.${m}`)} /></dt><dd class="figure">{number(r[m])}</dd></div>)}
      </dl>
      {r.from !== undefined ? <p>{t(r.whole_book ? "ui.files.whole" : "ui.files.span", { from: r.from, to: r.to ?? "" })}</p> : null}
      {r.cautions.map((c) => <p key={c} class="note note-due"><Mark tone="due" /><span>{c}</span></p>)}
      {r.notes.length > 0 ? (
        <div class="wide-table" role="region" aria-label={t("ui.files.notes")} tabIndex={0}>
          <table class="ledger">
            <thead><tr><th scope="col" class="right">{t("ui.files.line")}</th><th scope="col">{t("ui.state")}</th><th scope="col">{t("ui.files.what")}</th></tr></thead>
            <tbody>
              {r.notes.slice(0, 500).map((n, i) => (
                <tr key={i}>
                  <td class="right figure">{n.line !== undefined ? number(n.line) : "–"}</td>
                  <td>{isMark(n.mark) ? <State tone={TONES[n.mark]} text={t(`ui.files.mark.${n.mark}`)} /> : n.mark}</td>
                  <td class="code">{n.what}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      ) : null}
      {r.notes.length > 500 ? <p class="small">{t("ui.files.notes.more", { n: number(r.notes.length - 500) })}</p> : null}
    </>
  );
}

/* Where in the file the fault is: the line itself, with the cell from that column on marked. */
function Fault({ problem, text }: { problem: Problem; text: string }) {
  const line = (problem.line ?? 0) > 0 ? text.split(/\r\n|\r|\n/)[(problem.line ?? 0) - 1] : undefined;
  const at = Math.max(0, (problem.column ?? 0) - 1);
  return (
    <div class="fault">
      <ProblemNote problem={problem} />
      {line !== undefined ? (
        <>
          <p class="small">{t("ui.files.at", { line: number(problem.line ?? 0), column: number(problem.column ?? 0) })}</p>
          <p class="formula">{line.slice(0, at)}<mark>{line.slice(at, at + 60) || "␤"}</mark>{line.slice(at + 60, at + 160)}</p>
        </>
      ) : null}
    </div>
  );
}

interface Chosen {
  file: File;
  bytes: string;
  text: string;
}

type Stage = { at: "choose" } | { at: "sending"; share: number; isTry: boolean } | { at: "tried"; report: FileReport } | { at: "taken"; report: FileReport };

function Progress({ stage, name, stop }: { stage: Extract<Stage, { at: "sending" }>; name: string; stop: () => void }) {
  return (
    <div class="plan-work">
      <label class="progress">
        <span>{stage.share < 1 ? t("ui.files.sending", { name, n: number(stage.share * 100) }) : t(stage.isTry ? "ui.files.reading" : "ui.files.booking", { name })}</span>
        {stage.share < 1 ? <progress max={1} value={stage.share} /> : <progress />}
      </label>
      <button type="button" onClick={stop}>{t("ui.files.stop")}</button>
    </div>
  );
}

function Work({ mappings }: { mappings: Mapping[] }) {
  const [kind, setKind] = useState("orders");
  const [source, setSource] = useState("");
  const [reason, setReason] = useState("");
  const [chosen, setChosen] = useState<Chosen | null>(null);
  const [stage, setStage] = useState<Stage>({ at: "choose" });
  const [problem, setProblem] = useState<Problem | null>(null);
  const [isLarge, setLarge] = useState(false);
  const going = useRef<Upload<FileReport> | null>(null);
  const fitting = mappings.filter((m) => m.for === kind);
  const from = fitting.find((m) => m.source === source) ?? fitting[0];
  const anew = () => {
    setStage({ at: "choose" });
    setProblem(null);
  };
  const take = async (file: File | undefined) => {
    anew();
    setLarge(file !== undefined && file.size > FILE_MOST);
    setChosen(file && file.size <= FILE_MOST ? { file, bytes: await base64Of(file), text: await file.text() } : null);
  };
  const send = async (isTry: boolean) => {
    if (!chosen || !from) return;
    setProblem(null);
    setStage({ at: "sending", share: 0, isTry });
    const body = { source: from.source, name: chosen.file.name, bytes_b64: chosen.bytes, try: isTry, ...(reason.trim() ? { reason: reason.trim() } : {}) };
    const sending = upload<FileReport>(`/files/${kind}`, body, (share) => setStage({ at: "sending", share, isTry }));
    going.current = sending;
    try {
      const report = await sending.answer;
      setStage({ at: isTry ? "tried" : "taken", report });
      if (!isTry) refresh();
    } catch (error) {
      setProblem(asProblem(error));
      setStage({ at: "choose" });
    }
  };
  return (
    <section>
      <form class="form" onSubmit={(e) => { e.preventDefault(); void send(true); }}>
        <div class="choices" role="group" aria-label={t("ui.files.kind")}>
          {FILE_KINDS.map((k) => <button type="button" key={k} aria-pressed={k === kind} onClick={() => { setKind(k); setSource(""); anew(); }}>{t(`ui.files.kind.${k}`)}</button>)}
        </div>
        {from ? (
          <label class="field"><span class="field-label">{t("ui.files.source")}</span>
            <select value={from.source} onChange={(e) => { setSource(e.currentTarget.value); anew(); }}>{fitting.map((m) => <option key={m.source} value={m.source}>{m.source}</option>)}</select>
          </label>
        ) : <p class="note note-due"><Mark tone="due" /><span>{t("ui.files.no-mapping")}</span></p>}
        <label class="field"><span class="field-label">{t("ui.files.file")}</span>
          <input type="file" accept=".csv,.txt,text/csv,text/plain" onChange={(e) => void take(e.currentTarget.files?.[0])} />
          {isLarge ? <span class="field-wrong" role="alert">{t("ui.files.large")}</span> : null}
        </label>
        <label class="field"><span class="field-label">{t("ui.record.why-late")} <span class="small">{t("ui.calc.may")}</span></span>
          <input value={reason} onInput={(e) => setReason(e.currentTarget.value)} />
          <span class="small">{t("ui.files.late")}</span>
        </label>
        {stage.at === "choose" ? <div class="actions"><button type="submit" class="act" disabled={!chosen || !from}>{t("ui.files.try")}</button></div> : null}
      </form>
      {stage.at === "sending" ? <Progress stage={stage} name={chosen?.file.name ?? ""} stop={() => going.current?.stop()} /> : null}
      {problem ? <Fault problem={problem} text={chosen?.text ?? ""} /> : null}
      {stage.at === "tried" ? (
        <section aria-live="polite">
          <h2>{t("ui.files.would", { name: stage.report.file })}</h2>
          <Report r={stage.report} />
          <div class="actions">
            {stage.report.commands > 0
              ? <button type="button" class="act" onClick={() => void send(false)}>{t("ui.files.take")}</button>
              : <p>{t("ui.files.nothing")}</p>}
            <button type="button" onClick={anew}>{t("ui.cancel")}</button>
          </div>
        </section>
      ) : null}
      {stage.at === "taken" ? (
        <section role="status">
          <h2><Mark tone="done" /> {t("ui.files.taken", { name: stage.report.file })}</h2>
          <Report r={stage.report} />
          <div class="actions"><button type="button" onClick={anew}>{t("ui.files.another")}</button></div>
        </section>
      ) : null}
    </section>
  );
}

function Mappings({ mappings }: { mappings: Mapping[] }) {
  const [editing, setEditing] = useState<Mapping | "new" | null>(null);
  return (
    <section>
      <h2>{t("ui.mappings.title")}</h2>
      <p>{t("ui.mappings.lead")}</p>
      <ul class="rows">
        {mappings.map((m) => (
          <li key={`${m.for} ${m.source}`} class="row-tall">
            <div>
              <p><b>{m.source}</b> · {word("files.kind", m.for)}</p>
              <p class="small">
                {tn("ui.mappings.columns", Object.keys((m.data["columns"] as object | undefined) ?? {}).length)} · <Person n={m.by} />, {dateTime(m.at_ms)} <a href={entryPath(m.entry)}>{t("ui.entry.n", { n: m.entry })}</a>
              </p>
            </div>
            <button type="button" onClick={() => setEditing(m)}>{t(may("record:mapping") ? "ui.people.change" : "ui.mappings.look")}</button>
          </li>
        ))}
      </ul>
      {may("record:mapping") ? <div class="actions"><button type="button" onClick={() => setEditing("new")}>{t("ui.mappings.new")}</button></div> : null}
      {editing ? <MappingDialog mapping={editing === "new" ? null : editing} close={() => setEditing(null)} /> : null}
    </section>
  );
}

export function FilesIn() {
  const read = useRead<{ mappings: Mapping[] }>("/mappings");
  return (
    <article>
      <header class="page-head"><h1>{t("ui.files.title")}</h1></header>
      <p class="lead">{t("ui.files.lead")}</p>
      <Shown read={read}>
        {({ mappings }) => (
          <>
            <Work mappings={mappings} />
            <Mappings mappings={mappings} />
          </>
        )}
      </Shown>
    </article>
  );
}
