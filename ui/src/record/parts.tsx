/* Answers that have parts of their own: lots with masses, a stretch of a logger's series, a file. */
import { useState } from "preact/hooks";
import { t } from "../base/words";
import { TimeInput } from "../parts/time";
import { type FieldProps, useLots } from "./field";
import { type Leg, readLegs, readSeries, type Series } from "./values";

const FILE_MOST = 8 * 1024 * 1024; /* bytes */

export function Legs({ field, text, set, focus }: FieldProps) {
  const legs = readLegs(text);
  const rows: Leg[] = legs.length === 0 ? [{}] : legs;
  const lots = useLots(field.of?.lot_kind);
  const put = (i: number, change: Leg) => set(JSON.stringify(rows.map((r, at) => (at === i ? { ...r, ...change } : r))));
  const isOut = field.kind === "outputs";
  return (
    <div class="legs" role="group" aria-labelledby={`l-${field.name}`}>
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
              <input
                id={i === 0 ? `f-${field.name}` : undefined} list={`lots-${field.name}`} value={leg.lot ?? ""} autocomplete="off"
                placeholder={t("ui.record.scan")} onFocus={focus} onInput={(e) => put(i, { lot: e.currentTarget.value })}
              />
            </label>
          )}
          <label><span class="small">{t("ui.record.mass")}</span>
            <input class="figure" inputMode="decimal" value={leg.mass ?? ""} onFocus={focus} onInput={(e) => put(i, { mass: e.currentTarget.value })} />
          </label>
          {rows.length > 1 ? <button type="button" class="plain" onClick={() => set(JSON.stringify(rows.filter((_, at) => at !== i)))}>{t("ui.record.less")}</button> : null}
        </div>
      ))}
      {isOut ? null : <datalist id={`lots-${field.name}`}>{lots.map((l) => <option key={l.lot} value={l.lot}>{l.item}</option>)}</datalist>}
      <button type="button" onClick={() => set(JSON.stringify([...rows, {}]))}>{t("ui.record.more")}</button>
    </div>
  );
}

export function SeriesInput({ field, text, set, focus }: FieldProps) {
  const s = readSeries(text);
  const put = (change: Series) => set(JSON.stringify({ ...s, ...change }));
  return (
    <div class="leg" role="group" aria-labelledby={`l-${field.name}`}>
      <label><span class="small">{t("ui.record.series")}</span>
        <input id={`f-${field.name}`} value={s.name ?? ""} autocomplete="off" onFocus={focus} onInput={(e) => put({ name: e.currentTarget.value })} />
      </label>
      <div class="leg-part"><label class="small" for={`f-${field.name}-from`}>{t("ui.record.from")}</label>
        <TimeInput id={`f-${field.name}-from`} text={s.from ?? ""} set={(from) => put({ from })} focus={focus} />
      </div>
      <div class="leg-part"><label class="small" for={`f-${field.name}-to`}>{t("ui.record.to")}</label>
        <TimeInput id={`f-${field.name}-to`} text={s.to ?? ""} set={(to) => put({ to })} focus={focus} />
      </div>
    </div>
  );
}

export function FileInput({ field, set, focus }: FieldProps) {
  const [isLarge, setLarge] = useState(false);
  const take = (file: File | undefined) => {
    setLarge(file !== undefined && file.size > FILE_MOST);
    if (!file || file.size > FILE_MOST) {
      set("");
      return;
    }
    const reader = new FileReader();
    reader.onload = () => set(String(reader.result));
    reader.readAsDataURL(file);
  };
  return (
    <>
      <input id={`f-${field.name}`} type="file" onFocus={focus} onChange={(e) => take(e.currentTarget.files?.[0])} />
      {isLarge ? <span class="field-wrong" role="alert">{t("ui.record.file.large")}</span> : null}
    </>
  );
}
