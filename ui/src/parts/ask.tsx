/* Every number can be asked: a number is a button, and what it says is how it is known. */
import { signal } from "@preact/signals";
import { useRead } from "../api/client";
import type { CalcRow, Constant, Entry } from "../api/types";
import { dateTime, result, unitText } from "../base/format";
import { entryPath } from "../base/route";
import { t, word } from "../base/words";
import { Dialog } from "./dialog";

export interface Asked {
  title: string;
  value: string;
  how?: string; /* a sentence on how it is known */
  inputs?: { name: string; value: string }[];
  calc?: string; /* row of the registry it comes from */
  entry?: number;
  day?: string; /* entries of this day, where it sums several */
  lot?: string;
}

const open = signal<Asked | null>(null);

export function Num({ value, ask, big, plain }: { value: string; ask: Asked | Omit<Asked, "value">; big?: boolean; plain?: boolean }) {
  return (
    <button
      type="button"
      class={`num${big ? " num-big" : ""}${plain ? " num-plain" : ""}`}
      aria-haspopup="dialog"
      aria-label={t("ui.ask.label", { what: ask.title, value })}
      onClick={() => {
        open.value = { value, ...ask };
      }}
    >
      {value}
    </button>
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

function Recorded({ seq }: { seq: number }) {
  const read = useRead<Entry>(`/daybook/${seq}`);
  const e = read.data;
  if (!e) return <p>{read.problem ? read.problem.detail : t("ui.loading")}</p>;
  return (
    <section>
      <h3>{t("ui.ask.recorded")}</h3>
      <p>{e.sentence}</p>
      <dl class="pairs">
        <dt>{t("ui.ask.by")}</dt><dd>{e.name ?? e.by}</dd>
        <dt>{t("ui.ask.at")}</dt><dd>{dateTime(e.at_ms)}</dd>
        {e.device ? <><dt>{t("ui.ask.device")}</dt><dd>{e.device}</dd></> : null}
      </dl>
      <p><a href={entryPath(seq)} onClick={closeAsked}>{t("ui.ask.entry", { n: seq })}</a></p>
    </section>
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
      <p class="asked-value figure">{asked.value}</p>
      {asked.how ? <p>{asked.how}</p> : null}
      {asked.inputs && asked.inputs.length > 0 ? (
        <section>
          <h3>{t("ui.ask.inputs")}</h3>
          <dl class="pairs">
            {asked.inputs.map((i) => <><dt>{i.name}</dt><dd class="figure">{i.value}</dd></>)}
          </dl>
        </section>
      ) : null}
      {asked.calc ? <Computed name={asked.calc} /> : null}
      {asked.entry !== undefined ? <Recorded seq={asked.entry} /> : null}
      {asked.entry === undefined && (asked.lot || asked.day) ? (
        <p>
          <a href={`/daybook?${asked.lot ? `lot=${encodeURIComponent(asked.lot)}` : `day=${asked.day}`}`} onClick={closeAsked}>
            {t("ui.ask.entries")}
          </a>
        </p>
      ) : null}
    </Dialog>
  );
}
