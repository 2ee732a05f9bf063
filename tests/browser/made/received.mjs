/* A made-up house that receives fruit: its plan in force, short and over a limit here and there, and a new one beside it. */
import { addDays, DAY, NOW } from "./plant.mjs";

const N = 14;
const all = (make) => Array.from({ length: N }, (_, i) => make(addDays(DAY, i), i));
const flow = (day, act, good, g, more = {}) => ({ day, act, good, use: null, of: null, g, ...more });

function flows(day, i) {
  const fruit = i % 3 === 0 ? 4000000 : 1500000;
  if (i % 7 === 5) return [flow(day, "sold", "boxes", 800000)];
  return [
    flow(day, "comes", "limes of HESPERIDIUM-1", fruit, { of: "HESPERIDIUM-1" }), ...(i === 4 ? [flow(day, "turned", "limes", 900000, { of: "growers" }), flow(day, "bought", "limes", 650000, { of: "market" })] : []),
    flow(day, "used", "limes of HESPERIDIUM-1", fruit, { use: "sort HESPERIDIUM-1" }), flow(day, "made", "firsts", fruit * 0.44, { use: "sort HESPERIDIUM-1" }), flow(day, "made", "juicing fruit", fruit * 0.18, { use: "sort HESPERIDIUM-1" }),
    flow(day, "used", "firsts", 1212121, { use: "pack boxes" }), flow(day, "made", "boxes", 1200000, { use: "pack boxes" }),
    flow(day, "used", "juicing fruit", 700000, { use: "press" }), flow(day, "made", "raw juice", 294000, { use: "press" }), flow(day, "made", "feed", 350000, { use: "press" }),
    flow(day, "leaves", "feed", 350000), flow(day, "sold", "boxes", 1200000),
  ];
}

const store = (name, unit, tanks, levels, limit) => ({
  store: name, unit, tanks, days: all((day, i) => ({ day, level_milli: levels(i), limit_milli: limit, tanks: tanks === null ? null : Math.min(tanks, Math.ceil(levels(i) / 1000000)) })),
});
const machine = (name, used, limit) => ({ machine: name, days: all((day, i) => (i % 7 === 5 ? { day, used_min: 0, limit_min: 0 } : { day, used_min: used(i), limit_min: limit })) });

const care = {
  level_milli: 1500, tried: true, futures: 400, cost: 4380, told_cost: 5120, saved: 740, saved_error: 62, short_g: 612000, told_short_g: 1480000, left_g: 2100000, told_left_g: 1640000,
  sentence: "It counts on 1.5 standard deviations less of shares and deliveries than is expected: in 400 futures that costs 4380 instead of 5120.",
};

function plan(met, isNew) {
  const item = (i) => (i % 2 ? "LIME-BOTTLE" : "LIME-BOX");
  const supply = all((day, i) => ({ day, item: item(i), pieces: Math.min(met(i), 400 + 300 * i), booked: Math.max(0, 400 + 300 * i - 200 * Math.max(0, i - 5)), forecast: 200 * Math.max(0, i - 5), short: Math.max(0, 400 + 300 * i - met(i)) }));
  const short = supply.filter((s) => s.short > 0);
  const sum = (list, name) => list.reduce((n, x) => n + x[name], 0);
  const list = all(flows).flat();
  const of = (act) => sum(list.filter((f) => f.act === act), "g");
  return {
    kind: "received", first_day: DAY, days: N, flows: list,
    coming: list.filter((f) => f.act === "comes").map((f, i) => ({ day: f.day, good: f.good, of: f.of, booked: i % 2 === 0, g: f.g, turned_g: i === 3 ? 900000 : 0 })),
    buy: isNew ? [{ offer: "market", good: "limes", day: addDays(DAY, 4), order_by: addDays(DAY, 2), g: 650000, cost: 715, sentence: `Buy 650 kg of limes from market: order by ${addDays(DAY, 2)}, it comes on ${addDays(DAY, 4)}.` }] : [],
    stores: [
      store("cold rooms", "kg", null, (i) => 3000000 + 1100000 * (i % 9), 12000000), store("tanks", "L", 3, (i) => (i === 6 ? 3600000 : 900000 + 200000 * i), 3500000), store("dry store", "kg", null, (i) => 400000 * i, null),
    ],
    machines: [machine("sorting", (i) => 200 + 30 * i, 840), machine("packing of boxes and nets", (i) => (i === 3 ? 840 : 500), 840), machine("press", (i) => 60 * (i % 5), 600)],
    supply, demand: [], orders: supply.filter((s) => s.booked > 0).map((s, i) => ({ order: `4${i}-1`, item: s.item, group: "retail, market house", day: s.day, pieces: s.booked, met: Math.min(s.booked, s.pieces) })),
    shorts: short.map((s, i) => ({
      order: i === 0 ? "47-1" : null, item: s.item, group: "retail, market house", day: s.day, pieces: s.short, limit: "machine", which: "packing of boxes and nets", also: [], forecast: i > 0,
      sentence: `${s.item} for retail, market house on ${s.day}: ${s.short} pieces short, because packing of boxes and nets: no hours left.`,
    })),
    gains: isNew ? [{ limit: "machine", which: "packing of boxes and nets", step_milli: 1000, unit: "h", saved: 840, met_g: 420000, sentence: "1 h more of packing of boxes and nets every day it works: 420 kg more are sold, 840 less cost." }] : [],
    sums: { wanted: sum(supply, "booked") + sum(supply, "forecast"), met: sum(supply, "pieces"), booked: sum(supply, "booked"), booked_met: sum(supply, "pieces"), short_orders: short.length, bought_g: of("bought"), turned_g: of("turned"), left_g: of("leaves"), sold_g: of("sold"), cost: isNew ? 4210.5 : 9933 },
    closed: [{ day: addDays(DAY, 5), what: ["harvest", "pack"], reason: "a holiday", sentence: `${addDays(DAY, 5)}: no work on fruit, nothing is packed, because of a holiday.` }],
    counted: [
      { use: "sort HESPERIDIUM-1", days: 23, by_record: true, parts: [{ good: "firsts", ppm: 415000, told_ppm: 440000 }], sentence: "sort HESPERIDIUM-1: firsts 41.5 % (44 % in the profile), by 23 days of work." },
      { use: "press", days: 2, by_record: false, parts: [{ good: "juice", ppm: 420000, told_ppm: 420000 }], sentence: "press: juice 42 %, by the profile, since the record has 2 days of work." },
    ],
    cost: isNew ? 4210.5 : 9933, by_solver: isNew, solver: "ok", ...(isNew ? { bound: 4190, gap: 0.0049, care } : {}),
  };
}

const percentOf = (ppm) => Math.round(ppm / 1e4);

/* As sure as a day is near. */
function chanceOf(next) {
  const met = (i) => Math.max(40000, 990000 - 90000 * i);
  const word = (ppm) => (ppm >= 950000 ? "certain" : ppm >= 800000 ? "likely" : ppm >= 500000 ? "open" : ppm >= 200000 ? "doubtful" : "unlikely");
  const say = (i) => ({ met_ppm: met(i), share_ppm: Math.min(1000000, met(i) + 60000), word: word(met(i)), sentence: `${word(met(i))}: ${percentOf(met(i))} %` });
  const lines = next.orders.map((o, i) => ({ order: o.order, item: o.item, group: o.group, day: o.day, pieces: o.pieces, ...say(i) }));
  const learnt = [
    ["sort HESPERIDIUM-1", 23, "sort HESPERIDIUM-1: 23 days of work gave firsts 41.3 % (44 %), seconds 33.5 % (31 %), juicing fruit 18.2 % (18 %), feed 5 % (5 %); in brackets what the plan counts on."],
    ["press", 2, "press: 2 days of work in the record, too few to tell; it is taken to give what the plan counts on."],
    ["limes of HESPERIDIUM-1, standing agreements", 31, "limes of HESPERIDIUM-1, standing agreements: of 31 that were due 27 came on their day, on average 94.1 % of the mass."],
  ].map(([name, seen, sentence]) => ({ name, seen, known: seen >= 5, sentence }));
  return { futures: 400, share_ppm: 931000, share_error_ppm: 4100, short_g: 612000, no_room_g: 240000, lines, days: next.supply.map((s, i) => ({ day: s.day, ...say(i) })), learnt };
}

const done = (act, use, good, planned, is) => ({ act, good, use, planned_g: planned, done_g: is, left_g: Math.max(0, planned - is) });
const of_today = [
  done("used", "sort HESPERIDIUM-1", "limes of HESPERIDIUM-1", 4000000, 1650000), done("used", "pack boxes", "firsts", 1212121, 1212121), done("used", "press", "juicing fruit", 700000, 0),
  done("leaves", null, "feed", 350000, 120000), done("sold", null, "boxes", 1200000, 400000),
];

const force = { ...plan((i) => 350 + 230 * i, false), today: of_today, taken: { entry: 3101, at_ms: NOW - 2 * 864e5 } };

export function jobPlan(isTrial) {
  const next = plan((i) => 400 + 280 * i, true);
  const line = next.shorts.length > 0 ? next.shorts[0] : null;
  return {
    ...next, chance: chanceOf(next), orders: next.orders.map((o, i) => ({ ...o, chance_percent: percentOf(chanceOf(next).lines[i].met_ppm) })), before: force.sums, ...(isTrial ? { base: plan((i) => 350 + 230 * i, true) } : {}),
    difference: {
      flows: [{ day: addDays(DAY, 1), act: "used", good: "juicing fruit", use: "press", of: null, before_g: 420000, after_g: 700000, sentence: `${addDays(DAY, 1)}: press takes 700 kg of juicing fruit, not 420 kg.` }],
      lines: line ? [{ order: "47-1", standing: null, item: line.item, group: line.group, day: line.day, sentence: `Order 47-1 of retail, market house, ${line.item} on ${line.day}: 2300 of 2500 instead of 1960.` }] : [],
    },
  };
}

const job = { id: "j1", trial: false, keep: "balance", service_ppm: 0, service_of_profile: false, changes: [], state: "done", share_ppm: 1000000, plan: null, problem: null };

/* GET /plan; isNew: with a plan that is not taken yet. */
export function taken(isNew) {
  return {
    taken: [], plan: null, receives: true, service_ppm: 0, received: force, job: isNew ? { ...job, received: jobPlan(false) } : null,
    promised: force.orders.slice(0, 3).map((o) => ({ order: o.order, entry: 3101, at_ms: NOW - 2 * 864e5, told: [{ day: o.day, pieces: o.pieces }] })),
  };
}

export function jobOf(id) {
  return { ...job, id, trial: id === "t1", received: jobPlan(id === "t1") };
}
