/* Answers of a made-up plant, for looking at states that the played-through one is rarely in. */
import { createHash } from "node:crypto";

export const NOW = Date.parse("2026-03-11T09:20:00Z");
export const DAY = "2026-03-11";
const H = 3600000;
const STARTED = Date.now();

/* The made-up plant lives on a day of its own. */
export function clock() {
  return NOW + Date.now() - STARTED;
}

const MG = 1000000; /* in a kg */

export function addDays(day, n) {
  return new Date(Date.parse(`${day}T12:00:00Z`) + n * 24 * H).toISOString().slice(0, 10);
}

/* A day as sentences say it: "Wed 11 Mar". */
export function said(day) {
  return new Intl.DateTimeFormat("en-GB", { timeZone: "UTC", weekday: "short", day: "numeric", month: "short" }).format(Date.parse(`${day}T12:00:00Z`)).replace(",", "");
}

const STEPS = ["receive", "heat-treat", "soak", "grow", "water", "harvest", "wash", "pack", "metal-check", "clean", "ship", "sample", "approve", "empty"];
export const ROLES = {
  1: { name: "Hilum 1", role: "manager", may: [...STEPS.map((s) => `record:${s}`), ...["duty-done", "corrective-action", "verification", "hand-back", "environment", "result", "plan-departure"].map((s) => `record:${s}`), "release", "lift", "hold", "review", "strike", "limit", "people", "plan", "stations", "attach", "record:mapping", "record:profile", "record:order", "record:delivery-agree"] },
  5: { name: "Cotyledon 5", role: "grower", may: ["soak", "grow", "water", "harvest", "metal-check", "clean", "sample", "empty"].map((s) => `record:${s}`) },
};

/* As on the page of water. */
const STOPS = [
  { place: "W-2", of: "water", why: "too little contact with its disinfectant", since_ms: NOW - 2 * H },
  { place: "W-3", of: "water", why: "read out of its limits", since_ms: NOW - 5 * H },
];

export function me(person, station, language, receives = false) {
  const who = ROLES[person];
  return {
    person: who ? person : null, name: who?.name ?? null, role: who?.role ?? null, how: who ? (station ? "pin" : "password") : null,
    station, idle_s: 600, language, may: who?.may ?? [], zone: "Europe/Vienna", plant_day: DAY, now_ms: clock(), size: 3169,
    shift: { name: "early", day: DAY, start_ms: clock() - 7200000, end_ms: clock() + 21600000 },
    stops: who || station ? STOPS : [], receives,
  };
}

export function days(from, to) {
  const out = [];
  for (let d = from; d <= to && out.length < 60; d = addDays(d, 1)) {
    const n = Number(d.slice(8));
    out.push({ day: d, harvest: n % 4, soak: (n * 3) % 5, ship_pieces: 5200, ship_mg: (n % 6) * 700 * MG, stopped: n % 7 === 4 ? 1 : 0, now: d === DAY, closed: null });
  }
  return { days: out };
}

const line = (rank, tone, sentence, what, verb, go, by_ms = null, more = {}) => ({ key: `${what}-${rank}`, rank, tone, sentence, what, lot: null, place: null, by_ms, verb, go, ...more });

export const health = { size: 3169, root: "9f".repeat(32), signed: { size: 3120, signed_ms: NOW - 5 * H }, backup: { at_ms: NOW - 11 * H, checked: true, place: "/second" }, disk_days: 412 };

export function today(day) {
  if (day !== null && day !== DAY) return { day, lines: [], review_count: 0, owed: [], handover: null, health };
  return {
    day: DAY, review_count: 6, owed: [], health,
    lines: [
      line(1, "stopped", "Salmonella spp. is presumptive in the spent water of chamber C-07: what came from it is held, 3 lots.", "positive", "See what it reaches", { page: "trace", form: null, with: { code: "MUNG-20522-C07" } }, NOW - 2 * H),
      line(2, "due", "Chamber C-14 is ready: harvest before 16:00, about 940 kg.", "harvest-ready", "Harvest", { page: "record", form: "harvest", with: { chamber: "C-14" } }, NOW + 5.6 * H),
      line(3, "due", "Metal detector MD-1 was last checked 52 min ago; pack line P-1 is running.", "metal-check", "Check now", { page: "record", form: "metal-check", with: { place: "P-1" } }, NOW + 0.13 * H),
      line(4, "due", "Soak 3 chambers today by the plan: 105 kg MUNG in C-02, 105 kg MUNG in C-03, 98 kg SOY in C-09.", "soak", "Soak", { page: "record", form: "soak", with: {} }, NOW + 8 * H),
      line(5, "due", "6 records of batch MUNG-20521-C04 wait for a review.", "review", "Review", { page: "review", form: null, with: {} }),
      line(6, "waiting", "Lot M250-20781-03 waits for the laboratory: E. coli O157:H7 and Salmonella spp., due tomorrow.", "laboratory", "Open the lot", { page: "lot", form: null, with: { lot: "M250-20781-03" } }),
      line(7, "waiting", "Scale SC-2 is due for calibration in 4 days.", "calibration", "Calibrate", { page: "record", form: "calibrate", with: { instrument: "SC-2" } }),
      line(8, "done", "Lot S200-20780-01 is released: 1240 packs may leave.", "released", "Ship", { page: "record", form: "ship", with: { lot: "S200-20780-01" } }),
    ],
    handover: { text: "C-11 runs half a degree warm, watered twice more.\nHull dryer belt squeaks, maintenance knows.", by: "Cotyledon 5", at_ms: NOW - 6 * H, entry: 3120 },
  };
}

const STATES = ["growing", "growing", "growing", "ready", "growing", "soaking", "growing", "to-clean", "growing", "empty"];
const TONES = { growing: "waiting", ready: "due", soaking: "waiting", "to-clean": "due", empty: "done", "out-of-service": "stopped" };

export function chambers(count) {
  const out = [];
  for (let i = 1; i <= count; i++) {
    const state = i === 18 ? "out-of-service" : STATES[i % STATES.length];
    const place = `C-${String(i).padStart(count > 99 ? 3 : 2, "0")}`;
    const isFull = ["growing", "ready", "soaking"].includes(state);
    const age = state === "ready" ? 214 : state === "soaking" ? 6 : 20 + (i * 37) % 180;
    out.push({
      place, name: `Chamber ${i}`, tone: i === 7 ? "stopped" : TONES[state], state, lot: isFull ? `MUNG-205${10 + (i % 12)}-${place.replace("-", "")}` : null,
      item: isFull ? (i % 5 === 0 ? "SOY" : i % 7 === 0 ? "URD" : "MUNG") : null, start_ms: isFull ? NOW - age * H : null, age_h: isFull ? age : null,
      ready_ms: isFull ? NOW + (200 - age) * H : null, reckoned: isFull ? (i % 4 === 0 ? "reckoned by its log up to 08:00: one day later than at its set point" : "reckoned at its set point, as no log says otherwise") : null,
      later_days: isFull ? (i % 4 === 0 ? 1 : 0) : null, seed_mg: isFull ? 105 * MG : null, expected_mg: isFull ? 842 * MG : null,
      expected_low_mg: isFull ? 770 * MG : null, expected_high_mg: isFull ? 905 * MG : null, share_left_ppm: isFull ? 1000000 : null,
      temp_mc: isFull ? 19500 + ((i * 131) % 1400) : null, temp_ms: isFull ? NOW - 600000 : null, holds: i === 7 ? 1 : 0,
    });
  }
  return { chambers: out };
}

export function chamber(code, count) {
  const c = chambers(count).chambers.find((x) => x.place === code);
  if (!c) return null;
  const measured = [];
  const predicted = [];
  const start = c.start_ms ?? NOW - 100 * H;
  for (let t = start; t <= NOW; t += 2 * H) measured.push({ t_ms: t, temp_mc: Math.round(20100 + 900 * Math.sin((t - start) / (9 * H)) + ((t / H) % 5) * 60) });
  for (let h = 0; h <= 216; h += 6) {
    const sum = h * 9.1;
    const wide = Math.max(0, h - (NOW - start) / H) * 0.9;
    predicted.push({ t_ms: start + h * H, heat_ch_low: Math.round(sum - wide), heat_ch: Math.round(sum), heat_ch_high: Math.round(sum + wide) });
  }
  const waterings = [];
  for (let t = start; t <= NOW; t += 6 * H) waterings.push({ t_ms: t, litres: 1200 });
  return {
    ...c, measured, predicted, waterings, limits: [{ name: "set point", temp_mc: 19500 }, { name: "at most", temp_mc: 24000 }],
    uses: [{ lot: c.lot ?? "MUNG-20500-C01", item: "MUNG", start_ms: start, emptied_ms: null }, { lot: "URD-20498-C01", item: "URD", start_ms: start - 300 * H, emptied_ms: start - 40 * H }],
  };
}

export function lots(query) {
  const rows = [];
  const kinds = ["packed", "growing", "sorted", "by-product", "seed"];
  for (let i = 1; i <= 18; i++) {
    const kind = kinds[i % kinds.length];
    const state = i % 6 === 2 ? "held" : i % 4 === 0 ? "released" : "open";
    rows.push({
      lot: kind === "packed" ? `M250-20781-${String(i).padStart(2, "0")}` : kind === "growing" ? `MUNG-20772-C${String(i).padStart(2, "0")}` : kind === "seed" ? `MUNGSEED-${i}` : `HULLS26318-${i}`,
      item: kind === "packed" ? "M250" : kind === "seed" ? "MUNGSEED" : "MUNG", kind, place: "K-1", day: addDays(DAY, -(i % 9)), mg: (i * 53 + 47) * MG,
      pieces: kind === "packed" ? 2694 - i : 0, state, tone: state === "held" ? "stopped" : state === "released" ? "done" : i % 3 ? "waiting" : "due", holds: state === "held" ? 1 : 0,
      best_before: kind === "packed" ? addDays(DAY, 6) : null,
    });
  }
  const state = query.get("state");
  const kind = query.get("kind");
  return { lots: rows.filter((r) => (!kind || r.kind === kind) && (!state || state === "all" || state === "open" || r.state === state)), next: null };
}

export const holds = [
  { hold: "H-2101", kind: "laboratory", stops: ["release", "load"], needs: "negative", reason: "Waits for the results of its samples", placed_ms: NOW - 70 * H, by: 1, lots: ["M250-20781-03", "MUNG-20772-C03"], units: 0, covered: 14, lifted_ms: null },
  { hold: "H-2107", kind: "foreign-body", stops: ["use", "mix", "pack", "release", "load"], needs: "re-passed", reason: "The steel test piece was missed at 08:40", placed_ms: NOW - 3 * H, by: 5, lots: ["M250-20781-03"], units: 24, covered: 14, lifted_ms: null },
];

export function lot(code) {
  const way = [code, "MUNG-20772-C03-S", "MUNG-20772-C03-H", "MUNG-20772-C03", "L20771-3"];
  const story = (entry, h, title, sentence, mg, side, more = {}) => ({ entry, at_ms: NOW - h * H, kind: "x", title, sentence, by: 5, lots: [code], place: "P-1", mg, struck_by: null, deviations: [], side, ...more });
  return {
    lot: code, item: "M250", kind: "packed", place: "K-1", day: DAY, born_ms: NOW - 6 * H, best_before: addDays(DAY, 7), markets: ["house", "EU"], mg: 680773800, pieces: 2694,
    state: "held", tone: "stopped", supplier: null, supplier_lot: null, holds,
    clauses: [
      { clause: "negative", title: "Negative laboratory results", lot: "MUNG-20772-C03", place: null, market: "EU", state: "unmet", sentence: "Salmonella spp. is pending in sample S-0412; it counts only when it is finally negative.", entries: [3055], way: way.slice(0, 4) },
      { clause: "foreign-body", title: "Foreign bodies", lot: code, place: "P-1", market: null, state: "unmet", sentence: "No good metal check stands after 08:40.", entries: [3101], way: [code] },
      { clause: "seed-approved", title: "Approved seed", lot: "MUNGSEED-4", place: null, market: null, state: "met", sentence: "MUNGSEED-4 was approved on 2 March.", entries: [270], way },
      { clause: "clean", title: "Clean before use", lot: code, place: "P-1", market: null, state: "met", sentence: "P-1 was cleaned and inspected at 05:10.", entries: [3042], way: [code] },
      { clause: "water", title: "Water", lot: "MUNG-20772-C03", place: null, market: null, state: "not-applicable", sentence: "The house has one water source and it is in date.", entries: [], way: way.slice(0, 3) },
    ],
    unmet: 2, may_release: true, releases: [{ entry: 2980, at_ms: NOW - 30 * H, by: 7, markets: ["house"], size: 2979, revoked: 3101 }],
    story: [
      story(144, 500, "Receive seed or goods", "1500 kg MUNGSEED came from RAPHE-3, their lot M-764.", 1500 * MG, "into", { place: "DS-1", lots: ["MUNGSEED-4"] }),
      story(1164, 262, "Heat-treat seed", "108 kg by recipe hot-water-85: 41 s above 85 °C by the coldest probe.", 108 * MG, "into", { place: "TR-1", lots: ["L20771-3", "MUNGSEED-4"] }),
      story(1240, 240, "Start a chamber", "L20771-3 went into C-03.", 108 * MG, "into", { place: "C-03", lots: ["MUNG-20772-C03"] }),
      story(3066, 30, "Harvest", "The rest of C-03: 851.2 kg weighed on SC-1.", 851200000, "into", { place: "W-1", lots: ["MUNG-20772-C03-H"] }),
      story(3073, 6, "Weigh and pack", "2694 packs of 250 g, mean net 252.7 g, in 135 cases.", 680773800, "own", { deviations: ["The line stood still for 2 h 10 min; a clean is needed after 2 h."] }),
      story(3099, 4, "Check the metal detector", "Iron, non-iron and steel were rejected.", null, "own", { struck_by: 3101 }),
      story(3101, 3, "Correction", "Line 3099 is struck: the steel test piece was missed.", null, "own"),
    ],
    balance: [
      { entry: 3073, kind: "pack", unit: "mg", amount: 682870000, how: "weighed", instrument: "SC-1", uncertainty: 10000 },
      { entry: 3073, kind: "pack", unit: "mg", amount: -2096200, how: "difference", instrument: null, uncertainty: 0 },
      { entry: 3073, kind: "pack", unit: "pc", amount: 2694, how: "counted", instrument: null, uncertainty: 0 },
    ],
    units: { cases: 135, here: 111, shipped: 24 }, dry: { in_mg: 97200000, out_mg: 82400000 },
  };
}

export function parts(code) {
  const cases = Array.from({ length: 135 }, (_, i) => ({ code: `${code}-${String(i + 1).padStart(4, "0")}`, pieces: 20, state: i < 24 ? "shipped" : "here", place: i < 24 ? null : "K-1", held: i === 60 }));
  return { lot: code, cases, more: 0, runs: [{ run: "P-1-20781", place: "P-1", start_ms: NOW - 8 * H, end_ms: NOW - 4 * H, from_ms: NOW - 7 * H, to_ms: NOW - 6 * H }] };
}

export function trace(code, direction) {
  const names = [["MUNGSEED-4", "MUNGSEED", "seed", 500, 1392], ["L20771-3", "MUNGSEED", "load", 262, 108], ["L20771-2", "MUNGSEED", "load", 262, 107], ["MUNG-20772-C03", "MUNG", "growing", 240, 108], ["MUNG-20772-C02", "MUNG", "growing", 240, 107], ["MUNG-20772-C03-H", "MUNG", "harvested", 30, 851], ["MUNG-20772-C02-H", "MUNG", "harvested", 29, 830], ["HULLS26318-02", "HULLS", "by-product", 28, 48], ["MUNG-20772-C03-W", "MUNG", "washed", 28, 816], ["MUNG-20772-C03-S", "MUNG", "sorted", 26, 700], ["M250-20781-03", "M250", "packed", 6, 680], ["M500-20781-01", "M500", "packed", 5, 512]];
  const edges = [[0, 1, 108], [0, 2, 107], [1, 3, 108], [2, 4, 107], [3, 5, 851], [4, 6, 830], [5, 7, 48], [5, 8, 803], [6, 8, 40], [8, 9, 700], [9, 10, 500], [9, 11, 200], [6, 11, 312]];
  return {
    code, direction,
    lots: names.map(([name, item, kind, h, kg], i) => ({ lot: name, item, kind, place: "K-1", day: addDays(DAY, -Math.round(h / 24)), born_ms: NOW - h * H, mg: kg * MG, here_mg: i > 8 ? kg * MG * 0.4 : 0, here_pieces: kind === "packed" ? 1100 : 0, share_ppm: i === 11 ? 391000 : 1000000, certain: i !== 11, held: i === 10 || i === 3 })),
    steps: edges.map(([a, b, kg], i) => ({ entry: 1100 + i, kind: "step", at_ms: NOW - 20 * H, place: null, parent: names[a][0], child: names[b][0], mg: kg * MG, basis: i === 8 ? "possible" : "measured" })),
    customers: direction === "back" ? [] : [{ customer: "RADICLE-1", name: "Radicle 1", contact: "qa@radicle-1.example", pieces: 480, mg: 120 * MG, shipments: [{ shipment: "SH-311", at_ms: NOW - 3 * H, pieces: 480, mg: 120 * MG }] }, { customer: "TESTA-2", name: "Testa 2", contact: "dock@testa-2.example", pieces: 240, mg: 60 * MG, shipments: [{ shipment: "SH-312", at_ms: NOW - 2 * H, pieces: 240, mg: 60 * MG }] }],
    account: { produced_mg: 1192 * MG, accounted_mg: 1188 * MG, accounted_ppm: 996644, owed_mg: 0 }, held_lots: 2, here_mg: 1008 * MG, left_mg: 180 * MG, left_pieces: 720, unknown_ppm: 0,
  };
}

export function recall(code) {
  const t = trace(code, "forward");
  const left = [];
  for (let i = 1; i <= 12; i++) left.push({ unit: `M250-20781-03-${String(i).padStart(4, "0")}`, lot: "M250-20781-03", customer: i < 9 ? "RADICLE-1" : "TESTA-2", shipment: i < 9 ? "SH-311" : "SH-312", at_ms: NOW - 3 * H, pieces: 20, contact: i < 9 ? "qa@radicle-1.example" : "dock@testa-2.example" });
  return { ...t, left, here: [{ lot: "M250-20781-03", unit: "M250-20781-03-0025", place: "K-1", pieces: 20, mg: 5054000, held: true }, { lot: "M500-20781-01", unit: null, place: "K-1", pieces: 0, mg: 312 * MG, held: false }] };
}

const KINDS = ["harvest", "water", "metal-check", "clean", "pack", "ship"];
const TITLES = { harvest: "Harvest", water: "Water a chamber", "metal-check": "Check the metal detector", clean: "Clean and sanitise", pack: "Weigh and pack", ship: "Ship" };
const SAYS = { harvest: "The rest of C-03: 851.2 kg weighed on SC-1; water 12 kg by difference.", water: "C-19 got 1200 L from WS-1.", "metal-check": "Iron, non-iron and steel were rejected on MD-1.", clean: "P-1: alkaline, 150 mg/L for 60 s, rinsed, inspected, pass.", pack: "2694 packs of 250 g, mean net 252.7 g, 135 cases.", ship: "24 cases of M250-20781-03 to RADICLE-1." };

export function entryRow(n) {
  const kind = KINDS[n % KINDS.length];
  return { entry: n, at_ms: NOW - (3169 - n) * 420000, recorded_ms: NOW - (3169 - n) * 420000 + 20000, day: DAY, kind, title: TITLES[kind], sentence: SAYS[kind], by: 5, name: "Cotyledon 5", lots: ["MUNG-20772-C03"], place: "W-1", struck_by: n === 3160 ? 3165 : null, strikes: n === 3165 ? 3160 : null };
}

const sha = (...parts) => {
  const h = createHash("sha256");
  for (const p of parts) h.update(p);
  return h.digest();
};

/* A tree of four leaves, so that the proof on the page is a real one. */
export function entry(n) {
  const leaves = [0, 1, 2, 3].map((i) => sha(Buffer.from([0]), Buffer.from(`entry ${i}`)));
  const node = (a, b) => sha(Buffer.from([1]), a, b);
  const [left, right] = [node(leaves[0], leaves[1]), node(leaves[2], leaves[3])];
  const row = entryRow(n);
  return {
    ...row, offset_min: 60, device: "W-1", clock_ms: -1200, version: 1, uuid: "8a3c2f10-5f0e-4f62-9d0a-1f2b3c4d5e6f", cause: null, caused: [n + 1],
    told: { chamber: "C-03", mass: "851.20 kg", instrument: "SC-1", place: "W-1", share: "rest", mode: "told" }, answer: { entry: n, lot: "MUNG-20772-C03-H", mass: "851.2 kg" }, effects: 12,
    leaf: leaves[2].toString("hex"), proof: { index: 2, size: 4, root: node(left, right).toString("hex"), path: [leaves[3].toString("hex"), left.toString("hex")], head: null }, correctable: true, aside: null,
  };
}

/* What a number rests on: two lines, whatever is asked. */
export function ask(q) {
  const rows = [3150, 3149].map((n, i) => ({ ...entryRow(n), amounts: [{ unit: "mg", amount: (2 - i) * 21e7, decimals: 0, how: "weighed", instrument: "SC-2" }] }));
  const calculation = { expected: "mass-chain", dry: "mass-chain" }[q.get("about")] ?? null;
  return {
    about: q.get("about"), of: q.get("of") ?? "", with: q.get("with"), how: "The sum of everything the daybook says went in and out.", calculation,
    adds: calculation === null, entries: 2, sums: calculation === null ? [{ unit: "mg", amount: 63e7, decimals: 0 }] : [], rows,
  };
}
