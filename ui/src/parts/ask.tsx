/* Every number can be asked: a number is a button, and what it says is how it is known. */
import { type ComponentChildren, Fragment } from "preact";
import { signal } from "@preact/signals";
import { useState } from "preact/hooks";
import { useRead } from "../api/client";
import type { Asked as Answer, AskedRow, CalcRow, Constant, Entry } from "../api/types";
import { amount, dateTime, number, result, unitText } from "../base/format";
import { figuresOf } from "../base/figures";
import { entryPath } from "../base/route";
import { t, tn, word } from "../base/words";
import { Dialog } from "./dialog";
import { ProofStates } from "./proof";
import { Said } from "./said";

export interface Asked {
  title: string;
  value: string;
  how?: string; /* a sentence of the page, before the server's */
  inputs?: { name: string; value: string }[];
  calc?: string; /* row of the registry it comes from, where the server knows none */
  about?: string; /* a kind of number that the server knows, see GET /ask */
  of?: string | number | (string | number)[];
  with?: string;
  figures?: string[]; /* of a sentence, when it is asked as a whole */
  part?: boolean; /* the entries hold more than this number */
  at?: string; /* the page where what it rests on stands, where that is more than one thing */
}

export type Question = Omit<Asked, "value">;

const WAY_MOST = 1900; /* of an address; the server takes 2048 */

const open = signal<Asked | null>(null);

export function ask(asked: Asked): void {
  open.value = asked;
}

/* A number as a button. */
export function Num({ value, ask: asked, big, plain, children }: {
  value: string; ask: Question; big?: boolean; plain?: boolean; children?: ComponentChildren;
}) {
  return (
    <button
      type="button"
      class={`num${big ? " num-big" : ""}${plain ? " num-plain" : ""}`}
      aria-haspopup="dialog"
      aria-label={t("ui.ask.label", { what: asked.title, value })}
      onClick={() => ask({ ...asked, value })}
    >
      {children ?? value}
    </button>
  );
}

/* A sentence whose figures stand in its middle is asked beside it: they are listed, and what they rest on. */
export function AskSentence({ text, ask: asked }: { text: string; ask: Omit<Question, "title" | "inputs"> | null }) {
  const figures = asked ? figuresOf(text) : [];
  if (!asked || figures.length === 0) return null;
  return (
    <button
      type="button" class="num num-plain ask-in no-print" aria-haspopup="dialog" aria-label={t("ui.ask.sentence.label", { sentence: text })}
      onClick={() => ask({ ...asked, title: t("ui.ask.sentence.title"), value: "", how: text, figures })}
    >
      {t("ui.ask.sentence")}
    </button>
  );
}

/* The head of a column whose numbers are all known in one way: they are asked there. */
export function NumHead({ title, ask: asked, left }: { title: string; ask: Omit<Question, "title">; left?: boolean }) {
  return (
    <th scope="col" class={left ? undefined : "right"}>
      <button type="button" class="num num-plain" aria-haspopup="dialog" aria-label={t("ui.ask.label.column", { what: title })} onClick={() => ask({ ...asked, title, value: "" })}>
        {title}
      </button>
    </th>
  );
}

export function Constants({ list }: { list: Constant[] }) {
  if (list.length === 0) return null;
  return (
    <section>
      <h3>{t("ui.ask.constants")}</h3>
      <ul class="facts">
        {list.map((c) => (
          <li key={c.name}>
            <b class="figure">{result(c.value)} {unitText(c.unit)}</b>{" "}
            <span class="code">{c.name}</span>
            <br />
            <span class="small">{c.source}{c.locator ? `, ${c.locator}` : ""} – {word("word", c.word)}</span>
          </li>
        ))}
      </ul>
    </section>
  );
}

export function Cautions({ list }: { list: string[] }) {
  if (list.length === 0) return null;
  return (
    <section class="cautions">
      <h3>{t("ui.ask.cautions")}</h3>
      <ul>{list.map((c) => <li key={c}>{c}</li>)}</ul>
    </section>
  );
}

function Proved({ seq }: { seq: number }) {
  const read = useRead<Entry>(`/daybook/${seq}`);
  if (read.data) return <ProofStates e={read.data} />;
  return <p>{read.problem ? read.problem.detail : t("ui.loading")}</p>;
}

function howText(a: AskedRow["amounts"][number]): string {
  return [amount(a.amount, a.unit, a.decimals), a.how ? word("how", a.how) : "", a.instrument ?? ""].filter((x) => x !== "").join(", ");
}

function Behind({ row, first }: { row: AskedRow; first: boolean }) {
  const [isOpen, setOpen] = useState(first);
  return (
    <li class={row.struck_by !== null ? "struck" : ""}>
      <p><b>{row.title}.</b> <Said text={row.sentence} /></p>
      {row.amounts.length > 0 ? <p class="figure">{row.amounts.map(howText).join(" · ")}</p> : null}
      <p class="small">{t("ui.ask.by")}: {row.name ?? row.by}, {dateTime(row.at_ms)}</p>
      <p><a href={entryPath(row.entry)} onClick={closeAsked}>{t("ui.ask.entry", { n: row.entry })}</a></p>
      {isOpen ? <Proved seq={row.entry} /> : <button type="button" class="plain" onClick={() => setOpen(true)}>{t("ui.ask.proof", { n: row.entry })}</button>}
    </li>
  );
}

function Recorded({ answer, part }: { answer: Answer; part: boolean }) {
  if (answer.entries === 0) return null;
  return (
    <section>
      <h3>{tn("ui.ask.behind", answer.entries, { n: number(answer.entries) })}</h3>
      {answer.sums.length > 0 && answer.entries > 1 ? (
        <p>{t(part ? "ui.ask.sum.part" : "ui.ask.sum", { sum: answer.sums.map((s) => amount(s.amount, s.unit, s.decimals)).join(" · ") })}</p>
      ) : null}
      <ol class="plain-list asked-rows">
        {answer.rows.map((row, i) => <Behind key={row.entry} row={row} first={i === 0} />)}
      </ol>
      {answer.entries > answer.rows.length ? <p class="small">{t("ui.ask.newest", { n: number(answer.rows.length) })}</p> : null}
    </section>
  );
}

/* Addresses end somewhere: what does not fit is left out, and the answer is called a part. */
function pathOf(asked: Asked): { path: string; part: boolean } {
  const of = [asked.of ?? ""].flat().map(String);
  const to = (list: string[], also: string) => {
    const q = new URLSearchParams({ about: asked.about ?? "", of: list.join(",") });
    if (also) q.set("with", also);
    return `/ask?${q.toString()}`;
  };
  let count = Math.min(of.length, 200);
  while (count > 1 && to(of.slice(0, count), "").length > WAY_MOST) count = Math.floor(count / 2);
  const also = asked.with ?? "";
  const fits = to(of.slice(0, count), also).length <= WAY_MOST;
  return { path: to(of.slice(0, count), fits ? also : ""), part: asked.part === true || !fits || count < of.length };
}

function Known({ asked }: { asked: Asked }) {
  const { path, part } = pathOf(asked);
  const read = useRead<Answer>(path);
  const answer = read.data;
  if (!answer) return <p class="loading-part">{read.problem ? read.problem.detail : t("ui.loading")}</p>;
  return (
    <>
      <p>{answer.how}</p>
      {answer.calculation ? <Computed name={answer.calculation} /> : null}
      <Recorded answer={answer} part={part} />
    </>
  );
}

function Computed({ name }: { name: string }) {
  const read = useRead<{ rows: CalcRow[] }>("/calc");
  const row = read.data?.rows.find((r) => r.name === name);
  if (!row) return <p>{t("ui.loading")}</p>;
  return (
    <>
      <section>
        <h3>{t("ui.ask.formula")}</h3>
        <p class="formula">{row.formula}</p>
        <p>{row.purpose} <a href={`/work-it-out/${name}`} onClick={closeAsked}>{t("ui.ask.calc")}</a></p>
      </section>
      <Constants list={row.constants} />
      <Cautions list={row.cautions} />
    </>
  );
}

function closeAsked(): void {
  open.value = null;
}

export function AskDialog() {
  const asked = open.value;
  if (!asked) return null;
  return (
    <Dialog title={asked.title} close={closeAsked}>
      {asked.value ? <p class="asked-value figure">{asked.value}</p> : null}
      {asked.how ? <p>{asked.how}</p> : null}
      {asked.figures ? <ul class="facts">{asked.figures.map((f) => <li key={f}><b class="figure">{f}</b></li>)}</ul> : null}
      {asked.inputs && asked.inputs.length > 0 ? (
        <section>
          <h3>{t("ui.ask.inputs")}</h3>
          <dl class="pairs">
            {asked.inputs.map((i) => <Fragment key={i.name}><dt>{i.name}</dt><dd class="figure">{i.value}</dd></Fragment>)}
          </dl>
        </section>
      ) : null}
      {asked.at ? <p><a href={asked.at} onClick={closeAsked}>{t("ui.ask.stands")}</a></p> : null}
      {asked.calc ? <Computed name={asked.calc} /> : null}
      {asked.about ? <Known key={`${asked.about} ${String(asked.of)} ${asked.with ?? ""}`} asked={asked} /> : null}
    </Dialog>
  );
}
