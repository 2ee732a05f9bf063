/* How a source's files are read: which of its columns is what, and the rest as the record keeps it. */
import { useState } from "preact/hooks";
import type { Mapping, Problem } from "../api/types";
import { uuid } from "../base/uuid";
import { t } from "../base/words";
import { Dialog } from "../parts/dialog";
import { ProblemNote } from "../parts/read";
import { may, me } from "../shell/session";
import { tell } from "../shell/told";

const EXAMPLE = '{"delimiter": ";", "dates": "day-first", "decimal": ","}';

export const FILE_KINDS = ["orders", "seed", "results", "logger", "checkweigher"];

interface Pair {
  field: string;
  header: string;
}

/* The columns as pairs, everything else as text. */
function taken(mapping: Mapping | null): { pairs: Pair[]; rest: string } {
  const { columns, ...rest } = (mapping?.data ?? {}) as Record<string, unknown>;
  const pairs = Object.entries((columns ?? {}) as Record<string, string>).map(([field, header]) => ({ field, header }));
  return { pairs: pairs.length > 0 ? pairs : [{ field: "", header: "" }], rest: JSON.stringify(rest, null, 2) };
}

function readRest(text: string): Record<string, unknown> | null {
  try {
    const read: unknown = JSON.parse(text.trim() === "" ? "{}" : text);
    return read !== null && typeof read === "object" && !Array.isArray(read) ? (read as Record<string, unknown>) : null;
  } catch {
    return null;
  }
}

export function MappingDialog({ mapping, close }: { mapping: Mapping | null; close: () => void }) {
  const first = taken(mapping);
  const [source, setSource] = useState(mapping?.source ?? "");
  const [kind, setKind] = useState(mapping?.for ?? "orders");
  const [pairs, setPairs] = useState(first.pairs);
  const [rest, setRest] = useState(first.rest);
  const [problem, setProblem] = useState<Problem | null>(null);
  const [isBusy, setBusy] = useState(false);
  const [id] = useState(uuid);
  const isMine = may("record:mapping");
  const read = readRest(rest);
  const put = (i: number, change: Partial<Pair>) => setPairs(pairs.map((p, at) => (at === i ? { ...p, ...change } : p)));
  const submit = async (event: Event) => {
    event.preventDefault();
    if (!read) return;
    setBusy(true);
    const columns = Object.fromEntries(pairs.filter((p) => p.field.trim() !== "").map((p) => [p.field.trim(), p.header]));
    const sent = await tell({ kind: "mapping", source, for: kind, data: { columns, ...read } }, me.value?.person ?? 0, t("ui.mappings.said", { source }), id);
    setBusy(false);
    if (sent.kind === "refused") setProblem(sent.problem);
    else close();
  };
  return (
    <Dialog title={mapping ? t("ui.mappings.of", { source: mapping.source }) : t("ui.mappings.new")} close={close} wide>
      <form class="form" onSubmit={(e) => void submit(e)}>
        <div class="two-times">
          <label class="field"><span class="field-label">{t("ui.files.source")}</span><input value={source} required readOnly={mapping !== null || !isMine} onInput={(e) => setSource(e.currentTarget.value)} /></label>
          <label class="field"><span class="field-label">{t("ui.files.kind")}</span>
            <select value={kind} disabled={mapping !== null || !isMine} onChange={(e) => setKind(e.currentTarget.value)}>{FILE_KINDS.map((k) => <option key={k} value={k}>{t(`ui.files.kind.${k}`)}</option>)}</select>
          </label>
        </div>
        <fieldset class="field"><legend class="field-label">{t("ui.mappings.pairs")}</legend>
          <div class="legs">
            {pairs.map((p, i) => (
              <div class="leg" key={i}>
                <label><span class="small">{t("ui.mappings.field")}</span><input value={p.field} readOnly={!isMine} autocomplete="off" onInput={(e) => put(i, { field: e.currentTarget.value })} /></label>
                <label><span class="small">{t("ui.mappings.header")}</span><input value={p.header} readOnly={!isMine} autocomplete="off" onInput={(e) => put(i, { header: e.currentTarget.value })} /></label>
                {isMine && pairs.length > 1 ? <button type="button" class="plain" onClick={() => setPairs(pairs.filter((_, at) => at !== i))}>{t("ui.record.less")}</button> : null}
              </div>
            ))}
            {isMine ? <button type="button" onClick={() => setPairs([...pairs, { field: "", header: "" }])}>{t("ui.record.more")}</button> : null}
          </div>
          <span class="small">{t(`ui.mappings.fields.${kind}`)}</span>
        </fieldset>
        <label class="field"><span class="field-label">{t("ui.mappings.rest")}</span>
          <textarea class="code" rows={6} value={rest} readOnly={!isMine} spellcheck={false} aria-invalid={read === null} onInput={(e) => setRest(e.currentTarget.value)} />
          {read === null ? <span class="field-wrong" role="alert">{t("ui.mappings.json")}</span> : <span class="small">{t("ui.mappings.rest.help", { example: EXAMPLE })}</span>}
        </label>
        <ProblemNote problem={problem} />
        {isMine ? (
          <div class="actions"><button type="submit" class="act" disabled={isBusy || read === null}>{t("ui.mappings.do")}</button><button type="button" onClick={close}>{t("ui.cancel")}</button></div>
        ) : null}
      </form>
    </Dialog>
  );
}
