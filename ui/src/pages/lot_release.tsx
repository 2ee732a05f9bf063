/* Release: what is asked for is read back, and signed with one's own password. */
import { useState } from "preact/hooks";
import { useRead } from "../api/client";
import type { House, Lot } from "../api/types";
import { mass, pieces } from "../base/format";
import { t, tn } from "../base/words";
import { Mark } from "../parts/mark";
import { SignDialog } from "../parts/password";
import { Said } from "../parts/said";

export function ReleaseDialog({ lot, close }: { lot: Lot; close: () => void }) {
  const house = useRead<House>("/house");
  const markets = lot.markets.length > 0 ? lot.markets : house.data?.markets ?? [];
  const [chosen, setChosen] = useState<string[]>(lot.markets);
  /* The lot behind the dialog stays live: a clause that is no longer met is said here as well. */
  const unmet = lot.clauses.filter((c) => c.state === "unmet" && (c.market === null || chosen.includes(c.market)));
  const what = lot.pieces > 0 ? pieces(lot.pieces) : mass(lot.mg);
  return (
    <SignDialog
      title={t("ui.lot.release")} verb={t("ui.lot.release")} close={close} done={() => {}}
      commands={() => [{ kind: "release", lot: lot.lot, markets: chosen }]}
    >
      {unmet.length > 0 ? (
        <div class="note note-stopped" role="alert">
          <Mark tone="stopped" />
          <div>
            <p>{tn("ui.lot.clauses.unmet", unmet.length)}</p>
            <ul class="plain-list release-unmet">{unmet.map((c, i) => <li key={i}><b>{c.title}</b>: <Said text={c.sentence} /></li>)}</ul>
          </div>
        </div>
      ) : null}
      <p class="read-back">{t("ui.release.read", { lot: lot.lot, what, markets: chosen.join(", ") })}</p>
      <fieldset class="field">
        <legend class="field-label">{t("ui.markets")}</legend>
        {markets.map((m) => (
          <label key={m} class="check">
            <input
              type="checkbox" checked={chosen.includes(m)}
              onChange={(e) => setChosen(e.currentTarget.checked ? [...chosen, m] : chosen.filter((x) => x !== m))}
            />
            <span>{m}</span>
          </label>
        ))}
      </fieldset>
    </SignDialog>
  );
}
