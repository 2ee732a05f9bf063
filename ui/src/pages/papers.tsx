/* Papers: the sheets of a shift, and the balance of every kilogram. */
import { useRead } from "../api/client";
import type { Balance } from "../api/types";
import { amount, dateTime, dayLong, mass, number, percent } from "../base/format";
import { entryPath, lotPath } from "../base/route";
import { t, word } from "../base/words";
import { Num } from "../parts/ask";
import { State } from "../parts/mark";
import { Shown } from "../parts/read";
import { isNow, shown } from "../shell/day";
import { me, shiftNow } from "../shell/session";

const SHEETS = ["soak", "harvest", "checks", "weights", "day", "doses"];

function SheetLinks({ query }: { query: string }) {
  return <ul class="step-list">{SHEETS.map((s) => <li key={s}><a class="step-link" href={`/api/v1/sheets/${s}.pdf?${query}`} target="_blank">{t(`ui.sheet.${s}`)}</a></li>)}</ul>;
}

function BalanceView({ b }: { b: Balance }) {
  return (
    <>
      <div class="wide-table" role="region" aria-label={t("ui.papers.steps")} tabIndex={0}>
        <table class="ledger">
          <thead><tr><th scope="col">{t("ui.kind")}</th><th scope="col" class="right">{t("ui.papers.entries")}</th><th scope="col" class="right">{t("ui.papers.in")}</th><th scope="col" class="right">{t("ui.papers.out")}</th><th scope="col" class="right">{t("ui.papers.difference")}</th><th scope="col">{t("ui.state")}</th></tr></thead>
          <tbody>
            {b.steps.map((s) => {
              const off = s.in_mg - s.out_mg;
              const isOver = s.tolerance_ppm !== null && Math.abs(off) * 1e6 > s.in_mg * s.tolerance_ppm;
              return (
                <tr key={s.step}>
                  <th scope="row">{word("kind", s.step)}</th>
                  <td class="right"><Num plain value={number(s.entries)} ask={{ title: word("kind", s.step), about: "step", of: s.step }} /></td>
                  <td class="right"><Num plain value={mass(s.in_mg)} ask={{ title: `${word("kind", s.step)}, ${t("ui.papers.in")}`, about: "step", of: s.step, with: "in" }} /></td>
                  <td class="right"><Num plain value={mass(s.out_mg)} ask={{ title: `${word("kind", s.step)}, ${t("ui.papers.out")}`, about: "step", of: s.step, with: "out" }} /></td>
                  <td class="right">
                    <Num plain value={mass(off)} ask={{ title: word("kind", s.step), how: t("ui.papers.difference.how"), inputs: [{ name: t("ui.papers.in"), value: mass(s.in_mg) }, { name: t("ui.papers.out"), value: mass(s.out_mg) }, ...(s.tolerance_ppm !== null ? [{ name: t("ui.papers.tolerance"), value: percent(s.tolerance_ppm) }] : [])], about: "step", of: s.step }} />
                  </td>
                  <td>{s.tolerance_ppm === null ? "–" : <State tone={isOver ? "due" : "done"} text={t(isOver ? "ui.papers.over" : "ui.papers.within")} />}</td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
      <h3>{t("ui.papers.accounts")}</h3>
      <dl class="figures">{b.accounts.map((a) => <div key={`${a.account} ${a.unit}`}><dt>{word("account", a.account)}</dt><dd><Num value={amount(a.amount, a.unit)} ask={{ title: word("account", a.account), about: "account", of: a.account, with: a.unit }} /></dd></div>)}</dl>
      <h3>{t("ui.papers.owed")}</h3>
      {b.owed.length === 0 ? <p>{t("ui.papers.owed.none")}</p> : (
        <ul class="rows">{b.owed.map((o) => <li key={`${o.lot} ${o.entry}`}><a href={lotPath(o.lot)}>{o.lot}</a> <Num plain value={amount(o.amount, o.unit)} ask={{ title: o.lot, about: "owed", of: o.lot, with: o.unit }} /> {dateTime(o.at_ms)} <a href={entryPath(o.entry)}>{t("ui.entry.n", { n: o.entry })}</a></li>)}</ul>
      )}
    </>
  );
}

export function Papers() {
  const read = useRead<Balance>("/balance");
  return (
    <article>
      <header class="page-head">
        <h1>{t("ui.place.papers")}</h1>
        <a class="button no-print" href="/papers/files">{t("ui.files.title")}</a>
      </header>
      <section class="no-print">
        <h2>{t("ui.papers.sheets", { day: dayLong(shown.value) })}</h2>
        <p>{t("ui.papers.sheets.lead")}</p>
        <SheetLinks query={`day=${shown.value}`} />
        {me.value?.shift && isNow.value ? (
          <>
            <h3>{shiftNow()}</h3>
            <SheetLinks query={`day=${me.value.shift.day}&shift=${me.value.shift.name}`} />
          </>
        ) : null}
      </section>
      <section>
        <h2>{t("ui.papers.balance")}</h2>
        <Shown read={read}>{(b) => <BalanceView b={b} />}</Shown>
      </section>
    </article>
  );
}
