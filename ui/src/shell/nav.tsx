/* The places: a ledger's margin at a desk; four and "More" at the bottom of a phone. */
import { place } from "../base/route";
import { t } from "../base/words";
import { isAt, bottomFor, PLACES, placesFor, type Where } from "./places";
import { me, receives, role } from "./session";

function open(): Where[] {
  return placesFor(me.value?.may ?? [], receives.value);
}

function Word({ where, path }: { where: Where; path: string }) {
  return (
    <a href={where.path} aria-current={isAt(where, path) ? "page" : undefined} class={`place place-${where.key}`}>
      {t(`ui.place.${where.key}`)}
    </a>
  );
}

export function Margin() {
  const path = place.value.path;
  return (
    <nav class="margin" aria-label={t("ui.places")}>
      {open().map((w) => <Word key={w.key} where={w} path={path} />)}
    </nav>
  );
}

export function Bottom() {
  const path = place.value.path;
  const keys = bottomFor(role.value, receives.value);
  const shown = keys.map((k) => PLACES.find((p) => p.key === k)).filter((p): p is Where => p !== undefined);
  const isElsewhere = !shown.some((w) => isAt(w, path));
  return (
    <nav class="bottom" aria-label={t("ui.places")}>
      {shown.map((w) => <Word key={w.key} where={w} path={path} />)}
      <a href="/more" class="place" aria-current={isElsewhere ? "page" : undefined}>{t("ui.place.more")}</a>
    </nav>
  );
}

export function More() {
  const path = place.value.path;
  const bottom = bottomFor(role.value, receives.value);
  return (
    <div class="more">
      <h1>{t("ui.place.more")}</h1>
      <nav class="more-list" aria-label={t("ui.place.more")}>
        {open().filter((w) => !bottom.includes(w.key)).map((w) => <Word key={w.key} where={w} path={path} />)}
        <a href="/me" class="place">{t("ui.place.me")}</a>
      </nav>
    </div>
  );
}
