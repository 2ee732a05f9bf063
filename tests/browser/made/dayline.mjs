/* A made-up day on the lines: two families, a long clean between them, one truck late, one tight. */
import { DAY, NOW } from "./plant.mjs";

const MIN = 60000;
const MG = 1000000;
const START = Date.parse(`${DAY}T03:00:00Z`); /* four o'clock there */
const at = (h, m) => START + ((h - 4) * 60 + m) * MIN;

const STAGES = [["harvest", "Harvest", null, 20], ["wash", "Wash", "W-1", 21], ["trim", "Trim", "T-1", 24], ["sort", "Sort", "S-1", 26], ["cool", "Cool", null, 20], ["pack", "Pack", "P-1", 40]];
const JOBS = [["C-03", "MUNG", "mung", ["kitchens"]], ["C-14", "MUNG", "mung", ["retail"]], ["C-20", "URD", "mung", ["retail", "wholesale"]], ["C-09", "SOY", "soy", ["wholesale"]], ["C-21", "SOY", "soy", []]];

function sequence() {
  const stages = STAGES.map(([stage, title, place]) => ({ stage, title, room: stage === "cool", lines: [{ place, bars: [] }], work_min: 0, clean_min: 0, change_min: 0, idle_min: 12, source: "Practice of sprout houses" }));
  const free = STAGES.map(() => 0);
  const last = STAGES.map(() => null);
  const jobs = JOBS.map(([chamber, item, family, trucks]) => {
    let ready = at(6, 0);
    const runs = [];
    STAGES.forEach(([stage, , , minutes], k) => {
      if (stage === "trim" && item === "SOY") return;
      const row = stages[k];
      const bars = row.lines[0].bars;
      if (last[k] !== null && last[k] !== family && !row.room && stage !== "harvest") {
        for (const [kind, span] of [["clean", 30], ["change", 10]]) {
          bars.push({ kind, state: "planned", from_ms: free[k], to_ms: free[k] + span * MIN, chamber: null, item: null });
          row[`${kind}_min`] += span;
          free[k] += span * MIN;
        }
      }
      const from_ms = Math.max(ready, row.room ? 0 : free[k]);
      const to_ms = from_ms + minutes * MIN;
      const state = to_ms <= NOW ? "done" : from_ms <= NOW ? "going" : "planned";
      bars.push({ kind: "run", state, from_ms, to_ms, chamber, item });
      runs.push({ stage, from_ms, to_ms, begun: state !== "planned" });
      row.work_min += minutes;
      free[k] = to_ms;
      last[k] = family;
      ready = to_ms;
    });
    return { chamber, lot: `${item}-20772-${chamber.replace("-", "")}`, item, mg: 842 * MG, harvested: runs[0].begun, held: chamber === "C-21", family, allergens: family === "soy" ? ["soy"] : [], trucks, runs };
  });
  return { stages, jobs };
}

const truck = (name, h, m, slack, state, tone, sentence) => ({
  truck: name, cut_off_ms: at(h, m), ready_ms: slack === null ? null : at(h, m) - slack * MIN, slack_min: slack, state, tone, binds: slack === null ? null : "pack",
  wanted: 2400, stock: slack === null ? 0 : 300, lacking: 0, load_min: 30, source: "Practice of sprout houses", sentence,
});

export function dayline(day) {
  const empty = { day, known: true, start_ms: START, end_ms: START + 1440 * MIN, now_ms: null, stages: [], pauses: [], trucks: [], jobs: [], says: [], late_min: 0, setup_min: 0, ends_ms: null, bound_ms: null, closed: null };
  if (day !== DAY) return empty;
  return {
    ...empty, ...sequence(), now_ms: NOW, setup_min: 120, late_min: 25, ends_ms: at(12, 58), bound_ms: at(11, 20),
    pauses: [{ from_ms: at(9, 0), to_ms: at(9, 20) }, { from_ms: at(12, 0), to_ms: at(12, 30) }],
    trucks: [
      truck("kitchens", 10, 0, 19, "tight", "due", "Truck kitchens is ready 19 min before its cut-off at 10:00: that is tight. Pack binds: 62 min of the way."),
      truck("retail", 10, 30, -25, "late", "stopped", "Truck retail is 25 min late for its cut-off at 10:30. Pack binds: 102 min of the way."),
      truck("wholesale", 13, 30, 61, "in-time", "done", "Truck wholesale is ready 61 min before its cut-off at 13:30. Pack binds: 142 min of the way."),
      truck("export", 15, 0, null, "nothing", "waiting", "Truck export, cut-off 15:00: nothing of it comes from this day's chambers."),
    ],
    says: ["With the families in another order less would be late, for 85 min more of cleaning."],
  };
}
