/* The lines of a lot's story, newest at the bottom, and its balance. */
import { useState } from "preact/hooks";
import type { BalanceLine, Lot, StoryLine } from "../api/types";
import { amount, clock, day, dayOf, mass } from "../base/format";
import { entryPath, lotPath } from "../base/route";
import { t, word } from "../base/words";
import { AskSentence, Num } from "../parts/ask";
import { Mark } from "../parts/mark";
import { Person } from "../parts/person";
import { Said } from "../parts/said";
import { may } from "../shell/session";
import { CorrectDialog } from "./correct";

function Line({ line, of, correct }: { line: StoryLine; of: string; correct: (l: StoryLine) => void }) {
  const others = line.lots.filter((l) => l !== of);
  return (
    <li class={`story-line story-${line.side}${line.struck_by !== null ? " struck" : ""}`}>
      <p class="story-when">{clock(line.at_ms)}</p>
      <div class="story-text">
        <p class="story-sentence">
          <b>{line.title}.</b> <Said text={line.sentence} />{line.mg === null ? <> <AskSentence text={line.sentence} ask={{ about: "entry", of: line.entry }} /></> : null}
          {line.mg !== null ? <> <Num plain value={mass(line.mg)} ask={{ title: line.title, about: "entry", of: line.entry }} /></> : null}
        </p>
        {line.deviations.map((d) => <p key={d} class="note note-due"><Mark tone="due" /><span>{d}</span></p>)}
        <p class="small">
          <Person n={line.by} />
          {line.place ? ` · ${line.place}` : ""}
          {others.length > 0 ? <> · {others.slice(0, 6).map((l) => <span key={l}> <a href={lotPath(l)}>{l}</a></span>)}</> : null}
          {" · "}<a href={entryPath(line.entry)}>{t("ui.entry.n", { n: line.entry })}</a>
          {line.struck_by !== null ? <> · <a href={entryPath(line.struck_by)}>{t("ui.story.struck", { n: line.struck_by })}</a></> : null}
          {line.struck_by === null && may("strike") ? (
            <> · <button type="button" class="plain" onClick={() => correct(line)}>{t("ui.correct")}</button></>
          ) : null}
        </p>
      </div>
    </li>
  );
}

export function Story({ lot }: { lot: Lot }) {
  const [correcting, setCorrecting] = useState<StoryLine | null>(null);
  const days: { day: string; lines: StoryLine[] }[] = [];
  for (const line of lot.story) {
    const of = dayOf(line.at_ms);
    const last = days[days.length - 1];
    if (last && last.day === of) last.lines.push(line);
    else days.push({ day: of, lines: [line] });
  }
  return (
    <section class="story">
      <h2>{t("ui.story.title")}</h2>
      {days.map((d) => (
        <section key={d.day} class="story-day">
          <h3>{day(d.day)}</h3>
          <ol class="plain-list">
            {d.lines.map((line) => <Line key={`${line.entry} ${line.side}`} line={line} of={lot.lot} correct={setCorrecting} />)}
          </ol>
        </section>
      ))}
      {correcting ? <CorrectDialog entry={correcting.entry} sentence={correcting.sentence} close={() => setCorrecting(null)} /> : null}
    </section>
  );
}

function Row({ line }: { line: BalanceLine }) {
  const how = word("how", line.how);
  const about = line.uncertainty ?? 0;
  const value = line.unit === "mg" ? mass(line.amount, about) : amount(line.amount, line.unit);
  const inputs = [{ name: t("ui.balance.how"), value: how }];
  if (line.instrument) inputs.push({ name: t("ui.balance.instrument"), value: line.instrument });
  if (about > 0) inputs.push({ name: t("ui.balance.uncertainty"), value: `± ${amount(about, line.unit)}` });
  return (
    <tr>
      <td>{word("kind", line.kind)}<br /><span class="small">{how}</span></td>
      <td class="right"><Num plain value={line.amount > 0 ? `+${value}` : value} ask={{ title: word("kind", line.kind), inputs, about: "entry", of: line.entry }} /></td>
    </tr>
  );
}

export function BalanceTable({ lot }: { lot: Lot }) {
  return (
    <aside class="balance">
      <h2>{t("ui.balance.title")}</h2>
      <table class="ledger">
        <thead><tr><th scope="col">{t("ui.balance.what")}</th><th scope="col" class="right">{t("ui.amount")}</th></tr></thead>
        <tbody>{lot.balance.map((line, i) => <Row key={i} line={line} />)}</tbody>
        <tfoot>
          <tr><th scope="row">{t("ui.balance.here")}</th><td class="right"><Num plain value={mass(lot.mg)} ask={{ title: t("ui.balance.here"), about: "amount", of: lot.lot, with: "mg" }} /></td></tr>
          {lot.dry.in_mg !== null ? <tr><th scope="row">{t("ui.balance.dry-in")}</th><td class="right"><Num plain value={mass(lot.dry.in_mg)} ask={{ title: t("ui.balance.dry-in"), about: "dry", of: lot.lot }} /></td></tr> : null}
          {lot.dry.out_mg !== null ? <tr><th scope="row">{t("ui.balance.dry-out")}</th><td class="right"><Num plain value={mass(lot.dry.out_mg)} ask={{ title: t("ui.balance.dry-out"), about: "dry", of: lot.lot }} /></td></tr> : null}
        </tfoot>
      </table>
    </aside>
  );
}
