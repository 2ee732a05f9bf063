/* One case or pallet, as a scan finds it. */
import { useRead } from "../api/client";
import type { Unit } from "../api/types";
import { mass, number } from "../base/format";
import { lotPath } from "../base/route";
import { t, word } from "../base/words";
import { Num } from "../parts/ask";
import { State } from "../parts/mark";
import { Shown } from "../parts/read";

export function UnitPage({ code }: { code: string }) {
  const read = useRead<Unit>(`/units/${encodeURIComponent(code)}`);
  return (
    <Shown read={read}>
      {(u) => (
        <article>
          <header class="page-head">
            <h1 class="code-title">{u.code}</h1>
            <p class="page-state"><State tone={u.holds.length > 0 ? "stopped" : "done"} text={u.holds.length > 0 ? t("ui.held") : word("unit-state", u.state)} /></p>
          </header>
          <dl class="figures">
            {u.lot ? <div><dt>{t("ui.lot")}</dt><dd><a href={lotPath(u.lot)}>{u.lot}</a></dd></div> : null}
            <div><dt>{t("ui.packs")}</dt><dd><Num big value={number(u.pieces)} ask={{ title: t("ui.packs"), about: "unit", of: u.code }} /></dd></div>
            <div><dt>{t("ui.amount")}</dt><dd><Num big value={mass(u.mg)} ask={{ title: t("ui.amount"), about: "unit", of: u.code }} /></dd></div>
            <div><dt>{t("ui.at-place")}</dt><dd class="figure">{u.place ?? "–"}</dd></div>
            {u.customer ? <div><dt>{t("ui.customer")}</dt><dd class="figure">{u.customer} {u.shipment}</dd></div> : null}
          </dl>
          <div class="actions"><a class="button" href={`/trace?code=${encodeURIComponent(u.code)}&direction=back`}>{t("ui.lot.trace")}</a></div>
        </article>
      )}
    </Shown>
  );
}
