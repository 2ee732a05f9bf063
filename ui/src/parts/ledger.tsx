/* A table that becomes cards on a phone, and scrolls by itself where it is wider than the page. */
import type { ComponentChildren } from "preact";

export interface Head {
  text: string;
  right: true;
}

/* label: what a reader of screens hears; heads: texts, or figures that stand to the right. */
export function Ledger({ label, heads, children }: { label: string; heads: (string | Head)[]; children: ComponentChildren }) {
  return (
    <div class="wide-table" role="region" aria-label={label} tabIndex={0}>
      <table class="ledger ledger-cards">
        <thead>
          <tr>
            {heads.map((h) => typeof h === "string" ? <th key={h} scope="col">{h}</th> : <th key={h.text} scope="col" class="right">{h.text}</th>)}
          </tr>
        </thead>
        <tbody>{children}</tbody>
      </table>
    </div>
  );
}

export function right(text: string): Head {
  return { text, right: true };
}
