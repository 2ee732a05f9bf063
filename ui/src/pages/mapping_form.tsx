/* How a file is written and what its readings are: a field for each member of a mapping's data but its columns. */
import { t } from "../base/words";

export type Data = Record<string, unknown>;

export interface Pair {
  name: string;
  text: string;
}

/* One word of a column and what it means here. */
export interface Code {
  field: string;
  theirs: string;
  ours: string;
}

const SERIES = ["logger", "checkweigher"];
const UNITS = ["Cel", "%", "[ppm]", "g", "kg", "L/min", "bar", "mS/cm", "[pH]", "NTU"];
const MASSES = ["kg", "g", "mg", "t"];
const BOOK = ["date", "column", "row", "of"];

export function pairsOf(value: unknown): Pair[] {
  return Object.entries((value ?? {}) as Record<string, string>).map(([name, text]) => ({ name, text }));
}

export function pairsJson(pairs: Pair[]): Record<string, string> {
  return Object.fromEntries(pairs.filter((p) => p.name.trim() !== "").map((p) => [p.name.trim(), p.text]));
}

export function codesOf(value: unknown): Code[] {
  return Object.entries((value ?? {}) as Record<string, Record<string, string>>)
    .flatMap(([field, words]) => Object.entries(words).map(([theirs, ours]) => ({ field, theirs, ours })));
}

export function codesJson(codes: Code[]): Record<string, Record<string, string>> {
  const out: Record<string, Record<string, string>> = {};
  for (const c of codes) {
    const field = c.field.trim();
    if (field !== "") out[field] = { ...out[field], [c.theirs]: c.ours };
  }
  return out;
}

/* A list of rows of texts, each with its heads. */
export function Rows<T extends object>({ title, help, heads, rows, fresh, set, isMine, least = 0 }: {
  title: string; help?: string; heads: [keyof T & string, string][]; rows: T[]; fresh: T; set: (rows: T[]) => void; isMine: boolean; least?: number;
}) {
  const put = (i: number, key: keyof T & string, text: string) => set(rows.map((r, at) => (at === i ? { ...r, [key]: text } : r)));
  return (
    <fieldset class="field"><legend class="field-label">{title}</legend>
      <div class="legs">
        {rows.map((row, i) => (
          <div class="leg" key={i}>
            {heads.map(([key, head]) => (
              <label key={key}><span class="small">{head}</span><input value={String(row[key])} readOnly={!isMine} autocomplete="off" onInput={(e) => put(i, key, e.currentTarget.value)} /></label>
            ))}
            {isMine && rows.length > least ? <button type="button" class="plain" onClick={() => set(rows.filter((_, at) => at !== i))}>{t("ui.record.less")}</button> : null}
          </div>
        ))}
        {isMine ? <button type="button" onClick={() => set([...rows, fresh])}>{t("ui.record.more")}</button> : null}
      </div>
      {help ? <span class="small">{help}</span> : null}
    </fieldset>
  );
}

interface Known {
  data: Data;
  set: (data: Data) => void;
  isMine: boolean;
}

/* An empty text takes the member out. */
function changed(data: Data, key: string, value: unknown): Data {
  const { [key]: _, ...rest } = data;
  return value === "" || value === undefined ? rest : { ...rest, [key]: value };
}

function Text({ of, name, help }: { of: Known; name: string; help?: string }) {
  const value = of.data[name];
  return (
    <label class="field"><span class="field-label">{t(`ui.mappings.${name}`)}</span>
      <input value={value === undefined ? "" : String(value)} readOnly={!of.isMine} autocomplete="off" onInput={(e) => of.set(changed(of.data, name, e.currentTarget.value))} />
      {help ? <span class="small">{help}</span> : null}
    </label>
  );
}

/* first: what the record takes where nothing is said. */
function Pick({ of, name, choices, first }: { of: Known; name: string; choices: [string, string][]; first: string }) {
  return (
    <label class="field"><span class="field-label">{t(`ui.mappings.${name}`)}</span>
      <select value={String(of.data[name] ?? "")} disabled={!of.isMine} onChange={(e) => of.set(changed(of.data, name, e.currentTarget.value))}>
        <option value="">{first}</option>
        {choices.map(([value, text]) => <option key={value} value={value}>{text}</option>)}
      </select>
    </label>
  );
}

function same(values: string[]): [string, string][] {
  return values.map((v) => [v, v]);
}

function Written({ of }: { of: Known }) {
  const missing = of.data["missing"] as string[] | undefined;
  return (
    <fieldset class="field"><legend class="field-label">{t("ui.mappings.written")}</legend>
      <div class="two-times">
        <Pick of={of} name="delimiter" first={t("ui.mappings.delimiter.auto")} choices={[[";", ";"], [",", ","], ["\t", t("ui.mappings.tab")]]} />
        <Pick of={of} name="decimal" first={t("ui.mappings.usual", { what: "." })} choices={[[",", ","]]} />
        <Pick of={of} name="thousands" first={t("ui.mappings.none")} choices={[[".", "."], [",", ","], ["'", "'"], [" ", t("ui.mappings.blank")]]} />
        <Pick of={of} name="dates" first={t("ui.mappings.usual", { what: "2026-03-01" })} choices={[["day-first", "01.03.2026"]]} />
        <Pick of={of} name="encoding" first={t("ui.mappings.encoding.auto")} choices={same(["utf-8", "windows-1252"])} />
        <Text of={of} name="zone" help={t("ui.mappings.zone.help")} />
        <Text of={of} name="trailer" help={t("ui.mappings.trailer.help")} />
        <label class="field"><span class="field-label">{t("ui.mappings.missing")}</span>
          <input
            value={missing ? missing.join(" | ") : ""} readOnly={!of.isMine} autocomplete="off"
            onChange={(e) => of.set(changed(of.data, "missing", e.currentTarget.value === "" ? undefined : e.currentTarget.value.split("|").map((x) => x.trim())))}
          />
          <span class="small">{t("ui.mappings.missing.help")}</span>
        </label>
      </div>
      <label class="check">
        <input type="checkbox" checked={of.data["end"] === "line"} disabled={!of.isMine} onChange={(e) => of.set(changed(of.data, "end", e.currentTarget.checked ? "line" : ""))} />
        <span>{t("ui.mappings.end")}</span>
      </label>
    </fieldset>
  );
}

/* From when to when the file is all there is. */
function Book({ of }: { of: Known }) {
  const book = of.data["whole_book"] as Record<string, Record<string, string>> | undefined;
  const put = (key: string, day: Record<string, string>) => of.set(changed(of.data, "whole_book", { ...book, [key]: day }));
  const end = (key: "from" | "to") => {
    const [how, what] = Object.entries(book?.[key] ?? { of: "rows" })[0] ?? ["of", "rows"];
    return (
      <div class="field" key={key}>
        <label class="field"><span class="field-label">{t(`ui.mappings.book.${key}`)}</span>
          <select value={how} disabled={!of.isMine} onChange={(e) => put(key, { [e.currentTarget.value]: e.currentTarget.value === "of" ? "rows" : "" })}>
            {BOOK.map((b) => <option key={b} value={b}>{t(`ui.mappings.book.${b}`)}</option>)}
          </select>
        </label>
        {how === "of" ? null : <input type={how === "date" ? "date" : "text"} aria-label={t(`ui.mappings.book.${how}`)} value={what} required readOnly={!of.isMine} onInput={(e) => put(key, { [how]: e.currentTarget.value })} />}
      </div>
    );
  };
  return (
    <fieldset class="field"><legend class="field-label">{t("ui.mappings.book")}</legend>
      <label class="check">
        <input type="checkbox" checked={book !== undefined} disabled={!of.isMine} onChange={(e) => of.set(changed(of.data, "whole_book", e.currentTarget.checked ? { from: { of: "rows" }, to: { of: "rows" } } : undefined))} />
        <span>{t("ui.mappings.book.whole")}</span>
      </label>
      {book ? <div class="two-times">{end("from")}{end("to")}</div> : null}
    </fieldset>
  );
}

function Series({ of, kind }: { of: Known; kind: string }) {
  const range = (of.data["range"] ?? {}) as Data;
  const inRange: Known = { data: range, isMine: of.isMine, set: (r) => of.set(changed(of.data, "range", Object.keys(r).length > 0 ? r : undefined)) };
  return (
    <fieldset class="field"><legend class="field-label">{t("ui.mappings.readings")}</legend>
      <div class="two-times">
        <Text of={of} name="series" help={t("ui.mappings.series.help")} />
        <Pick of={of} name="unit" first="–" choices={same(UNITS)} />
        <label class="field"><span class="field-label">{t("ui.mappings.scale")}</span>
          <select value={String(of.data["scale"] ?? "")} disabled={!of.isMine} onChange={(e) => of.set(changed(of.data, "scale", e.currentTarget.value === "" ? undefined : Number(e.currentTarget.value)))}>
            <option value="">{t("ui.mappings.usual", { what: kind === "logger" ? 3 : 1 })}</option>
            {[0, 1, 2, 3, 4, 5, 6].map((n) => <option key={n} value={n}>{n}</option>)}
          </select>
        </label>
        <Text of={of} name="interval_s" help={t("ui.mappings.interval.help")} />
        <Text of={of} name="jump" help={t("ui.mappings.jump.help")} />
        <Text of={inRange} name="low" />
        <Text of={inRange} name="high" help={t("ui.mappings.range.help")} />
        <Text of={of} name="device" help={t("ui.mappings.device.help")} />
      </div>
    </fieldset>
  );
}

export function Rest({ kind, data, set, isMine }: { kind: string } & Known) {
  const of = { data, set, isMine };
  return (
    <>
      {SERIES.includes(kind) ? <Series of={of} kind={kind} /> : null}
      {kind === "seed" ? <Pick of={of} name="unit" first={t("ui.mappings.usual", { what: "kg" })} choices={same(MASSES.slice(1))} /> : null}
      {kind === "orders" ? <Book of={of} /> : null}
      <Written of={of} />
    </>
  );
}
