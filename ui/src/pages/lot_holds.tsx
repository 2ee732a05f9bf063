/* Placing a hold, and lifting one by the evidence its reason asks for. */
import { useState } from "preact/hooks";
import { ownProblem, useRead } from "../api/client";
import type { Answer, Hold, LotParts, Problem, StoryLine } from "../api/types";
import { dateTime } from "../base/format";
import { lotPath } from "../base/route";
import { uuid } from "../base/uuid";
import { t, word } from "../base/words";
import { Dialog } from "../parts/dialog";
import { Mark } from "../parts/mark";
import { SignDialog } from "../parts/password";
import { ProblemNote } from "../parts/read";
import { me } from "../shell/session";
import { tell } from "../shell/told";
import { type Cover, CoverChoice, saidCover, toldCover, wrongCover } from "./hold_cover";

const KINDS = ["quality", "laboratory", "foreign-body", "label", "seal", "cold", "damage", "supplier", "other"];
const STOPS = ["use", "mix", "pack", "release", "load"];
const NEEDS = ["decision", "negative", "treatment", "clean", "check", "calibration", "paper", "review", "disposition", "re-passed"];

/* What a hold needs is a list: "sampled,negative". */
export function needsText(needs: string): string {
  return t("ui.hold.needs", { what: needs.split(",").map((n) => word("need", n)).join(", ") });
}

/* What was made from the lot before stays free: whoever holds is told, and can hold that as well. */
function Left({ lots, close }: { lots: string[]; close: () => void }) {
  return (
    <Dialog title={t("ui.lot.hold")} close={close}>
      <p>{t("ui.hold.done")}</p>
      <p class="note note-due"><Mark tone="due" /><span>{t("ui.hold.not-covered")}</span></p>
      <ul class="plain-list">{lots.map((l) => <li key={l}><a href={lotPath(l)} onClick={close}>{l}</a></li>)}</ul>
      <div class="actions"><button type="button" class="act" onClick={close}>{t("ui.close")}</button></div>
    </Dialog>
  );
}

function leftOf(answer: Answer): string[] {
  const left = answer["not_covered"];
  return Array.isArray(left) ? left.filter((l): l is string => typeof l === "string") : [];
}

export function HoldDialog({ lot, amount, close }: { lot: string; amount: string; close: () => void }) {
  const [kind, setKind] = useState("quality");
  const [needs, setNeeds] = useState("decision");
  const [stops, setStops] = useState(STOPS);
  const [reason, setReason] = useState("");
  const [problem, setProblem] = useState<Problem | null>(null);
  const [id] = useState(uuid);
  const [cover, setCover] = useState<Cover>({ what: "lot" });
  const [left, setLeft] = useState<string[] | null>(null);
  const parts = useRead<LotParts>(`/lots/${encodeURIComponent(lot)}/parts`).data;
  const submit = async (event: Event) => {
    event.preventDefault();
    const wrong = parts ? wrongCover(cover, lot, parts) : null;
    if (wrong) {
      setProblem(ownProblem("cover", wrong));
      return;
    }
    const sentence = t("ui.hold.read", { lot: saidCover(cover, lot), kind: word("hold-kind", kind) });
    const sent = await tell({ kind: "hold", hold_kind: kind, needs, stops, ...toldCover(cover, lot, parts), reason }, me.value?.person ?? 0, sentence, id);
    if (sent.kind === "refused") {
      setProblem(sent.problem);
      return;
    }
    const more = sent.kind === "taken" ? leftOf(sent.answer) : [];
    if (more.length > 0) setLeft(more);
    else close();
  };
  if (left) return <Left lots={left} close={close} />;
  return (
    <Dialog title={t("ui.lot.hold")} close={close}>
      <form class="form" onSubmit={(e) => void submit(e)}>
        {parts ? <CoverChoice lot={lot} parts={parts} cover={cover} set={(next) => { setCover(next); setProblem(null); }} /> : null}
        {cover.what === "lot" ? <p class="read-back">{t("ui.hold.lead", { lot, amount })}</p> : null}
        <label class="field"><span class="field-label">{t("ui.hold.kind")}</span>
          <select value={kind} onChange={(e) => setKind(e.currentTarget.value)}>
            {KINDS.map((k) => <option key={k} value={k}>{word("hold-kind", k)}</option>)}
          </select>
        </label>
        <fieldset class="field"><legend class="field-label">{t("ui.hold.what-stops")}</legend>
          {STOPS.map((s) => (
            <label key={s} class="check">
              <input
                type="checkbox" checked={stops.includes(s)}
                onChange={(e) => setStops(e.currentTarget.checked ? [...stops, s] : stops.filter((x) => x !== s))}
              />
              <span>{word("stop", s)}</span>
            </label>
          ))}
        </fieldset>
        <label class="field"><span class="field-label">{t("ui.hold.what-needs")}</span>
          <select value={needs} onChange={(e) => setNeeds(e.currentTarget.value)}>
            {NEEDS.map((k) => <option key={k} value={k}>{word("need", k)}</option>)}
          </select>
        </label>
        <label class="field"><span class="field-label">{t("ui.reason")}</span>
          <textarea required rows={3} value={reason} onInput={(e) => setReason(e.currentTarget.value)} />
        </label>
        <ProblemNote problem={problem} />
        <div class="actions">
          <button type="submit" class="act act-stop">{t("ui.lot.hold")}</button>
          <button type="button" onClick={close}>{t("ui.cancel")}</button>
        </div>
      </form>
    </Dialog>
  );
}

/* The evidence is an entry of the lot's story that came after the hold, or any other by its number. */
export function LiftDialog({ hold, story, close }: { hold: Hold; story: StoryLine[]; close: () => void }) {
  const fitting = story.filter((l) => l.at_ms >= hold.placed_ms && l.struck_by === null);
  const [evidence, setEvidence] = useState("");
  return (
    <SignDialog
      title={t("ui.hold.lift")} verb={t("ui.hold.lift")} close={close} done={() => {}}
      commands={() => [{ kind: "lift", hold: hold.hold, ...(evidence ? { evidence: Number(evidence) } : {}) }]}
    >
      <p class="read-back">{t("ui.lift.read", { hold: hold.hold, kind: word("hold-kind", hold.kind), reason: hold.reason ?? "" })}</p>
      {hold.needs ? <p>{needsText(hold.needs)}</p> : null}
      <label class="field"><span class="field-label">{t("ui.lift.evidence")}</span>
        <input
          list="lift-entries" inputMode="numeric" pattern="[0-9]*" value={evidence}
          onInput={(e) => setEvidence(e.currentTarget.value)}
        />
        <datalist id="lift-entries">
          {fitting.map((l) => <option key={l.entry} value={l.entry}>{l.title}, {dateTime(l.at_ms)}</option>)}
        </datalist>
      </label>
    </SignDialog>
  );
}
