/* What is stopped, in large words on a shared screen at which nobody has stepped up. No person stands in it. */
import { useEffect } from "preact/hooks";
import { reached, reached_ms } from "../api/client";
import { clock } from "../base/format";
import { t } from "../base/words";
import { Mark } from "../parts/mark";
import { lookAgain, me } from "../shell/session";

const AGAIN_MS = 15000;

export function Stops() {
  useEffect(() => {
    const timer = setInterval(() => void lookAgain(), AGAIN_MS);
    return () => clearInterval(timer);
  }, []);
  const stops = me.value?.stops ?? [];
  if (stops.length === 0) return null;
  return (
    <section class="idle-stops" role="alert" aria-label={t("ui.stops")}>
      {stops.map((s) => (
        <div key={`${s.of} ${s.place}`} class="idle-stop">
          <Mark tone="stopped" big />
          <div>
            <p class="idle-stop-what">{t(`ui.stops.${s.of}`, { place: s.place })}</p>
            <p>{t("ui.stops.why", { why: s.why, time: clock(s.since_ms) })}</p>
          </div>
        </div>
      ))}
      {reached.value ? null : <p>{t("ui.stops.known", { time: clock(reached_ms.value) })}</p>}
    </section>
  );
}
