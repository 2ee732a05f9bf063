/* A mistake is put right by a correction: first what it would do, then a signature. */
import { useState } from "preact/hooks";
import { useRead } from "../api/client";
import type { Answer, Command, Entry, Field, Form, Person, Problem } from "../api/types";
import { zone } from "../base/format";
import { lotPath } from "../base/route";
import { t, tn, word } from "../base/words";
import { instantOf, localText } from "../base/zoned";
import { Dialog } from "../parts/dialog";
import { Mark } from "../parts/mark";
import { SignDialog } from "../parts/password";
import { ProblemNote } from "../parts/read";
import { TimeInput } from "../parts/time";
import { earlierFields } from "../record/earlier";
import { toldTime } from "../record/values";
import { me } from "../shell/session";
import { asProblem, tryOut } from "../shell/told";

interface Judged {
  lot: string;
  open?: unknown[];
  hold?: string;
  customers?: { customer: string; pieces: number; mg: number }[];
}

/* What follows from the strike, and from what is told again in its place, is judged in entries of its own. */
function listOf(answer: Answer, name: string): Judged[] {
  const own = answer[name];
  const after = answer["consequences"];
  const rows = Array.isArray(own) ? (own as Judged[]) : [];
  return Array.isArray(after) ? [...rows, ...(after as Answer[]).flatMap((a) => listOf(a, name))] : rows;
}

function Three({ answer }: { answer: Answer }) {
  const lists = [
    { name: "recall", tone: "stopped" as const },
    { name: "held", tone: "due" as const },
    { name: "unchanged", tone: "done" as const },
  ];
  const struck = Array.isArray(answer["struck"]) ? (answer["struck"] as { entry: number; kind: string }[]) : [];
  return (
    <div class="three">
      {struck.length > 0 ? <p>{t("ui.correct.strikes")} {struck.map((s) => `${word("kind", s.kind)} ${s.entry}`).join(", ")}</p> : null}
      {lists.map(({ name, tone }) => {
        const rows = listOf(answer, name);
        return (
          <section key={name} class={`three-list three-${name}`}>
            <h3><Mark tone={tone} /> {tn(`ui.correct.${name}`, rows.length)}</h3>
            <ul class="plain-list">
              {rows.map((r) => (
                <li key={r.lot}>
                  <a href={lotPath(r.lot)}>{r.lot}</a>
                  {(r.customers ?? []).map((c) => <span key={c.customer}> · {c.customer} {tn("ui.pieces", c.pieces)}</span>)}
                </li>
              ))}
            </ul>
          </section>
        );
      })}
    </div>
  );
}

/* The told fields of the entry, each of which may be put right. Lists and objects stay as they are. */
function replaced(entry: Entry, changes: Record<string, string>): Command {
  const out: Command = { ...entry.told, kind: entry.kind };
  delete out["mode"];
  for (const [name, text] of Object.entries(changes)) {
    if (text === "") delete out[name];
    else out[name] = typeof entry.told[name] === "number" ? Number(text) : text;
  }
  return out;
}

/* Who could agree to a correction that changes a release: somebody else of quality or the management. */
function Second({ value, set, wrong }: { value: string; set: (text: string) => void; wrong: string | null }) {
  const read = useRead<{ people: Person[] }>("/people");
  const others = (read.data?.people ?? []).filter((p) => p.active && p.number !== me.value?.person && ["quality", "manager"].includes(p.role));
  return (
    <label class="field"><span class="field-label">{t("ui.correct.second")}</span>
      <select value={value} aria-invalid={wrong !== null} onChange={(e) => set(e.currentTarget.value)}>
        <option value="">{t("ui.record.choose")}</option>
        {others.map((p) => <option key={p.number} value={p.number}>{`${p.number} – ${p.name ?? t("ui.people.nameless")} · ${word("role", p.role)}`}</option>)}
      </select>
      {wrong ? <span class="field-wrong" role="alert">{wrong}</span> : null}
    </label>
  );
}

/* One told field: its words where it has a choice of them, a time by the house's clock, else the text. */
function Told({ field, value, wrong, set }: { field: Field | null; value: string; wrong: boolean; set: (text: string) => void }) {
  const choices = field?.choices;
  if (field?.kind === "time") {
    const ms = instantOf(value, zone.value);
    return <TimeInput text={ms === null ? value : localText(ms, zone.value)} wrong={wrong ? "" : null} set={(text) => set(toldTime(text))} />;
  }
  if (!choices) return <input value={value} aria-invalid={wrong} onInput={(e) => set(e.currentTarget.value)} />;
  return (
    <select value={value} aria-invalid={wrong} onChange={(e) => set(e.currentTarget.value)}>
      {choices.map((c) => <option key={c.value} value={c.value}>{c.label}</option>)}
    </select>
  );
}

export function CorrectDialog({ entry, sentence, close }: { entry: number; sentence: string; close: () => void }) {
  const read = useRead<Entry>(`/daybook/${entry}`);
  const [reason, setReason] = useState("");
  const [also, setAlso] = useState("");
  const [second, setSecond] = useState("");
  const [changes, setChanges] = useState<Record<string, string>>({});
  const [isAgain, setAgain] = useState(true);
  const [problem, setProblem] = useState<Problem | null>(null);
  const [seen, setSeen] = useState<{ command: Command; answer: Answer } | null>(null);
  const forms = useRead<{ forms: Form[] }>("/forms");
  const told = read.data;
  const form = forms.data?.forms.find((f) => f.kind === told?.kind);
  const isSecond = problem?.field === "second";
  const simple = Object.entries(told?.told ?? {}).filter(([k, v]) => k !== "mode" && (typeof v === "string" || typeof v === "number"));

  if (seen) {
    return (
      <SignDialog title={t("ui.correct.title", { n: entry })} verb={t("ui.correct.do")} close={close} done={() => {}} commands={() => [seen.command]}>
        <p class="read-back">{t("ui.correct.read", { sentence })}</p>
        <Three answer={seen.answer} />
      </SignDialog>
    );
  }
  const look = async (event: Event) => {
    event.preventDefault();
    if (!told) return;
    const command: Command = { kind: "strike", entry, reason };
    const others = also.split(/[\s,]+/).filter((x) => /^\d+$/.test(x)).map(Number);
    if (others.length > 0) command["also"] = others;
    if (second !== "") command["second"] = Number(second);
    if (isAgain) command["replace"] = replaced(told, changes);
    try {
      setSeen({ command, answer: (await tryOut(command, me.value?.person ?? 0)).answer });
      setProblem(null);
    } catch (error) {
      setProblem(asProblem(error));
    }
  };
  return (
    <Dialog title={t("ui.correct.title", { n: entry })} close={close}>
      <form class="form" onSubmit={(e) => void look(e)}>
        <p class="read-back">{sentence}</p>
        <div class="choices" role="group" aria-label={t("ui.correct.how")}>
          <button type="button" aria-pressed={isAgain} onClick={() => setAgain(true)}>{t("ui.correct.replace")}</button>
          <button type="button" aria-pressed={!isAgain} onClick={() => setAgain(false)}>{t("ui.correct.never")}</button>
        </div>
        {isAgain ? simple.map(([name, value]) => (
          <label class="field" key={name}><span class="field-label">{word("field", name)}</span>
            <Told
              field={(form ? [...form.fields, ...earlierFields(form)] : []).find((f) => f.name === name) ?? null} value={changes[name] ?? String(value)} wrong={problem?.field === name}
              set={(text) => setChanges({ ...changes, [name]: text })}
            />
            {problem?.field === name ? <span class="field-wrong" role="alert">{problem.detail}</span> : null}
          </label>
        )) : null}
        <label class="field"><span class="field-label">{t("ui.reason")}</span>
          <textarea required rows={2} value={reason} onInput={(e) => setReason(e.currentTarget.value)} />
        </label>
        <details>
          <summary>{t("ui.correct.also")}</summary>
          <label class="field"><span class="field-label">{t("ui.correct.also.which")}</span>
            <input inputMode="numeric" value={also} onInput={(e) => setAlso(e.currentTarget.value)} />
          </label>
        </details>
        {isSecond || second !== "" ? <Second value={second} set={setSecond} wrong={isSecond ? problem?.detail ?? null : null} /> : null}
        {isSecond ? null : <ProblemNote problem={problem} />}
        <div class="actions">
          <button type="submit" class="act">{t("ui.correct.look")}</button>
          <button type="button" onClick={close}>{t("ui.cancel")}</button>
        </div>
      </form>
    </Dialog>
  );
}
