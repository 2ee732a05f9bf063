/* After the press: recorded, or kept on this device until the server is back. */
import { useRead } from "../api/client";
import type { Answer, Entry, Form } from "../api/types";
import { entryPath, lotPath } from "../base/route";
import { t } from "../base/words";
import { Mark } from "../parts/mark";
import { Said } from "../parts/said";

/* What was not as it should be, in the record's own sentences. */
function Deviations({ entry }: { entry: number }) {
  const read = useRead<Entry>(`/daybook/${entry}`);
  return <>{(read.data?.deviations ?? []).map((d) => <p key={d} class="note note-due"><Mark tone="due" /><span>{d}</span></p>)}</>;
}

export function Done({ form, answer, sentence, again }: {
  form: Form; answer: Answer | null; sentence: string; again: () => void;
}) {
  const entry = answer?.["entry"];
  const lot = answer?.["lot"];
  return (
    <div class="done" role="status">
      <Mark tone={answer ? "done" : "waiting"} big />
      <h2>{answer ? t("ui.record.done") : t("ui.record.kept")}</h2>
      <p class="confirm-sentence"><Said text={sentence} /></p>
      {answer ? null : <p>{t("ui.record.kept.do")}</p>}
      {typeof entry === "number" ? <Deviations entry={entry} /> : null}
      {typeof lot === "string" ? <p class="done-lot"><span class="small">{t("ui.lot")}</span> <a href={lotPath(lot)}>{lot}</a></p> : null}
      <div class="record-acts">
        <button type="button" onClick={again}>{t("ui.record.again", { title: form.title })}</button>
        {typeof entry === "number" ? <a class="button" href={entryPath(entry)}>{t("ui.entry.n", { n: entry })}</a> : null}
        <a class="act" href="/">{t("ui.record.home")}</a>
      </div>
    </div>
  );
}
