/* Lines: in which order the chambers of a day go through them, and how each truck stands. */
import { useRead } from "../api/client";
import type { Dayline } from "../api/types";
import { clock, dayLong, mass, minutes, number } from "../base/format";
import { lotPath } from "../base/route";
import { t, tn } from "../base/words";
import { Num, type Question } from "../parts/ask";
import { Mark, State } from "../parts/mark";
import { Empty, Shown } from "../parts/read";
import { DayKey, DayPicture } from "../plan/minutes_draw";
import { shown } from "../shell/day";

type Job = Dayline["jobs"][number];
type Stage = Dayline["stages"][number];

function Trucks({ day }: { day: Dayline }) {
  return (
    <section>
      <h2>{t("ui.lines.trucks")}</h2>
      {day.trucks.length === 0 ? <p>{t("ui.lines.trucks.none")}</p> : (
        <ul class="rows">
          {day.trucks.map((x) => (
            <li key={x.truck} class="row-tall">
              <State tone={x.tone} text={t(`ui.lines.truck.${x.state}`)} />
              <p>{x.sentence}</p>
              <p class="right">
                {x.slack_min === null ? null : (
                  <Num
                    value={minutes(x.slack_min)}
                    ask={{
                      title: `${x.truck}, ${clock(x.cut_off_ms)}`, how: t("ui.lines.slack.how", { source: x.source }),
                      inputs: [
                        { name: t("ui.lines.cut-off"), value: clock(x.cut_off_ms) }, { name: t("ui.lines.ready"), value: x.ready_ms === null ? "–" : clock(x.ready_ms) },
                        { name: t("ui.lines.load"), value: number(x.load_min) }, { name: t("ui.orders.wanted"), value: number(x.wanted) },
                        { name: t("ui.orders.there"), value: number(x.stock) }, { name: t("ui.orders.lacking"), value: number(x.lacking) },
                      ],
                    }}
                  />
                )}
              </p>
            </li>
          ))}
        </ul>
      )}
      {day.closed ? <p class="note note-waiting"><Mark tone="waiting" /><span>{day.closed.sentence}</span></p> : null}
      {day.says.map((s) => <p key={s} class="note note-waiting"><Mark tone="waiting" /><span>{s}</span></p>)}
    </section>
  );
}

function massAsk(job: Job): Question {
  const title = `${job.chamber}, ${job.item}`;
  if (job.harvested) return { title, how: t("ui.lines.harvested.how") };
  return job.lot ? { title, about: "expected", of: job.chamber } : { title, how: t("ui.lines.planned.how"), calc: "mass-chain" };
}

/* On two lines where there is little room. */
function Span({ job, stage }: { job: Job; stage: string }) {
  const run = job.runs.find((r) => r.stage === stage);
  return run ? <span>{clock(run.from_ms)}–<wbr />{clock(run.to_ms)}</span> : <span>–</span>;
}

function Sequence({ day }: { day: Dayline }) {
  return (
    <section>
      <h2>{t("ui.lines.sequence")}</h2>
      <div class="wide-table" role="region" aria-label={t("ui.lines.sequence")} tabIndex={0}>
        <table class="ledger ledger-cards">
          <thead>
            <tr>
              <th scope="col">{t("ui.chamber")}</th><th scope="col">{t("ui.item")}</th><th scope="col" class="right">{t("ui.lines.mass")}</th><th scope="col">{t("ui.lines.for")}</th>
              {day.stages.map((s) => <th scope="col" key={s.stage}>{s.title}</th>)}
            </tr>
          </thead>
          <tbody>
            {day.jobs.map((job, i) => (
              <tr key={`${i} ${job.chamber}`}>
                <th scope="row"><span class="as-one">{`${number(i + 1)}. `}{job.lot ? <a href={lotPath(job.lot)}>{job.chamber}</a> : job.chamber}</span>{job.held ? <><br /><State tone="stopped" text={t("ui.lines.held")} /></> : null}</th>
                <td data-name={t("ui.item")}>{job.item}{job.allergens.length > 0 ? <><br /><span class="small">{t("ui.lines.allergens", { list: job.allergens.join(", ") })}</span></> : null}</td>
                <td data-name={t("ui.lines.mass")} class="right"><Num plain value={mass(job.mg)} ask={massAsk(job)} /></td>
                <td data-name={t("ui.lines.for")}>{job.trucks.length > 0 ? job.trucks.join(", ") : "–"}</td>
                {day.stages.map((s) => <td key={s.stage} data-name={s.title} class="day-span"><Span job={job} stage={s.stage} /></td>)}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}

function minutesAsk(stage: Stage, what: string): Question {
  return {
    title: `${stage.title}, ${what}`, how: t("ui.lines.minutes.how", { source: stage.source }),
    inputs: (["work", "clean", "change", "idle"] as const).map((k) => ({ name: t(`ui.lines.${k}`), value: number(stage[`${k}_min`]) })),
  };
}

function Use({ day }: { day: Dayline }) {
  const lines = day.stages.filter((s) => !s.room);
  return (
    <details class="chart-table no-print">
      <summary>{t("ui.lines.use")}</summary>
      <div class="wide-table" role="region" aria-label={t("ui.lines.use")} tabIndex={0}>
        <table class="ledger">
          <thead><tr><th scope="col">{t("ui.lines.stage")}</th><th scope="col" class="right">{t("ui.lines.work")}</th><th scope="col" class="right">{t("ui.lines.clean")}</th><th scope="col" class="right">{t("ui.lines.change")}</th><th scope="col" class="right">{t("ui.lines.idle")}</th></tr></thead>
          <tbody>
            {lines.map((s) => (
              <tr key={s.stage}>
                <th scope="row">{s.title}</th>
                {(["work", "clean", "change", "idle"] as const).map((k) => (
                  <td key={k} class="right"><Num plain value={number(s[`${k}_min`])} ask={minutesAsk(s, t(`ui.lines.${k}`))} /></td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  );
}

function View({ day }: { day: Dayline }) {
  if (!day.known) return <Empty title={t("ui.lines.unknown")}><p>{t("ui.lines.unknown.do")}</p></Empty>;
  if (day.jobs.length === 0) {
    return (
      <>
        <Empty title={t("ui.lines.none")}><p>{t("ui.lines.none.do")}</p></Empty>
        <Trucks day={day} />
      </>
    );
  }
  return (
    <>
      <p class="lead">
        {tn("ui.lines.sums", day.jobs.length, { setup: minutes(day.setup_min), end: clock(day.ends_ms ?? day.end_ms), bound: clock(day.bound_ms ?? day.end_ms) })}
      </p>
      <DayKey />
      <DayPicture day={day} label={t("ui.lines.picture")} />
      <Trucks day={day} />
      <Sequence day={day} />
      <Use day={day} />
    </>
  );
}

export function LinesPage() {
  const of = shown.value;
  const read = useRead<Dayline>(`/plan/day?day=${of}`);
  return (
    <article class="dayline">
      <header class="page-head">
        <h1>{t("ui.lines.title", { day: dayLong(of) })}</h1>
        <span class="actions no-print">
          <a class="button" href="/plan">{t("ui.place.plan")}</a>
          <a class="button" href={`/api/v1/sheets/day.pdf?day=${of}`} target="_blank">{t("ui.sheet.day")}</a>
        </span>
      </header>
      <Shown read={read}>{(day) => <View key={day.day} day={day} />}</Shown>
    </article>
  );
}
