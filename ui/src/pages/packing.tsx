/* Packing: what runs, which checks are due, what the last runs gave, and what of it is stopped. */
import { useRead } from "../api/client";
import type { LineCheck, PackedLot, Packing as PackingAnswer, PackLine, PackRun } from "../api/types";
import { dateTime, mass, number, percent, THIN } from "../base/format";
import { entryPath, lotPath } from "../base/route";
import { t, word } from "../base/words";
import { Num } from "../parts/ask";
import { Ledger, right } from "../parts/ledger";
import { State } from "../parts/mark";
import { Empty, Shown } from "../parts/read";
import { may } from "../shell/session";

/* Of one pack: a tenth of a gram tells giveaway. */
function net(mg: number): string {
  return `${number(mg / 1000, 1, 0)}${THIN}g`;
}

function checkPath(line: PackLine, c: LineCheck): string {
  const q = new URLSearchParams(c.instrument ? { instrument: c.instrument } : { place: line.place });
  return `/record/${c.kind}?${q.toString()}`;
}

function CheckRow({ line, c }: { line: PackLine; c: LineCheck }) {
  const when = c.due_ms !== null ? t("ui.packing.until", { when: dateTime(c.due_ms) }) : c.at_ms !== null ? dateTime(c.at_ms) : "";
  return (
    <li class="row-tall">
      <div>
        <p><State tone={c.tone} text={word("check-state", c.state)} /> <b>{c.title}</b> {c.instrument ? <span class="code">{c.instrument}</span> : null}</p>
        <p class="small">{when}{c.entry !== null ? <> · <a href={entryPath(c.entry)}>{t("ui.entry.n", { n: c.entry })}</a></> : null}</p>
      </div>
      {may(`record:${c.kind}`) ? <a class={c.state === "due" || c.state === "bad" ? "act" : "button"} href={checkPath(line, c)}>{t("ui.packing.check")}</a> : null}
    </li>
  );
}

function LineView({ line }: { line: PackLine }) {
  const acts = line.run ? ["pack", "run-end"] : ["run-start", "pack"];
  return (
    <section class="pack-line">
      <h2>{line.place} <State tone={line.run ? "due" : "waiting"} text={line.run ? t("ui.packing.runs", { run: line.run }) : t(line.in_service ? "ui.packing.still" : "ui.packing.out")} /></h2>
      <div class="actions no-print">
        {acts.filter((a) => line.in_service && may(`record:${a}`)).map((a, i) => (
          <a key={a} class={i === 0 ? "act" : "button"} href={`/record/${a}?${new URLSearchParams(a === "run-end" && line.run ? { run: line.run } : { place: line.place }).toString()}`}>{word("kind", a)}</a>
        ))}
      </div>
      <ul class="rows">{line.checks.map((c) => <CheckRow key={`${c.kind} ${c.instrument ?? ""}`} line={line} c={c} />)}</ul>
    </section>
  );
}

function RunRow({ r }: { r: PackRun }) {
  const asked = (title: string) => ({ title: `${title}, ${r.run}`, about: "run", of: r.run, with: "out" });
  return (
    <tr>
      <th scope="row">{r.run}<br /><span class="small">{r.place} · {r.family}</span></th>
      <td data-name={t("ui.time")}>{dateTime(r.start_ms)}{r.end_ms !== null ? ` – ${dateTime(r.end_ms)}` : <><br /><State tone="due" text={t("ui.packing.open")} /></>}</td>
      <td data-name={t("ui.lot.cases")} class="right"><Num plain value={number(r.cases)} ask={asked(t("ui.lot.cases"))} /></td>
      <td data-name={t("ui.packs")} class="right"><Num plain value={number(r.pieces)} ask={asked(t("ui.packs"))} /></td>
      <td data-name={t("ui.packing.mean")} class="right" data-empty={r.mean_net_mg === null ? true : undefined}>{r.mean_net_mg !== null ? <Num plain value={net(r.mean_net_mg)} ask={{ ...asked(t("ui.packing.mean")), how: t("ui.packing.run.how") }} /> : "–"}</td>
      <td data-name={t("ui.packing.giveaway")} class="right">
        <Num plain value={r.giveaway_ppm !== null ? `${mass(r.giveaway_mg)} · ${percent(r.giveaway_ppm)}` : mass(r.giveaway_mg)} ask={{ ...asked(t("ui.packing.giveaway")), how: t("ui.packing.run.how") }} />
      </td>
    </tr>
  );
}

function LotRow({ l }: { l: PackedLot }) {
  const asked = (title: string, which: string) => ({ title: `${title}, ${l.lot}`, about: "packed", of: l.lot, with: which });
  return (
    <tr>
      <th scope="row"><a class="row-link" href={lotPath(l.lot)}>{l.lot}</a></th>
      <td><State tone={l.tone} text={word("lot-state", l.state)} /></td>
      <td data-name={t("ui.item")}>{l.item}</td>
      <td data-name={t("ui.time")}>{dateTime(l.at_ms)}</td>
      <td data-name={t("ui.lot.cases")} class="right"><Num plain value={number(l.cases)} ask={{ title: `${t("ui.lot.cases")}, ${l.lot}`, about: "cases", of: l.lot }} /></td>
      <td data-name={t("ui.packs")} class="right"><Num plain value={number(l.pieces)} ask={asked(t("ui.packs"), "pc")} /></td>
      <td data-name={t("ui.packing.mean")} class="right"><Num plain value={t("ui.packing.of", { mean: net(l.mean_net_mg), declared: net(l.declared_mg) })} ask={asked(t("ui.packing.mean"), "mean")} /></td>
      <td data-name={t("ui.packing.giveaway")} class="right"><Num plain value={mass(l.giveaway_mg)} ask={asked(t("ui.packing.giveaway"), "giveaway")} /></td>
      <td data-name={t("ui.packing.label")}>
        {l.label.entry !== null ? <a href={entryPath(l.label.entry)}><State tone={l.label.tone} text={word("check-state", l.label.state)} /></a>
          : may("record:label-check") ? <a class="button" href={`/record/label-check?lot=${encodeURIComponent(l.lot)}`}>{t("ui.packing.check")}</a> : <State tone={l.label.tone} text={word("check-state", l.label.state)} />}
      </td>
    </tr>
  );
}

function Lots({ title, lots }: { title: string; lots: PackedLot[] }) {
  return (
    <section>
      <h2>{title}</h2>
      <Ledger label={title} heads={[t("ui.lot"), t("ui.state"), t("ui.item"), t("ui.time"), right(t("ui.lot.cases")), right(t("ui.packs")), right(t("ui.packing.mean")), right(t("ui.packing.giveaway")), t("ui.packing.label")]}>
        {lots.map((l) => <LotRow key={`${l.lot} ${l.entry}`} l={l} />)}
      </Ledger>
    </section>
  );
}

function View({ p }: { p: PackingAnswer }) {
  const held = p.lots.filter((l) => l.holds > 0);
  return (
    <>
      {p.lines.length === 0 ? <Empty title={t("ui.packing.none")}><p>{t("ui.packing.none.do")}</p></Empty> : <div class="pack-lines">{p.lines.map((l) => <LineView key={l.place} line={l} />)}</div>}
      {held.length > 0 ? <Lots title={t("ui.packing.held")} lots={held} /> : null}
      {p.runs.length > 0 ? (
        <section>
          <h2>{t("ui.packing.last")}</h2>
          <Ledger label={t("ui.packing.last")} heads={[t("ui.packing.run"), t("ui.time"), right(t("ui.lot.cases")), right(t("ui.packs")), right(t("ui.packing.mean")), right(t("ui.packing.giveaway"))]}>
            {p.runs.map((r) => <RunRow key={r.run} r={r} />)}
          </Ledger>
        </section>
      ) : null}
      {p.lots.length > held.length ? <Lots title={t("ui.packing.lots")} lots={p.lots.filter((l) => l.holds === 0)} /> : null}
    </>
  );
}

export function Packing() {
  const read = useRead<PackingAnswer>("/packing");
  return (
    <article>
      <header class="page-head"><h1>{t("ui.place.packing")}</h1></header>
      <Shown read={read}>{(p) => <View p={p} />}</Shown>
    </article>
  );
}
