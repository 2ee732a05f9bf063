/* What the sums of a trace rest on. */
import type { Trace } from "../api/types";
import { dateTime, mass, number } from "../base/format";
import { t, tn } from "../base/words";
import type { Question } from "../parts/ask";

export function unique(list: string[]): string[] {
  return [...new Set(list)];
}

export function hereLots(trace: Trace): string[] {
  return trace.lots.filter((l) => l.here_mg > 0 || l.here_pieces > 0).map((l) => l.lot);
}

type Customer = Trace["customers"][number];

/* Shipments carry other lots too: only what was found in them counts. */
export function leftAsk(trace: Trace, customers: Customer[] = trace.customers): Omit<Question, "title"> {
  const shipments = customers.flatMap((c) => c.shipments);
  return {
    how: t("ui.trace.left.how"), about: "shipment", of: shipments.map((s) => s.shipment),
    with: trace.lots.map((l) => l.lot).join(","),
    inputs: shipments.map((s) => ({
      name: `${s.shipment}, ${dateTime(s.at_ms)}`, value: `${tn("ui.pieces", s.pieces, { n: number(s.pieces) })} · ${mass(s.mg)}`,
    })),
  };
}
