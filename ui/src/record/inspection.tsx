/* How the lot that is about to be counted is inspected by sample: what applies now, before anybody counts. */
import { useRead } from "../api/client";
import type { Form, Inspection, Tone } from "../api/types";
import { number } from "../base/format";
import { t } from "../base/words";
import { Mark } from "../parts/mark";
import type { Typed } from "./values";

const TONE: Record<string, Tone> = { normal: "done", tightened: "due", discontinued: "stopped" };

/* What is asked of the server; null while too little is typed, or where no form of the kind is inspected. */
export function inspectionPath(form: Form, typed: Typed): string | null {
  const given = (name: string) => (typed[name] ?? "").trim();
  const wants = form.act === "receive" ? ["supplier", "item"] : form.kind === "delivery-check" || form.fields.some((f) => f.name === "inspected" && f.kind === "pieces") ? ["lot"] : null;
  if (wants === null || wants.some((name) => given(name) === "")) return null;
  const query = new URLSearchParams({ form: form.kind });
  for (const name of wants) query.set(name, given(name));
  if (form.act === "receive" && /^[1-9]\d{0,4}$/.test(given("sacks"))) query.set("sacks", given("sacks"));
  return `/inspection?${query.toString()}`;
}

export function InspectionNote({ form, typed }: { form: Form; typed: Typed }) {
  const now = useRead<Inspection>(inspectionPath(form, typed)).data;
  if (!now || now.inspection === null) return null;
  const tone = TONE[now.inspection] ?? "due";
  return (
    <div class={`note note-${tone} inspection`} role="status">
      <Mark tone={tone} />
      <div>
        <p><b>{t("ui.inspection.now", { inspection: t(`word.inspection.${now.inspection}`), item: now.item ?? "", from: now.from ?? "" })}</b></p>
        {now.samples === null || now.accept === null || now.reject === null ? <p>{t("ui.inspection.size")}</p> : (
          <p>{t("ui.inspection.plan", { samples: number(now.samples), size: number(now.size ?? 0), accept: number(now.accept), reject: number(now.reject) })}</p>
        )}
        {now.inspection === "discontinued" ? <p>{t("ui.inspection.none")}</p> : null}
        {now.again ? <p class="small">{t("ui.inspection.again")}</p> : null}
        {now.recalled ? <p class="small">{t("ui.inspection.recalled")}</p> : null}
      </div>
    </div>
  );
}
