/* Says when the server can't be reached, what is not sent yet, and what needs a person. */
import { useState } from "preact/hooks";
import { reached, reached_ms, useRead } from "../api/client";
import type { Entry } from "../api/types";
import { now, tick } from "../base/clock";
import { clock, span } from "../base/format";
import { entryPath } from "../base/route";
import { t, tn } from "../base/words";
import { Dialog } from "../parts/dialog";
import { Mark } from "../parts/mark";
import { isLocal } from "./session";
import type { Aside } from "../offline/queue";
import { dropQueued, flushQueue, queued, sendAgain } from "./told";

/* What the house knows of one that was refused, and whether somebody has settled it there. */
function Known({ entry }: { entry: number }) {
  const by = useRead<Entry>(`/daybook/${entry}`).data?.aside?.settled_by ?? null;
  return by === null ? (
    <p class="small"><Mark tone="due" /> {t("ui.queue.known")} <a href={entryPath(entry)}>{t("ui.entry.n", { n: entry })}</a></p>
  ) : (
    <p class="small"><Mark tone="done" /> {t("ui.queue.known-settled")} <a href={entryPath(by)}>{t("ui.entry.n", { n: by })}</a></p>
  );
}

function Told({ aside }: { aside: Aside | undefined }) {
  if (aside?.state === "known" && aside.entry !== null) return <Known entry={aside.entry} />;
  if (aside?.state === "refused") return <p class="small"><Mark tone="stopped" /> {t("ui.queue.unknown-for-good")}</p>;
  return <p class="small"><Mark tone="waiting" /> {t("ui.queue.unknown")}</p>;
}

function QueueList({ close }: { close: () => void }) {
  void tick.value;
  return (
    <Dialog title={t("ui.queue.title")} close={close} wide>
      {queued.value.length === 0 ? <p>{t("ui.queue.empty")}</p> : null}
      <ul class="rows">
        {queued.value.map((item) => (
          <li key={item.seq} class="row-tall">
            <div>
              <p><b>{item.sentence}</b></p>
              <p class="small">
                {t("ui.queue.pressed", { time: clock(item.pressed_ms), age: span(now() - item.pressed_ms), n: item.seq })}
              </p>
              {item.problem ? (
                <>
                  <p class="note note-stopped"><Mark tone="stopped" /><span>{item.problem.detail}</span></p>
                  <Told aside={item.aside} />
                </>
              ) : (
                <p class="small"><Mark tone="waiting" /> {t("ui.queue.waiting")}</p>
              )}
            </div>
            {item.state === "needs-you" ? (
              <div class="actions">
                <button type="button" class="act" onClick={() => void sendAgain(item.seq)}>{t("ui.queue.again")}</button>
                <button type="button" onClick={() => void dropQueued(item.seq)}>{t("ui.queue.drop")}</button>
              </div>
            ) : null}
          </li>
        ))}
      </ul>
      <div class="actions">
        <button type="button" onClick={() => void flushQueue()}>{t("ui.queue.send")}</button>
      </div>
    </Dialog>
  );
}

export function Banner() {
  const [isOpen, setOpen] = useState(false);
  void tick.value;
  const waiting = queued.value.filter((x) => x.state === "waiting");
  const needs = queued.value.filter((x) => x.state === "needs-you");
  const isQuiet = reached.value && waiting.length === 0 && needs.length === 0 && !isLocal.value;
  const oldest = waiting[0];
  return (
    <>
      {isQuiet ? null : (
        <div class={`banner${needs.length > 0 ? " banner-stopped" : ""}`} role="status">
          <Mark tone={needs.length > 0 ? "stopped" : "waiting"} />
          <div class="banner-text">
            {reached.value ? null : <p>{t("ui.offline.banner", { age: span(now() - reached_ms.value) })}</p>}
            {waiting.length > 0 && oldest ? (
              <p><b>{tn("ui.queue.count", waiting.length)}</b> {t("ui.queue.oldest", { age: span(now() - oldest.pressed_ms) })}</p>
            ) : null}
            {needs.length > 0 ? <p><b>{tn("ui.queue.needs", needs.length)}</b></p> : null}
            {isLocal.value ? <p>{t("ui.pin.local")}</p> : null}
          </div>
          {queued.value.length > 0 ? (
            <button type="button" onClick={() => setOpen(true)}>{t("ui.queue.look")}</button>
          ) : null}
        </div>
      )}
      {isOpen ? <QueueList close={() => setOpen(false)} /> : null}
    </>
  );
}
