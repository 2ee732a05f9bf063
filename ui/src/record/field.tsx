/* One question and what it is answered with: large choices where they are few, a list where many. */
import type { ComponentChildren } from "preact";
import { useRead } from "../api/client";
import type { Field, House, LotRow } from "../api/types";
import { mass, pieces, unitText } from "../base/format";
import { t } from "../base/words";
import { readLegs, isNumeric, unitOf } from "./values";

const FEW = 8;

export interface FieldProps {
  field: Field;
  text: string;
  wrong: string | null;
  set: (text: string) => void;
  focus: () => void;
  own: boolean; /* our own pad is beside it, the device's keyboard stays closed */
}

interface Option {
  value: string;
  label: string;
  more?: string;
}

function optionsOf(field: Field, house: House | null): Option[] | null {
  if (field.choices) return field.choices;
  if (field.kind === "yes-no") return [{ value: "yes", label: t("ui.yes") }, { value: "no", label: t("ui.no") }];
  if (!house) return null;
  const kinds = (text: string | null) => text?.split(/[ ,|]+/) ?? null;
  if (field.kind === "place") {
    const of = kinds(field.of.place_kind);
    return house.places.filter((p) => p.in_service && (!of || of.includes(p.kind))).map((p) => ({ value: p.code, label: p.code, more: p.name }));
  }
  if (field.kind === "instrument") {
    const of = kinds(field.of.instrument_kind);
    return house.instruments.filter((i) => !of || of.includes(i.kind)).map((i) => ({ value: i.code, label: i.code, more: i.place ?? "" }));
  }
  if (field.kind === "item") {
    const of = kinds(field.of.item_kind);
    return house.items.filter((i) => !of || of.includes(i.kind)).map((i) => ({ value: i.code, label: i.code, more: i.name }));
  }
  if (field.kind === "partner") return house.partners.map((p) => ({ value: p.code, label: p.code }));
  return null;
}

function Choices({ field, options, text, set, focus }: FieldProps & { options: Option[] }) {
  if (options.length <= FEW) {
    return (
      <div class="choices choices-big" role="radiogroup" aria-labelledby={`l-${field.name}`}>
        {options.map((o) => (
          <button
            type="button" key={o.value} role="radio" aria-checked={text === o.value} onFocus={focus}
            onClick={() => set(text === o.value && !field.required ? "" : o.value)}
          >
            <b>{o.label}</b>{o.more && o.more !== o.label ? <span class="small">{o.more}</span> : null}
          </button>
        ))}
      </div>
    );
  }
  return (
    <select id={`f-${field.name}`} value={text} onFocus={focus} onChange={(e) => set(e.currentTarget.value)}>
      <option value="">{t("ui.record.choose")}</option>
      {options.map((o) => <option key={o.value} value={o.value}>{o.more && o.more !== o.label ? `${o.label} – ${o.more}` : o.label}</option>)}
    </select>
  );
}

export function useLots(kind: string | null): LotRow[] {
  const read = useRead<{ lots: LotRow[] }>(`/lots?state=open&limit=200${kind && !/[ ,|]/.test(kind) ? `&kind=${encodeURIComponent(kind)}` : ""}`);
  const of = kind?.split(/[ ,|]+/);
  return (read.data?.lots ?? []).filter((l) => !of || of.includes(l.kind));
}

function LotInput({ field, text, wrong, set, focus }: FieldProps) {
  const lots = useLots(field.of.lot_kind);
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

function Legs({ field, text, set, focus, own }: FieldProps) {
  const legs = readLegs(text);
  const rows = legs.length === 0 ? [{}] : legs;
  const lots = useLots(field.of.lot_kind);
  const put = (i: number, change: Record<string, string>) => {
    const next = rows.map((r, at) => (at === i ? { ...r, ...change } : r));
    set(JSON.stringify(next));
  };
  const isOut = field.kind === "outputs";
  return (
    <div class="legs">
      {rows.map((leg, i) => (
        <div class="leg" key={i}>
          {isOut && field.choices ? (
            <label><span class="small">{t("ui.record.role")}</span>
              <select value={leg.role ?? ""} onFocus={focus} onChange={(e) => put(i, { role: e.currentTarget.value })}>
                <option value="">–</option>
                {field.choices.map((c) => <option key={c.value} value={c.value}>{c.label}</option>)}
              </select>
            </label>
          ) : null}
          {isOut ? null : (
            <label><span class="small">{t("ui.lot")}</span>
              <input list={`lots-${field.name}`} value={leg.lot ?? ""} autocomplete="off" placeholder={t("ui.record.scan")} onFocus={focus} onInput={(e) => put(i, { lot: e.currentTarget.value })} />
            </label>
          )}
          <label><span class="small">{t("ui.record.mass")}</span>
            <input class="figure" inputMode={own ? "none" : "decimal"} value={leg.mass ?? ""} data-leg={i} onFocus={focus} onInput={(e) => put(i, { mass: e.currentTarget.value })} />
          </label>
          {rows.length > 1 ? <button type="button" class="plain" onClick={() => set(JSON.stringify(rows.filter((_, at) => at !== i)))}>{t("ui.record.less")}</button> : null}
        </div>
      ))}
      {isOut ? null : <datalist id={`lots-${field.name}`}>{lots.map((l) => <option key={l.lot} value={l.lot}>{l.item}</option>)}</datalist>}
      <button type="button" onClick={() => set(JSON.stringify([...rows, {}]))}>{t("ui.record.more")}</button>
    </div>
  );
}

function Plain({ field, text, wrong, set, focus, own }: FieldProps) {
  const type = field.kind === "time" ? "datetime-local" : field.kind === "day" ? "date" : "text";
  const unit = unitOf(field);
  const mode = isNumeric(field) ? (own ? "none" : "decimal") : field.kind === "person" ? "numeric" : "text";
  return (
    <span class="with-unit">
      <input
        id={`f-${field.name}`} type={type} value={text} class={isNumeric(field) ? "figure big-figure" : ""} inputMode={mode}
        autocomplete="off" aria-invalid={wrong !== null} aria-describedby={`h-${field.name}`} onFocus={focus}
        onInput={(e) => set(e.currentTarget.value)}
      />
      {isNumeric(field) && unit !== "" ? <span class="unit">{unitText(unit)}</span> : null}
    </span>
  );
}

export function FieldView(props: FieldProps) {
  const { field, wrong } = props;
  const house = useRead<House>("/house");
  const options = optionsOf(field, house.data);
  const needsHouse = ["place", "instrument", "item", "partner"].includes(field.kind);
  let body: ComponentChildren;
  if (field.kind === "inputs" || field.kind === "outputs") body = <Legs {...props} />;
  else if (needsHouse && house.isWaiting) body = <p class="loading">{t("ui.loading")}</p>;
  else if (options) body = <Choices {...props} options={options} />;
  else if (field.kind === "lot") body = <LotInput {...props} />;
  else body = <Plain {...props} />;
  return (
    <div class={wrong ? "field question field-bad" : "field question"}>
      <label class="field-label" id={`l-${field.name}`} for={`f-${field.name}`}>
        {field.label}{field.required ? "" : <span class="small"> {t("ui.calc.may")}</span>}
      </label>
      {body}
      <span class="small" id={`h-${field.name}`}>{field.help}</span>
      {wrong ? <span class="field-wrong" role="alert">{wrong}</span> : null}
    </div>
  );
}
