/* Complaints of a year: those alike, against the packs that left, one by one. */
import { useRead } from "../api/client";
import type { Complaints } from "../api/types";
import { DASH, dateTime, day, number } from "../base/format";
import { entryPath, lotPath, recordPath } from "../base/route";
import { t, tn } from "../base/words";
import { NumHead } from "../parts/ask";
import { State } from "../parts/mark";
import { Person } from "../parts/person";
import { Empty, Shown } from "../parts/read";
import { may } from "../shell/session";
import { Rooms } from "./safety";

/* A share in millionths, per thousand packs. */
function perThousand(ppm: number): string {
  return number(ppm / 1000, 3, 0);
}

function Alike({ data }: { data: Complaints }) {
  return (
    <section id="alike">
      <h2>{t("ui.complaints.alike")}</h2>
      {data.alike.length === 0 ? <p>{t("ui.complaints.alike.none")}</p> : (
        <ul class="rows">
          {data.alike.map((a) => (
            <li key={`${a.item} ${a.complaint}`} class="row-tall">
              <div>
                <p><State tone={a.asks ? "stopped" : "due"} text={tn("ui.complaints.count", a.count)} /> <b>{t(`word.complaint.${a.complaint}`)}</b> {a.item}</p>
                <p class="small">{a.lots.map((l) => <span key={l}><a href={lotPath(l)}>{l}</a> </span>)}{a.asks ? t("ui.complaints.look") : ""}</p>
              </div>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

function Months({ data }: { data: Complaints }) {
  if (data.months.length === 0) return null;
  return (
    <section id="months">
      <h2>{t("ui.complaints.months")}</h2>
      <p class="small">{t("ui.complaints.how")}</p>
      <div class="wide-table" role="region" aria-label={t("ui.complaints.months")} tabIndex={0}>
        <table class="ledger">
          <thead>
            <tr>
              <th scope="col">{t("ui.swabs.month")}</th><th scope="col">{t("ui.complaints.item")}</th>
              {["number", "packs", "rate", "interval"].map((k) => <NumHead key={k} title={t(`ui.complaints.${k}`)} ask={{ how: t("ui.complaints.how"), calc: "hit-rate" }} />)}
            </tr>
          </thead>
          <tbody>
            {data.months.map((m) => (
              <tr key={`${m.month} ${m.item}`}>
                <th scope="row">{day(`${m.month}-01`, { month: "long", year: "numeric" })}</th><td>{m.item}</td>
                <td class="right figure">{number(m.complaints)}</td><td class="right figure">{number(m.packs)}</td>
                <td class="right figure">{m.rate_ppm === null ? "" : perThousand(m.rate_ppm)}</td>
                <td class="right figure">{m.low_ppm === null || m.high_ppm === null ? "" : `${perThousand(m.low_ppm)}${DASH}${perThousand(m.high_ppm)}`}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}

function All({ data }: { data: Complaints }) {
  return (
    <section id="complaints">
      <h2>{t("ui.complaints.all")}</h2>
      {data.complaints.length === 0 ? <Empty title={t("ui.complaints.none")} /> : (
        <ul class="rows">
          {data.complaints.map((c) => (
            <li key={c.entry} class="row-tall">
              <div>
                <p><State tone={c.complaint === "illness" ? "stopped" : "waiting"} text={t(`word.complaint.${c.complaint}`)} /> <a class="row-link" href={lotPath(c.lot)}>{c.lot}</a> {c.item}</p>
                <p>{c.what}</p>
                <p class="small"><a href={entryPath(c.entry)}>{dateTime(c.at_ms)}</a> <Person n={c.by} />{c.customer ? ` · ${c.customer}` : ""}{c.pieces ? ` · ${tn("ui.complaints.pieces", c.pieces)}` : ""}</p>
              </div>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

export function ComplaintsPage() {
  const read = useRead<Complaints>("/complaints");
  return (
    <article>
      <header class="page-head"><h1>{t("ui.complaints.title")}</h1></header>
      <Rooms at="complaints" />
      <div class="actions no-print">
        {may("record:complaint") ? <a class="act" href={recordPath("complaint", {})}>{t("ui.complaints.do")}</a> : null}
        <button type="button" onClick={() => print()}>{t("ui.schedule.print")}</button>
      </div>
      <Shown read={read}>
        {(data) => (
          <>
            <Alike data={data} />
            <Months data={data} />
            <All data={data} />
          </>
        )}
      </Shown>
    </article>
  );
}
