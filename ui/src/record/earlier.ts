/* "It happened earlier": when, and why it is told only now. */
import type { Field } from "../api/types";
import { t } from "../base/words";

export function earlierFields(): Field[] {
  const none = { lot_kind: null, place_kind: null, instrument_kind: null, item_kind: null };
  return [
    { name: "at", label: t("ui.record.when"), kind: "time", required: false, choices: null, of: none, unit: null, help: null, default: null, only_with: null },
    { name: "reason", label: t("ui.record.why-late"), kind: "text", required: false, choices: null, of: none, unit: null, help: null, default: null, only_with: null },
  ];
}
