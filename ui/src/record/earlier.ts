/* "It happened earlier": when, and why it is told only now. A form that asks for either itself asks once. */
import type { Field, Form } from "../api/types";
import { t } from "../base/words";

export function earlierFields(form: Form): Field[] {
  const plain = { required: false, either: null, choices: null, of: null, unit: null, help: null, default: null, only_with: null };
  return [
    { name: "at", label: t("ui.record.when"), kind: "time", ...plain },
    { name: "reason", label: t("ui.record.why-late"), kind: "text", ...plain },
  ].filter((f) => !form.fields.some((own) => own.name === f.name));
}
