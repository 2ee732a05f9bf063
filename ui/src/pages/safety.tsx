/* Safety: what is stopped, and what waits for a second pair of eyes. */
import { useState } from "preact/hooks";
import { useRead } from "../api/client";
import type { EntryRow, Hold } from "../api/types";
import { clock, dateTime, day } from "../base/format";
import { entryPath, lotPath, place, query } from "../base/route";
import { t, tn, word } from "../base/words";
import { Num } from "../parts/ask";
import { State } from "../parts/mark";
import { SignDialog } from "../parts/password";
import { Person } from "../parts/person";
import { Empty, Shown } from "../parts/read";
import { Said } from "../parts/said";
import { may, me } from "../shell/session";
import { LiftDialog, needsText } from "./lot_holds";
import { Board } from "./safety_board";

function Holds() {
  const open = place.value.query.get("holds") !== "all";
  const read = useRead<{ holds: Hold[] }>(`/holds${open ? "?open=true" : ""}`);
  const [lifting, setLifting] = useState<Hold | null>(null);
  return (
    <section id="holds">
      <h2>{t("ui.safety.holds")}</h2>
      <div class="choices" role="group" aria-label={t("ui.safety.holds")}>
        <button type="button" aria-pressed={open} onClick={() => query({ holds: "" })}>{t("ui.safety.open")}</button>
        <button type="button" aria-pressed={!open} onClick={() => query({ holds: "all" })}>{t("ui.every")}</button>
      </div>
      <Shown read={read}>
        {({ holds }) => holds.length === 0 ? <Empty title={t("ui.safety.holds.none")} /> : (
          <ul class="rows">
            {holds.map((h) => (
              <li key={h.hold} class="row-tall">
                <div>
                  <p><State tone={h.lifted_ms === null ? (h.kind === "laboratory" ? "waiting" : "stopped") : "done"} text={word("hold-kind", h.kind)} /> <span class="code">{h.hold}</span></p>
                  <p>{h.reason}</p>
                  <p class="small">
                    {h.lots.slice(0, 8).map((l) => <span key={l}><a href={lotPath(l)}>{l}</a> </span>)}
                    {h.lots.length > 8 ? <Num plain value={tn("ui.safety.more-lots", h.lots.length - 8)} ask={{ title: h.hold, about: "hold", of: h.hold }} /> : null}
                    {" · "}<Num plain value={tn("ui.safety.covers", h.covered)} ask={{ title: h.hold, about: "hold", of: h.hold }} /> · <Person n={h.by} />, {dateTime(h.placed_ms)}
                    {h.needs ? ` · ${needsText(h.needs)}` : ""}
                  </p>
                </div>
                {h.lifted_ms === null && may("lift") ? <button type="button" onClick={() => setLifting(h)}>{t("ui.hold.lift")}</button> : null}
              </li>
            ))}
          </ul>
        )}
      </Shown>
      {lifting ? <LiftDialog hold={lifting} story={[]} close={() => setLifting(null)} /> : null}
    </section>
  );
}

interface Batch {
  batch: string;
  entries: EntryRow[];
}

/* Nobody reviews what they recorded. */
function others(list: EntryRow[]): number[] {
  return list.filter((e) => e.by !== me.value?.person).map((e) => e.entry);
}

function BatchView({ batch, sign }: { batch: Batch; sign: () => void }) {
  const count = others(batch.entries).length;
  return (
    <section class="batch">
      <h3>{batch.batch} <Num plain value={tn("ui.entries", batch.entries.length)} ask={{ title: batch.batch, about: "entry", of: batch.entries.map((e) => e.entry) }} /></h3>
      <ul class="plain-list entries">
        {batch.entries.map((e) => (
          <li key={e.entry} class="entry-row">
            <a class="entry-n figure" href={entryPath(e.entry)}>{e.entry}</a>
            <span class="entry-when">{day(e.day)} {clock(e.at_ms)}</span>
            <p class="entry-text"><b>{e.title}.</b> <Said text={e.sentence} /> <span class="small">{e.name ?? e.by}</span></p>
          </li>
        ))}
      </ul>
      {may("review") && count > 0 ? (
        <div class="actions"><button type="button" class="act" onClick={sign}>{tn("ui.safety.review.do", count)}</button></div>
      ) : null}
    </section>
  );
}

function Review() {
  const read = useRead<{ batches: Batch[] }>("/review");
  const [signing, setSigning] = useState<{ batch: string; entries: number[] } | null>(null);
  return (
    <section id="review">
      <h2>{t("ui.safety.review")}</h2>
      <Shown read={read}>
        {({ batches }) => {
          const all = [...new Set(batches.flatMap((b) => others(b.entries)))].sort((a, b) => a - b);
          if (batches.length === 0) return <Empty title={t("ui.safety.review.none")} />;
          return (
            <>
              {may("review") && batches.length > 1 && all.length > 0 ? (
                <div class="actions">
                  <button type="button" onClick={() => setSigning({ batch: t("ui.safety.review.every"), entries: all })}>{tn("ui.safety.review.all", all.length)}</button>
                </div>
              ) : null}
              {batches.map((b) => <BatchView key={b.batch} batch={b} sign={() => setSigning({ batch: b.batch, entries: others(b.entries) })} />)}
            </>
          );
        }}
      </Shown>
      {signing ? (
        <SignDialog
          title={t("ui.safety.review.title", { batch: signing.batch })} verb={t("ui.safety.review.sign")} done={() => {}}
          close={() => setSigning(null)} commands={() => [{ kind: "review", entries: signing.entries }]}
        >
          <p class="read-back">{tn("ui.safety.review.read", signing.entries.length)}</p>
        </SignDialog>
      ) : null}
    </section>
  );
}

/* The rooms of this place. */
export function Rooms({ at }: { at: string }) {
  return (
    <nav class="room-tabs" aria-label={t("ui.safety.rooms")}>
      {["", "schedule", "samples", "water", "registers", "complaints"].map((room) => (
        <a key={room} href={room === "" ? "/safety" : `/safety/${room}`} aria-current={room === at ? "page" : undefined}>
          {t(`ui.safety.room.${room === "" ? "board" : room}`)}
        </a>
      ))}
    </nav>
  );
}

export function Safety() {
  return (
    <article>
      <header class="page-head"><h1>{t("ui.place.safety")}</h1></header>
      <Rooms at="" />
      <Board />
      <Holds />
      <Review />
    </article>
  );
}
