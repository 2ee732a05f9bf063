/* The chambers as tiles, grouped by state; the ones that want somebody first. */
import { useRead } from "../api/client";
import type { Chamber, ChamberState } from "../api/types";
import { now, tick } from "../base/clock";
import { clock, dateTime, dayOf, hours, massRange, temperature } from "../base/format";
import { t, tn, word } from "../base/words";
import { Num } from "../parts/ask";
import { Mark, State } from "../parts/mark";
import { Empty, Shown } from "../parts/read";
import { today } from "../shell/session";

const ORDER: ChamberState[] = ["ready", "to-clean", "soaking", "growing", "empty", "out-of-service"];

function when(ms: number): string {
  return dayOf(ms) === today() ? clock(ms) : dateTime(ms);
}

export function readyText(c: Chamber): string | null {
  if (c.ready_ms === null) return null;
  return c.ready_ms <= now() ? t("ui.chamber.ready-since", { when: when(c.ready_ms) }) : t("ui.chamber.ready-at", { when: when(c.ready_ms) });
}

/* The whole tile leads to the chamber; its numbers lie above and are asked. */
function Tile({ c }: { c: Chamber }) {
  const ready = readyText(c);
  return (
    <li class={`tile tile-${c.tone}`}>
      <span class="tile-head">
        <a href={`/chambers/${encodeURIComponent(c.place)}`} class="tile-link tile-name">{c.place}</a>
        {c.holds > 0 ? <State tone="stopped" text={t("ui.held")} /> : <Mark tone={c.tone} />}
      </span>
      {c.item ? <span class="tile-item">{c.item}</span> : null}
      {c.expected_low_mg !== null && c.expected_high_mg !== null ? (
        <Num value={massRange(c.expected_low_mg, c.expected_high_mg)} ask={{ title: t("ui.chamber.expected"), about: "expected", of: c.place }}>
          <span class="tile-figure">{massRange(c.expected_low_mg, c.expected_high_mg)}</span>
        </Num>
      ) : null}
      <span class="tile-row">
        {c.age_h !== null ? <Num plain value={hours(c.age_h)} ask={{ title: t("ui.chamber.age"), about: "seed", of: c.place }} /> : null}
        {c.temp_mc !== null ? <Num plain value={temperature(c.temp_mc)} ask={{ title: t("ui.chamber.temperature"), about: "logged", of: c.place }} /> : null}
      </span>
      {ready ? <Num plain value={ready} ask={{ title: t("ui.chamber.ready"), about: "ready", of: c.place }} /> : null}
      {c.later_days ? <span class="small">{c.reckoned}</span> : null}
    </li>
  );
}

export function Chambers() {
  const read = useRead<{ chambers: Chamber[] }>("/chambers");
  void tick.value;
  return (
    <article>
      <header class="page-head"><h1>{t("ui.place.chambers")}</h1></header>
      <Shown read={read}>
        {({ chambers }) => chambers.length === 0 ? (
          <Empty title={t("ui.chambers.empty")}><p>{t("ui.chambers.empty.do")}</p></Empty>
        ) : ORDER.map((state) => {
          const of = chambers.filter((c) => c.state === state);
          if (of.length === 0) return null;
          const isQuiet = state === "empty" || state === "out-of-service";
          return (
            <section key={state} class="tile-group">
              <h2>{tn(`ui.chambers.${state}`, of.length)}</h2>
              {isQuiet && of.length > 12 ? (
                <p class="tile-names">{of.map((c) => <a key={c.place} href={`/chambers/${encodeURIComponent(c.place)}`}>{c.place}</a>)}</p>
              ) : <ul class={isQuiet ? "tiles tiles-small" : "tiles"}>{of.map((c) => <Tile key={c.place} c={c} />)}</ul>}
            </section>
          );
        })}
      </Shown>
    </article>
  );
}

export function chamberState(c: Chamber): string {
  return word("chamber-state", c.state);
}
