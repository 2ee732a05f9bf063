/* How a source's files are read: which of its columns is what, how the file is written, and the whole as the record keeps it. */
import { useState } from "preact/hooks";
import type { Mapping, Problem } from "../api/types";
import { uuid } from "../base/uuid";
import { t } from "../base/words";
import { Dialog } from "../parts/dialog";
import { ProblemNote } from "../parts/read";
import { may, me } from "../shell/session";
import { tell } from "../shell/told";
import { type Code, codesJson, codesOf, type Data, type Pair, pairsJson, pairsOf, Rest, Rows } from "./mapping_form";

export const FILE_KINDS = ["orders", "seed", "results", "logger", "checkweigher"];

const PAIR: Pair = { name: "", text: "" };

interface Parts {
  columns: Pair[];
  fixed: Pair[];
  codes: Code[];
  preamble: Pair[];
  rest: Data;
}

function taken(mapping: Mapping | null): Parts {
  const { columns, fixed, codes, preamble, ...rest } = (mapping?.data ?? {}) as Data;
  const pairs = pairsOf(columns);
  return { columns: pairs.length > 0 ? pairs : [PAIR], fixed: pairsOf(fixed), codes: codesOf(codes), preamble: pairsOf(preamble), rest };
}

/* As the record keeps it: what is empty is left out. */
function dataOf({ columns, fixed, codes, preamble, rest }: Parts): Data {
  const more = { fixed: pairsJson(fixed), codes: codesJson(codes), preamble: pairsJson(preamble) };
  return { columns: pairsJson(columns), ...Object.fromEntries(Object.entries(more).filter(([, o]) => Object.keys(o).length > 0)), ...rest };
}

export function MappingDialog({ mapping, close }: { mapping: Mapping | null; close: () => void }) {
  const [source, setSource] = useState(mapping?.source ?? "");
  const [kind, setKind] = useState(mapping?.for ?? "orders");
  const [parts, setParts] = useState(() => taken(mapping));
  const [problem, setProblem] = useState<Problem | null>(null);
  const [isBusy, setBusy] = useState(false);
  const [id] = useState(uuid);
  const isMine = may("record:mapping");
  const data = dataOf(parts);
  const put = (change: Partial<Parts>) => setParts({ ...parts, ...change });
  const submit = async (event: Event) => {
    event.preventDefault();
    setBusy(true);
    const sent = await tell({ kind: "mapping", source, for: kind, data }, me.value?.person ?? 0, t("ui.mappings.said", { source }), id);
    setBusy(false);
    if (sent.kind === "refused") setProblem(sent.problem);
    else close();
  };
  return (
    <Dialog title={mapping ? t("ui.mappings.of", { source: mapping.source }) : t("ui.mappings.new")} close={close} wide>
      <form class="form form-wide" onSubmit={(e) => void submit(e)}>
        <div class="two-times">
          <label class="field"><span class="field-label">{t("ui.files.source")}</span><input value={source} required readOnly={mapping !== null || !isMine} onInput={(e) => setSource(e.currentTarget.value)} /></label>
          <label class="field"><span class="field-label">{t("ui.files.kind")}</span>
            <select value={kind} disabled={mapping !== null || !isMine} onChange={(e) => setKind(e.currentTarget.value)}>{FILE_KINDS.map((k) => <option key={k} value={k}>{t(`ui.files.kind.${k}`)}</option>)}</select>
          </label>
        </div>
        <Rows title={t("ui.mappings.pairs")} help={t(`ui.mappings.fields.${kind}`)} heads={[["name", t("ui.mappings.field")], ["text", t("ui.mappings.header")]]} rows={parts.columns} fresh={PAIR} set={(columns) => put({ columns })} isMine={isMine} least={1} />
        <Rest kind={kind} data={parts.rest} set={(rest) => put({ rest })} isMine={isMine} />
        <Rows title={t("ui.mappings.fixed")} help={t("ui.mappings.fixed.help")} heads={[["name", t("ui.mappings.fixed.field")], ["text", t("ui.mappings.fixed.text")]]} rows={parts.fixed} fresh={PAIR} set={(fixed) => put({ fixed })} isMine={isMine} />
        <Rows title={t("ui.mappings.codes")} help={t("ui.mappings.codes.help")} heads={[["field", t("ui.mappings.codes.field")], ["theirs", t("ui.mappings.codes.theirs")], ["ours", t("ui.mappings.codes.ours")]]} rows={parts.codes} fresh={{ field: "", theirs: "", ours: "" }} set={(codes) => put({ codes })} isMine={isMine} />
        <Rows title={t("ui.mappings.preamble")} help={t("ui.mappings.preamble.help")} heads={[["name", t("ui.mappings.preamble.label")], ["text", t("ui.mappings.preamble.text")]]} rows={parts.preamble} fresh={PAIR} set={(preamble) => put({ preamble })} isMine={isMine} />
        <details><summary>{t("ui.mappings.json")}</summary><pre class="formula" tabIndex={0}>{JSON.stringify(data, null, 2)}</pre></details>
        <ProblemNote problem={problem} />
        {isMine ? (
          <div class="actions"><button type="submit" class="act" disabled={isBusy}>{t("ui.mappings.do")}</button><button type="button" onClick={close}>{t("ui.cancel")}</button></div>
        ) : null}
      </form>
    </Dialog>
  );
}
