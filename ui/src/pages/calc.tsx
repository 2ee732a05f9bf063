/* Work it out: a form from the calculation's row, the answer with formula, constants, sources, cautions. */
import { useEffect, useMemo, useState } from "preact/hooks";
import { send, useRead } from "../api/client";
import type { CalcAnswer, CalcField, CalcRow, Problem, Sweep } from "../api/types";
import { result, unitText } from "../base/format";
import { t, word } from "../base/words";
import { Cautions, Constants, Num, NumHead } from "../parts/ask";
import { Chart, type ChartData } from "../parts/chart";
import { ProblemNote, Shown } from "../parts/read";
import { asProblem } from "../shell/told";

function asText(value: unknown): string {
  if (value === undefined || value === null) return "";
  if (Array.isArray(value)) {
    return Array.isArray(value[0]) ? (value as unknown[][]).map((r) => r.join(" ")).join("\n") : value.join(" ");
  }
  return String(value);
}

/* Numbers apart by blanks, semicolons or tabs; a row of a table a line. null: can't be read. */
export function parseField(field: CalcField, text: string): unknown {
  const numbers = (line: string) => line.trim().split(/[\s;]+/).map((x) => Number(x.replace(",", ".")));
  if (field.type === "text") return text;
  if (field.type === "table") {
    const rows = text.split("\n").filter((l) => l.trim() !== "").map(numbers);
    return rows.flat().some(Number.isNaN) ? null : rows;
  }
  const read = numbers(text);
  if (read.some(Number.isNaN)) return null;
  return field.type === "list" ? read : read.length === 1 ? read[0] : null;
}

function range(f: CalcField): string {
  if (f.low === undefined || f.high === undefined) return "";
  return t("ui.calc.range", { low: result(f.low), high: result(f.high), unit: unitText(f.unit) });
}

function Input({ f, text, set, problem }: { f: CalcField; text: string; set: (v: string) => void; problem: string | null }) {
  const id = `calc-${f.name}`;
  const shared = { id, "aria-invalid": problem !== null, "aria-describedby": `${id}-help`, required: f.needed };
  return (
    <div class="field">
      <label class="field-label" for={id}>{named(f.what, f.unit)}{f.needed ? "" : <span class="small"> {t("ui.calc.may")}</span>}</label>
      {f.choices ? (
        <select {...shared} value={text} onChange={(e) => set(e.currentTarget.value)}>
          {f.needed ? null : <option value="">–</option>}
          {f.choices.map((c, i) => <option key={c} value={c}>{f.choice_words?.[i] ?? c}</option>)}
        </select>
      ) : f.type === "table" ? (
        <textarea {...shared} rows={8} class="code" value={text} onInput={(e) => set(e.currentTarget.value)} />
      ) : (
        <input {...shared} class="figure" inputMode={f.type === "text" ? "text" : "decimal"} value={text} onInput={(e) => set(e.currentTarget.value)} />
      )}
      <span class="small" id={`${id}-help`}><span class="code">{f.name}</span> {range(f)}{problem ? <b class="field-wrong"> {problem}</b> : null}</span>
    </div>
  );
}

/* A table whose first column rises is a curve. */
function curveOf(row: CalcRow, inputs: Record<string, unknown>): ChartData | null {
  const field = row.in.find((f) => f.type === "table");
  const points = field ? inputs[field.name] : undefined;
  if (!Array.isArray(points) || points.length < 2 || !Array.isArray(points[0])) return null;
  const rows = points as number[][];
  const width = (rows[0] as number[]).length;
  const tones = ["ink", "blue", "orange", "purple", "green"] as const;
  const lines = [];
  for (let c = 1; c < width; c++) {
    lines.push({ label: t("ui.calc.column", { n: c }), values: rows.map((r) => r[c] ?? null), look: "solid" as const, tone: tones[(c - 1) % 5] ?? "ink" });
  }
  const limit = inputs["hold_c"] ?? inputs["reference_c"];
  return {
    x: rows.map((r) => r[0] ?? 0), lines, isTime: false,
    ...(typeof limit === "number" ? { limits: [{ label: `${result(limit)} °C`, value: limit }] } : {}),
  };
}

function Curve({ row, inputs }: { row: CalcRow; inputs: Record<string, unknown> }) {
  const curve = useMemo(() => curveOf(row, inputs), [row, inputs]);
  if (!curve) return null;
  return (
    <Chart
      data={curve} height={240} label={t("ui.calc.curve")}
      table={<table class="ledger"><thead><tr><th scope="col">{t("ui.calc.column", { n: 0 })}</th>{curve.lines.map((l) => <NumHead key={l.label} title={l.label} ask={{ how: t("ui.calc.given"), calc: row.name }} />)}</tr></thead><tbody>{curve.x.map((x, i) => <tr key={i}><th scope="row">{result(x)}</th>{curve.lines.map((l) => <td key={l.label} class="right figure">{result(l.values[i])}</td>)}</tr>)}</tbody></table>}
    />
  );
}

interface Ends {
  low: string;
  high: string;
}

/* From where to where the input goes: as it was drawn, until somebody says otherwise. */
function EndsOf({ field, ends, set, usual }: { field: CalcField; ends: Ends; set: (e: Ends) => void; usual: (() => void) | null }) {
  const end = (key: keyof Ends, label: string) => (
    <label class="filter"><span>{label}</span>
      <input class="figure short" inputMode="decimal" value={ends[key]} aria-invalid={typeof parseField(field, ends[key]) !== "number"} onChange={(e) => set({ ...ends, [key]: e.currentTarget.value })} />
    </label>
  );
  return <>{end("low", t("ui.calc.over.from"))}{end("high", t("ui.calc.over.to"))}{usual ? <button type="button" class="plain" onClick={usual}>{t("ui.calc.over.usual")}</button> : null}</>;
}

/* As it is typed: no thousands apart. */
function plain(x: number | undefined): string {
  return x === undefined ? "" : String(Number(x.toPrecision(6)));
}

/* The range that was asked for; undefined: the usual one. null: it can't be read. */
function rangeOf(field: CalcField | undefined, ends: Ends | undefined): { low: number; high: number } | undefined | null {
  if (!field || !ends) return undefined;
  const low = parseField({ ...field, type: "number" }, ends.low);
  const high = parseField({ ...field, type: "number" }, ends.high);
  return typeof low === "number" && typeof high === "number" ? { low, high } : null;
}

/* What the results do when one of the inputs changes; the server works the whole curve out at once. */
function Over({ row, answer }: { row: CalcRow; answer: CalcAnswer }) {
  const fields = row.in.filter((f) => (f.type === "number" || f.type === "integer") && typeof answer.inputs[f.name] === "number");
  const [over, setOver] = useState(fields[0]?.name ?? "");
  const [out, setOut] = useState("");
  const [asked, setAsked] = useState<Record<string, Ends>>({}); /* by input */
  const [sweep, setSweep] = useState<Sweep | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const field = fields.find((f) => f.name === over);
  const ends = asked[over];
  useEffect(() => {
    let isOn = true;
    const range = rangeOf(field, ends);
    if (over && range !== null) {
      send<Sweep>("POST", `/calc/${row.name}/sweep`, { inputs: answer.inputs, over, ...range }).then(
        (s) => { if (isOn) { setSweep(s); setProblem(null); } },
        (error: unknown) => { if (isOn) { setSweep(null); setProblem(asProblem(error)); } });
    }
    return () => {
      isOn = false;
    };
  }, [row.name, answer, over, ends]);
  const drawn: Ends = { low: plain(sweep?.x[0]), high: plain(sweep?.x[sweep.x.length - 1]) };
  const curve = sweep?.curves.find((c) => c.name === out) ?? sweep?.curves[0];
  const data = useMemo<ChartData | null>(() => (sweep && curve ? {
    x: sweep.x, isTime: false, lines: [{ label: named(curve.what, curve.unit), values: curve.y, look: "solid", tone: "blue" }],
    ...(sweep.at === null ? {} : { now: sweep.at, nowText: t("ui.calc.over.at") }),
  } : null), [sweep, curve]);
  if (fields.length === 0) return null;
  return (
    <section class="calc-over">
      <h3>{t("ui.calc.over")}</h3>
      <div class="filters no-print">
        <label class="filter"><span>{t("ui.calc.over.input")}</span>
          <select value={over} onChange={(e) => setOver(e.currentTarget.value)}>{fields.map((f) => <option key={f.name} value={f.name}>{named(f.what, "1")}</option>)}</select>
        </label>
        <label class="filter"><span>{t("ui.calc.over.output")}</span>
          <select value={curve?.name ?? ""} onChange={(e) => setOut(e.currentTarget.value)}>{(sweep?.curves ?? []).map((c) => <option key={c.name} value={c.name}>{named(c.what, "1")}</option>)}</select>
        </label>
        {field ? (
          <EndsOf
            field={field} ends={ends ?? drawn} set={(e) => setAsked({ ...asked, [over]: e })}
            usual={ends ? () => setAsked(Object.fromEntries(Object.entries(asked).filter(([name]) => name !== over))) : null}
          />
        ) : null}
      </div>
      <ProblemNote problem={problem} />
      {sweep && curve && data ? (
        <>
          <p class="small">{t("ui.calc.over.axis", { what: named(sweep.what, sweep.unit) })}</p>
          <Chart
            data={data} height={240} label={t("ui.calc.over.label", { out: named(curve.what, "1"), over: named(sweep.what, "1") })}
            table={(
              <table class="ledger">
                <thead><tr><th scope="col">{named(sweep.what, sweep.unit)}</th><NumHead title={named(curve.what, curve.unit)} ask={{ calc: row.name, inputs: inputsOf(row, answer) }} /></tr></thead>
                <tbody>{sweep.x.map((x, i) => <tr key={x}><th scope="row">{result(x)}</th><td class="right figure">{result(curve.y[i])}</td></tr>)}</tbody>
              </table>
            )}
          />
        </>
      ) : null}
    </section>
  );
}

/* A meaning as a label: its full stop stands before no unit. */
function named(what: string, unit: string): string {
  const u = unitText(unit);
  const label = what.replace(/(?<!\.)\.$/, "");
  return u ? `${label} (${u})` : label;
}

/* A choice by its word. */
function chosen(f: CalcField, value: unknown): string {
  const at = f.choices?.indexOf(String(value)) ?? -1;
  return f.choice_words?.[at] ?? result(value);
}

function inputsOf(row: CalcRow, answer: CalcAnswer): { name: string; value: string }[] {
  return row.in.filter((f) => f.name in answer.inputs && f.type !== "table").map((f) => ({
    name: named(f.what, "1"), value: `${chosen(f, answer.inputs[f.name])} ${unitText(f.unit)}`.trim(),
  }));
}

function AnswerView({ row, answer }: { row: CalcRow; answer: CalcAnswer }) {
  return (
    <section class="answer" aria-live="polite">
      <h2>{t("ui.calc.answer")}</h2>
      <dl class="figures">
        {row.out.filter((o) => o.name in answer.results).map((o) => (
          <div key={o.name}>
            <dt>{named(o.what, "1")}</dt>
            <dd>
              <Num value={`${answer.words[o.name] ?? result(answer.results[o.name])} ${unitText(o.unit)}`.trim()} ask={{ title: named(o.what, "1"), calc: row.name, inputs: inputsOf(row, answer) }} />
              {o.rounding ? <span class="small rounding"> {o.rounding}</span> : null}
            </dd>
          </div>
        ))}
      </dl>
      <Cautions list={answer.cautions} />
      <Curve row={row} inputs={answer.inputs} />
      <Over key={row.name} row={row} answer={answer} />
      <h3>{t("ui.ask.formula")}</h3>
      <p class="formula">{answer.formula}</p>
      <Constants list={answer.constants} />
    </section>
  );
}

function Work({ row }: { row: CalcRow }) {
  const first = () => Object.fromEntries(row.in.map((f) => [f.name, asText(f.default)]));
  const [texts, setTexts] = useState<Record<string, string>>(first);
  const [answer, setAnswer] = useState<CalcAnswer | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const [bad, setBad] = useState<string | null>(null);
  const submit = async (event: Event) => {
    event.preventDefault();
    const inputs: Record<string, unknown> = {};
    for (const f of row.in) {
      const text = texts[f.name] ?? "";
      if (text.trim() === "") continue;
      const value = parseField(f, text);
      if (value === null) {
        setBad(f.name);
        return;
      }
      inputs[f.name] = value;
    }
    setBad(null);
    try {
      setAnswer(await send<CalcAnswer>("POST", `/calc/${row.name}`, inputs));
      setProblem(null);
    } catch (error) {
      setProblem(asProblem(error));
      setAnswer(null);
    }
  };
  const wrong = (f: CalcField) => bad === f.name ? t("ui.calc.unread") : problem?.field === f.name ? problem.detail : null;
  const shown = row.in.filter((f) => f.needed || f.default !== undefined);
  const rest = row.in.filter((f) => !shown.includes(f));
  const input = (f: CalcField) => <Input key={f.name} f={f} text={texts[f.name] ?? ""} problem={wrong(f)} set={(v) => setTexts({ ...texts, [f.name]: v })} />;
  return (
    <div class="beside calc">
      <form class="form" onSubmit={(e) => void submit(e)} noValidate>
        {shown.map(input)}
        {rest.length > 0 ? <details open={rest.some((f) => wrong(f) !== null) || shown.length === 0}><summary>{t("ui.calc.more")}</summary>{rest.map(input)}</details> : null}
        {problem && !row.in.some((f) => f.name === problem.field) ? <ProblemNote problem={problem} /> : null}
        <div class="actions">
          <button type="submit" class="act">{t("ui.calc.do")}</button>
          <button type="button" onClick={() => setTexts({ ...first(), ...Object.fromEntries(Object.entries(row.example).map(([k, v]) => [k, asText(v)])) })}>{t("ui.calc.example")}</button>
        </div>
      </form>
      {answer ? <AnswerView row={row} answer={answer} /> : (
        <section>
          <h2>{t("ui.ask.formula")}</h2>
          <p class="formula">{row.formula}</p>
          <Cautions list={row.cautions} />
          {row.sources.length > 0 ? <><h3>{t("ui.calc.sources")}</h3><ul class="facts">{row.sources.map((s) => <li key={s.source}>{s.source} – {word("word", s.word)}</li>)}</ul></> : null}
        </section>
      )}
    </div>
  );
}

export function Calc({ name }: { name: string }) {
  const read = useRead<{ rows: CalcRow[] }>("/calc");
  return (
    <Shown read={read}>
      {({ rows }) => {
        const row = rows.find((r) => r.name === name);
        if (!row) return <p>{t("ui.nowhere")}</p>;
        return (
          <article>
            <header class="page-head"><div><p class="page-kicker"><a href="/work-it-out">{t("ui.place.calc")}</a></p><h1>{row.purpose}</h1></div></header>
            <Work row={row} />
          </article>
        );
      }}
    </Shown>
  );
}

export function CalcList() {
  const read = useRead<{ rows: CalcRow[] }>("/calc");
  return (
    <article>
      <header class="page-head"><h1>{t("ui.place.calc")}</h1></header>
      <Shown read={read}>
        {({ rows }) => [...new Set(rows.map((r) => r.discipline))].map((d) => (
          <section key={d}>
            <h2>{word("discipline", d)}</h2>
            <ul class="rows">{rows.filter((r) => r.discipline === d).map((r) => <li key={r.name}><a class="row-link" href={`/work-it-out/${r.name}`}>{r.purpose}</a></li>)}</ul>
          </section>
        ))}
      </Shown>
    </article>
  );
}
