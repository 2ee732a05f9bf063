/* What can be recorded, by where the work is. A scan of a lot or a place narrows it. */
import { useState } from "preact/hooks";
import { fetchOnce, useRead } from "../api/client";
import type { Form, FormGroup, Found } from "../api/types";
import { t } from "../base/words";
import { Empty, Shown } from "../parts/read";
import { may } from "../shell/session";
import { useScan } from "./listen";
import { canAsk } from "./values";

const GROUPS: FormGroup[] = ["harvest", "grow", "line", "check", "clean", "seed", "evidence", "store", "ship", "house"];

export function fits(form: Form, kind: Found["kind"]): boolean {
  return form.fields.some((f) => f.kind === kind || (kind === "lot" && (f.kind === "lots" || f.kind === "inputs")) || (kind === "unit" && f.kind === "units"));
}

function given(form: Form, found: Found | null): string {
  const field = found ? form.fields.find((f) => f.kind === found.kind) : undefined;
  return field && found ? `?${new URLSearchParams({ [field.name]: found.code }).toString()}` : "";
}

export function Steps() {
  const read = useRead<{ forms: Form[] }>("/forms");
  const [found, setFound] = useState<Found | null>(null);
  useScan((scan) => {
    fetchOnce<Found>(`/find?code=${encodeURIComponent(scan.code)}`)
      .then((f) => setFound(f.kind ? f : null), () => setFound(null));
  });
  return (
    <article class="record-steps">
      <header class="page-head"><h1>{t("ui.place.record")}</h1></header>
      {found ? (
        <p class="read-back">{t("ui.record.found", { code: found.code })} <button type="button" class="plain" onClick={() => setFound(null)}>{t("ui.record.all")}</button></p>
      ) : <p class="lead">{t("ui.record.lead")}</p>}
      <Shown read={read}>
        {({ forms }) => {
          const mine = forms.filter((f) => canAsk(f) && may(`record:${f.kind}`) && (!found || fits(f, found.kind)));
          if (mine.length === 0) return <Empty title={t("ui.record.none")}><p>{t("ui.record.none.do")}</p></Empty>;
          return GROUPS.map((group) => {
            const of = mine.filter((f) => f.group === group);
            if (of.length === 0) return null;
            return (
              <section key={group} class="step-group">
                <h2>{t(`ui.group.${group}`)}</h2>
                <ul class="step-list">
                  {of.map((f) => <li key={f.kind}><a class="step-link" href={`/record/${f.kind}${given(f, found)}`}>{f.title}</a></li>)}
                </ul>
              </section>
            );
          });
        }}
      </Shown>
    </article>
  );
}
