/* One question and what it is answered with: large choices where they are few, a list where many. */
import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";
import { useRead } from "../api/client";
import type { Field, House, LotRow } from "../api/types";
import { dateTime, mass, pieces, unitText } from "../base/format";
import { t } from "../base/words";
import { TimeInput } from "../parts/time";
import { FileInput, Legs, SeriesInput } from "./parts";
import { SampleInput } from "./samples";
import { isNumeric, type Typed, unitOf, words } from "./values";

const FEW = 8;

export interface FieldProps {
  field: Field;
  text: string;
  wrong: string | null;
  set: (text: string) => void;
  also: (more: Typed) => void; /* what else follows from it */
  focus: () => void;
}

interface Option {
  value: string;
  label: string;
  more?: string | null;
}

function among(list: string | null | undefined, kind: string): boolean {
  return !list || list.split(",").includes(kind);
}

function optionsOf(field: Field, house: House | null): Option[] | null {
  if (field.choices && field.kind !== "outputs") return field.choices;
  if (field.kind === "yes-no") return [{ value: "yes", label: t("ui.yes") }, { value: "no", label: t("ui.no") }];
  if (!house) return null;
  switch (field.kind) {
    case "place":
      return house.places.filter((p) => p.in_service && among(field.of?.place_kind, p.kind)).map((p) => ({ value: p.code, label: p.code, more: p.name }));
    case "instrument": case "instruments":
      return house.instruments.filter((i) => among(field.of?.instrument_kind, i.kind)).map((i) => ({ value: i.code, label: i.code, more: i.place ?? "" }));
    case "item":
      return house.items.filter((i) => among(field.of?.item_kind, i.kind)).map((i) => ({ value: i.code, label: i.code, more: i.name }));
    case "partner":
      return house.partners.filter((p) => among(field.of?.partner_role, p.role)).map((p) => ({ value: p.code, label: p.code }));
    default: return null;
  }
}

/* Many of a list: each press adds or takes away. */
function Several({ field, options, text, set, focus }: FieldProps & { options: Option[] }) {
  const chosen = words(text);
  return (
    <div class="choices choices-big" role="group" aria-labelledby={`l-${field.name}`}>
      {options.map((o) => (
        <button
          type="button" key={o.value} aria-pressed={chosen.includes(o.value)} onFocus={focus}
          onClick={() => set((chosen.includes(o.value) ? chosen.filter((c) => c !== o.value) : [...chosen, o.value]).join(" "))}
        >
          <b>{o.label}</b>
        </button>
      ))}
    </div>
  );
}

function Choices({ field, options, text, set, focus, wrong }: FieldProps & { options: Option[] }) {
  if (options.length <= FEW) {
    return (
      <div class="choices choices-big" role="group" aria-labelledby={`l-${field.name}`}>
        {options.map((o) => (
          <button
            type="button" key={o.value} aria-pressed={text === o.value} onFocus={focus}
            onClick={() => set(text === o.value && !field.required ? "" : o.value)}
          >
            <b>{o.label}</b>{o.more && o.more !== o.label ? <span class="small">{o.more}</span> : null}
          </button>
        ))}
      </div>
    );
  }
  return (
    <select id={`f-${field.name}`} value={text} aria-invalid={wrong !== null} onFocus={focus} onChange={(e) => set(e.currentTarget.value)}>
      <option value="">{t("ui.record.choose")}</option>
      {options.map((o) => <option key={o.value} value={o.value}>{o.more && o.more !== o.label ? `${o.label} – ${o.more}` : o.label}</option>)}
    </select>
  );
}

export function useLots(kinds: string | null | undefined): LotRow[] {
  const read = useRead<{ lots: LotRow[] }>(`/lots?state=open&limit=200${kinds && !kinds.includes(",") ? `&kind=${encodeURIComponent(kinds)}` : ""}`);
  return (read.data?.lots ?? []).filter((l) => among(kinds, l.kind));
}

function LotInput({ field, text, wrong, set, focus }: FieldProps) {
  const lots = useLots(field.of?.lot_kind);
  const shown = lots.filter((l) => text === "" || l.lot.toLowerCase().includes(text.toLowerCase())).slice(0, 6);
  const isChosen = lots.some((l) => l.lot === text);
  return (
    <>
      <input
        id={`f-${field.name}`} value={text} autocomplete="off" autocapitalize="characters" spellcheck={false}
        aria-invalid={wrong !== null} placeholder={t("ui.record.scan")} onFocus={focus} onInput={(e) => set(e.currentTarget.value)}
      />
      {isChosen ? null : (
        <ul class="suggest">
          {shown.map((l) => (
            <li key={l.lot}>
              <button type="button" onClick={() => set(l.lot)}>
                <b>{l.lot}</b> <span class="small">{l.item} · {l.pieces > 0 ? pieces(l.pieces) : mass(l.mg)}{l.place ? ` · ${l.place}` : ""}</span>
              </button>
            </li>
          ))}
        </ul>
      )}
    </>
  );
}

/* Papers that were attached before: those whose name fits what is typed, the newest first. */
function PaperInput({ field, text, set, focus, house }: FieldProps & { house: House | null }) {
  const [name, setName] = useState("");
  const chosen = words(text);
  const papers = (house?.papers ?? []).filter((p) => among(field.of?.paper_kind, p.kind));
  const fit = papers.filter((p) => !chosen.includes(p.sha256) && p.name.toLowerCase().includes(name.toLowerCase())).slice(0, 6);
  const press = (sha256: string) => {
    const rest = chosen.filter((c) => c !== sha256);
    set((rest.length < chosen.length ? rest : field.kind === "paper" ? [sha256] : [...chosen, sha256]).join(" "));
  };
  return (
    <>
      {papers.length === 0 ? <p class="small">{t("ui.record.papers.none")}</p> : null}
      {papers.length > 6 ? (
        <input
          id={`f-${field.name}`} value={name} autocomplete="off" placeholder={t("ui.record.papers.find")} aria-labelledby={`l-${field.name}`}
          onFocus={focus} onInput={(e) => setName(e.currentTarget.value)}
        />
      ) : null}
      <ul class="suggest" aria-labelledby={`l-${field.name}`}>
        {[...papers.filter((p) => chosen.includes(p.sha256)), ...fit].map((p) => (
          <li key={p.sha256}>
            <button type="button" aria-pressed={chosen.includes(p.sha256)} onFocus={focus} onClick={() => press(p.sha256)}>
              <b>{p.name}</b> <span class="small">{[t(`word.${p.kind}`), p.lot ?? "", dateTime(p.at_ms)].filter((x) => x !== "").join(" · ")}</span>
            </button>
          </li>
        ))}
      </ul>
    </>
  );
}

function Plain({ field, text, wrong, set, focus }: FieldProps) {
  const unit = unitOf(field);
  return (
    <span class="with-unit">
      <input
        id={`f-${field.name}`} type={field.kind === "day" ? "date" : "text"} value={text} class={isNumeric(field) ? "figure big-figure" : ""} inputMode={isNumeric(field) ? "none" : "text"}
        autocomplete="off" aria-invalid={wrong !== null} aria-describedby={`h-${field.name}`} onFocus={focus}
        onInput={(e) => set(e.currentTarget.value)}
      />
      {isNumeric(field) && unit !== "" ? <span class="unit">{unitText(unit)}</span> : null}
    </span>
  );
}

function body(props: FieldProps, options: Option[] | null, house: House | null, isWaiting: boolean): ComponentChildren {
  const { field } = props;
  const needsHouse = ["place", "instrument", "instruments", "item", "partner", "paper", "papers"].includes(field.kind);
  if (field.kind === "inputs" || field.kind === "outputs") return <Legs {...props} />;
  if (field.kind === "series") return <SeriesInput {...props} />;
  if (field.kind === "file") return <FileInput {...props} />;
  if (field.kind === "time") {
    const { text, wrong, set, focus } = props;
    return <TimeInput id={`f-${field.name}`} describedBy={`h-${field.name}`} text={text} wrong={wrong} set={set} focus={focus} />;
  }
  if (needsHouse && isWaiting) return <p class="loading">{t("ui.loading")}</p>;
  if (options) return field.kind === "choices" || field.kind === "instruments" ? <Several {...props} options={options} /> : <Choices {...props} options={options} />;
  if (field.kind === "sample") return <SampleInput {...props} />;
  if (field.kind === "lot") return <LotInput {...props} />;
  if (field.kind === "paper" || field.kind === "papers") return <PaperInput {...props} house={house} />;
  return <Plain {...props} />;
}

export function FieldView(props: FieldProps) {
  const { field, wrong } = props;
  const house = useRead<House>("/house");
  const options = optionsOf(field, house.data);
  const hasInput = !options || (options.length > FEW && field.kind !== "choices" && field.kind !== "instruments");
  const label = <>{field.label}{field.required ? "" : <span class="small"> {t("ui.calc.may")}</span>}</>;
  return (
    <div class={wrong ? "field question field-bad" : "field question"}>
      {hasInput && !["inputs", "outputs", "series", "paper", "papers"].includes(field.kind)
        ? <label class="field-label" id={`l-${field.name}`} for={`f-${field.name}`}>{label}</label>
        : <p class="field-label" id={`l-${field.name}`}>{label}</p>}
      {body(props, options, house.data, house.isWaiting)}
      <span class="small" id={`h-${field.name}`}>{field.help ?? (field.kind === "texts" ? t("ui.record.texts") : null)}</span>
      {wrong ? <span class="field-wrong" role="alert">{wrong}</span> : null}
    </div>
  );
}
