/* Recording one step: the questions, the sentence read back, a second press where mass moves. */
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { fetchOnce, useRead } from "../api/client";
import type { Answer, Field, Form, Found, Problem } from "../api/types";
import { place } from "../base/route";
import { uuid } from "../base/uuid";
import { t, tn } from "../base/words";
import { padded, Pad } from "../parts/pad";
import { ProblemNote, Shown } from "../parts/read";
import { me, stepUpByBadge } from "../shell/session";
import { asProblem } from "../shell/told";
import { FieldView } from "./field";
import { useScan } from "./listen";
import { Confirm } from "./confirm";
import { Done } from "./done";
import { earlierFields } from "./earlier";
import { InspectionNote } from "./inspection";
import { commandOf, firstTyped, isAsked, isMain, isNumeric, readBack, readLegs, type Typed, wrongWith } from "./values";

const DESK = "(min-width: 56rem)";

function useDesk(): boolean {
  const [isDesk, setDesk] = useState(matchMedia(DESK).matches);
  useEffect(() => {
    const watch = matchMedia(DESK);
    const changed = () => setDesk(watch.matches);
    watch.addEventListener("change", changed);
    return () => watch.removeEventListener("change", changed);
  }, []);
  return isDesk;
}

/* Where a scan belongs: the question one is at, else the first that asks for such a thing. */
export function fieldFor(fields: Field[], kind: Found["kind"], typed: Typed, at: string): Field | undefined {
  const takes = (f: Field) => f.kind === kind || (kind === "lot" && (f.kind === "lots" || f.kind === "inputs")) || (kind === "unit" && f.kind === "units");
  const here = fields.find((f) => f.name === at);
  if (here && takes(here)) return here;
  return fields.find((f) => takes(f) && (typed[f.name] ?? "") === "") ?? fields.find(takes);
}

function withScan(field: Field, text: string, code: string): string {
  if (field.kind === "inputs") {
    const legs = readLegs(text).filter((l) => l.lot !== code);
    const open = legs.findIndex((l) => !l.lot);
    return JSON.stringify(open >= 0 ? legs.map((l, i) => (i === open ? { ...l, lot: code } : l)) : [...legs, { lot: code }]);
  }
  if (field.kind === "lots" || field.kind === "units") {
    const list = text.split(/[\s,]+/).filter((x) => x !== "" && x !== code);
    return [...list, code].join(" ");
  }
  return code;
}

function Questions({ form, typed, setTyped, done, refused }: {
  form: Form; typed: Typed; setTyped: (change: (now: Typed) => Typed) => void; done: () => void; refused: Problem | null;
}) {
  const isDesk = useDesk();
  const [isEarlier, setEarlier] = useState((typed["at"] ?? "") !== "");
  const [isMore, setMore] = useState(false);
  const asked = useMemo(() => form.fields.filter((f) => isAsked(f, typed)), [form, typed]);
  const main = asked.filter((f) => isMain(f) || f.name === refused?.field);
  const rest = asked.filter((f) => !main.includes(f));
  const fields = [...main, ...(isMore ? rest : []), ...(isEarlier ? earlierFields(form) : [])];
  const start = refused ? Math.max(0, fields.findIndex((f) => f.name === refused.field)) : 0;
  const [at, setAt] = useState(start);
  const [active, setActive] = useState(fields[start]?.name ?? "");
  const [wrong, setWrong] = useState<Record<string, string>>(refused?.field ? { [refused.field]: refused.detail } : {});
  const [note, setNote] = useState<string | null>(null);
  const latest = useRef(typed);
  latest.current = typed;
  const step = Math.min(at, fields.length - 1);
  const shown = isDesk ? fields : fields.slice(step, step + 1);
  const focused = fields.find((f) => f.name === (isDesk ? active : shown[0]?.name));

  const set = (field: Field, text: string) => {
    setTyped((now) => ({ ...now, [field.name]: text }));
    if (wrong[field.name]) {
      const rest = { ...wrong };
      delete rest[field.name];
      setWrong(rest);
    }
  };
  useScan((scan) => {
    if (scan.code.startsWith("BADGE:") && me.value?.station) {
      stepUpByBadge(scan.code).catch((e: unknown) => setNote(asProblem(e).detail));
      return;
    }
    const put = (found: Found) => {
      const field = fieldFor(fields, found.kind, latest.current, focused?.name ?? "");
      if (!field) {
        setNote(t("ui.record.scan.nowhere", { code: found.code }));
        return;
      }
      setTyped((now) => ({ ...now, [field.name]: withScan(field, now[field.name] ?? "", found.code) }));
      setNote(t("ui.record.scan.put", { code: found.code, field: field.label }));
    };
    fetchOnce<Found>(`/find?code=${encodeURIComponent(scan.code)}`).then(put, () => put({ kind: "lot", code: scan.code }));
  });

  const check = (list: Field[]): boolean => {
    const found: Record<string, string> = {};
    for (const f of list) {
      const w = wrongWith(f, typed);
      if (w) found[f.name] = w;
    }
    setWrong(found);
    const first = list.find((f) => found[f.name]);
    if (first) document.getElementById(`f-${first.name}`)?.focus();
    return first === undefined;
  };
  const next = (event: Event) => {
    event.preventDefault();
    if (isDesk || step === fields.length - 1) {
      if (check(isDesk ? fields : shown)) done();
    } else if (check(shown)) {
      setAt(step + 1);
      setNote(null);
    }
  };
  const takes = (f: Field | undefined) => f !== undefined && isNumeric(f) && !f.choices;
  const keyed = takes(focused) ? focused : isDesk ? fields.find((f) => takes(f) && (typed[f.name] ?? "") === "") : undefined;
  return (
    <form class={isDesk ? "record record-desk" : "record"} onSubmit={next} noValidate>
      <div class="record-fields">
        {isDesk ? null : <p class="record-at">{t("ui.record.at", { n: step + 1, of: fields.length })}</p>}
        {refused && !fields.some((f) => f.name === refused.field) ? <ProblemNote problem={refused} /> : null}
        {note ? <p class="note note-done" role="status">{note}</p> : null}
        <InspectionNote form={form} typed={typed} />
        {shown.map((f) => (
          <FieldView
            key={f.name} field={f} text={typed[f.name] ?? ""} wrong={wrong[f.name] ?? null}
            set={(text) => set(f, text)} also={(more) => setTyped((now) => ({ ...now, ...more }))} focus={() => setActive(f.name)}
          />
        ))}
        {isDesk || step === 0 ? (
          <p class="record-else">
            {isEarlier ? null : <button type="button" class="plain" onClick={() => setEarlier(true)}>{t("ui.record.earlier")}</button>}
            {isMore || rest.length === 0 ? null : <button type="button" class="plain" onClick={() => setMore(true)}>{tn("ui.record.say-more", rest.length)}</button>}
          </p>
        ) : null}
      </div>
      {keyed ? (
        <div class="pad-beside">
          {isDesk ? <p class="pad-for">{keyed.label}</p> : null}
          <Pad
            label={`${t("ui.pad")}: ${keyed.label}`} decimal={!["pieces", "person", "entry"].includes(keyed.kind)}
            press={(key) => set(keyed, padded(typed[keyed.name] ?? "", key))}
          />
        </div>
      ) : null}
      <div class="record-acts">
        {!isDesk && step > 0 ? <button type="button" onClick={() => setAt(step - 1)}>{t("ui.back")}</button> : <a class="button" href="/record">{t("ui.cancel")}</a>}
        <button type="submit" class="act">{t(isDesk || step === fields.length - 1 ? "ui.record.read" : "ui.next")}</button>
      </div>
    </form>
  );
}

type Stage =
  | { at: "ask"; refused: Problem | null }
  | { at: "confirm" }
  | { at: "done"; answer: Answer | null; sentence: string };

function Work({ form }: { form: Form }) {
  const [typed, setTyped] = useState<Typed>(() => firstTyped(form, place.value.query));
  const [stage, setStage] = useState<Stage>({ at: "ask", refused: null });
  const [id, setId] = useState(uuid);
  const again = () => {
    setTyped(firstTyped(form, new URLSearchParams()));
    setId(uuid());
    setStage({ at: "ask", refused: null });
  };
  const whole: Form = { ...form, fields: [...form.fields, ...earlierFields(form).filter((f) => (typed[f.name] ?? "") !== "")] };
  return (
    <article class="record-page">
      <header class="page-head"><h1>{form.title}</h1></header>
      {stage.at === "ask" ? (
        <Questions form={form} typed={typed} setTyped={setTyped} refused={stage.refused} done={() => setStage({ at: "confirm" })} />
      ) : stage.at === "confirm" ? (
        <Confirm
          form={form} command={commandOf(whole, typed)} sentence={readBack(whole, typed)} id={id}
          back={(refused) => setStage({ at: "ask", refused })}
          done={(answer, sentence) => setStage({ at: "done", answer, sentence })}
        />
      ) : <Done form={form} answer={stage.answer} sentence={stage.sentence} again={again} />}
    </article>
  );
}

export function RecordForm({ kind }: { kind: string }) {
  const read = useRead<{ forms: Form[] }>("/forms");
  return (
    <Shown read={read}>
      {({ forms }) => {
        const form = forms.find((f) => f.kind === kind);
        return form ? <Work form={form} /> : <p>{t("ui.nowhere")} <a href="/record">{t("ui.place.record")}</a></p>;
      }}
    </Shown>
  );
}
