/* The made-up plant's house: places, forms, people, limits, calculations, a plan. */
import { addDays, DAY, NOW, said } from "./plant.mjs";

const places = [];
for (let i = 1; i <= 24; i++) places.push({ code: `C-${String(i).padStart(2, "0")}`, name: `Chamber ${i}`, kind: "chamber", parent: "SITE-1", in_service: true });
for (const [code, kind] of [["W-1", "wash-line"], ["W-2", "wash-line"], ["P-1", "pack-line"], ["K-1", "cold-room"], ["ST-1", "soak-tank"], ["TR-1", "treater"], ["DS-1", "store"]]) {
  places.push({ code, name: code, kind, parent: "SITE-1", in_service: true });
}

export const house = {
  places,
  instruments: [{ code: "SC-1", kind: "scale", place: "W-1", due_ms: NOW + 1e9 }, { code: "SC-2", kind: "scale", place: "P-1", due_ms: NOW + 3e8 }, { code: "MD-1", kind: "detector", place: "P-1", due_ms: NOW + 1e9 }],
  items: [{ code: "MUNG", name: "Mung bean sprouts", kind: "growing", family: "mung", net_mg: 0, pieces_per_case: 0, source_item: null }, { code: "M250", name: "Mung bean sprouts 250 g", kind: "packed", family: "mung", net_mg: 250000, pieces_per_case: 20, source_item: "MUNG" }],
  partners: [{ code: "RADICLE-1", role: "customer", market: "house" }, { code: "RAPHE-3", role: "supplier", market: null }], markets: ["house", "EU", "US"],
};

const none = { lot_kind: null, place_kind: null, instrument_kind: null, item_kind: null, partner_role: null, paper_kind: null, waits_for: null };
const field = (name, label, kind, more = {}) => ({ name, label, kind, required: true, either: null, choices: null, of: more.of ? { ...none, ...more.of } : null, unit: null, help: null, default: null, only_with: null, ...Object.fromEntries(Object.entries(more).filter(([k]) => k !== "of")) });
const form = (kind, title, group, fields, more = {}) => ({ kind, act: kind, title, mode: "tell", roles: [], reviewed: false, moves_mass: false, confirm: false, signs: false, group, fields, ...more });
const organisms = ["Salmonella spp.", "E. coli O157:H7", "generic E. coli"].map((value) => ({ value, label: value }));
const states = [["pending", "pending"], ["presumptive", "presumptive positive"], ["negative", "negative"]].map(([value, label]) => ({ value, label }));
const pieces = ["rejected", "missed"].map((value) => ({ value, label: value }));

export const forms = [
  form("harvest", "Harvest", "harvest", [
    field("chamber", "Chamber", "place", { of: { place_kind: "chamber" } }),
    field("share", "Share of the chamber", "choice", { choices: [{ value: "rest", label: "all that is left" }, { value: "50 %", label: "half" }, { value: "25 %", label: "a quarter" }], default: "rest" }),
    field("mass", "Mass", "mass", { unit: "kg", help: "As the scale shows it, without the bin." }),
    field("instrument", "Scale", "instrument", { of: { instrument_kind: "scale" } }),
    field("place", "To", "place", { of: { place_kind: "wash-line" } }),
    field("moisture", "Surface moisture", "percent", { required: false, unit: "%" }),
  ], { moves_mass: true }),
  form("water", "Water a chamber", "grow", [field("chamber", "Chamber", "place", { of: { place_kind: "chamber" } }), field("litres", "Water", "volume", { unit: "L" })]),
  form("soak", "Soak", "grow", [field("lot", "Treatment load", "lot", { of: { lot_kind: "load" } }), field("place", "Tank", "place", { of: { place_kind: "soak-tank" } })]),
  form("metal-check", "Check the metal detector", "check", [field("place", "Line", "place", { of: { place_kind: "pack-line" } }), field("fe", "Iron test piece", "choice", { choices: pieces }), field("non_fe", "Non-iron test piece", "choice", { choices: pieces }), field("steel", "Steel test piece", "choice", { choices: pieces })]),
  form("seal-check", "Check seals", "check", [field("place", "Line", "place", { of: { place_kind: "pack-line" } }), field("lot", "Lot", "lot"), field("inspected", "Pieces looked at", "pieces"), field("bad", "Bad ones among them", "pieces")]),
  form("wash", "Wash, hulls off", "line", [field("inputs", "What goes in", "inputs"), field("outputs", "What comes out", "outputs", { choices: [{ value: "main", label: "washed" }, { value: "hulls", label: "hulls" }] }), field("place", "Line", "place", { of: { place_kind: "wash-line" } })], { moves_mass: true }),
  form("clean", "Clean and sanitise", "clean", [field("place", "What was cleaned", "place"), field("strength", "Strength", "number", { unit: "mg/L" }), field("contact", "Contact time", "duration", { unit: "s" }), field("rinsed", "Rinsed", "yes-no"), field("start", "Start", "time"), field("end", "End", "time")]),
  form("result", "Laboratory result", "evidence", [field("sample", "Sample", "sample", { of: { waits_for: "result" } }), field("organism", "Organism", "choice", { choices: organisms }), field("state", "Result", "choice", { choices: states })]),
  form("second-reading", "Read a typed result again", "evidence", [field("sample", "Sample", "sample", { of: { waits_for: "second-reading" } }), field("organism", "Organism", "choice", { choices: organisms })]),
  form("approve", "Approve, reject or block a seed lot", "seed", [field("lot", "Seed lot", "lot", { of: { lot_kind: "seed" } }), field("state", "Decision", "choice", { choices: ["approved", "rejected", "blocked"].map((v) => ({ value: v, label: v })) })], { signs: true }),
  form("ship", "Ship", "ship", [field("customer", "Customer", "partner"), field("units", "Cases", "units")], { moves_mass: true, mode: "ask" }),
];

const orderLine = (key, customer, pieces, shipped, stock, state, version = 1) => ({ key, customer, group: customer === "TESTA-2" ? "shops" : "kitchens", life_days: 4, item: "M250", pieces, shipped, stock, missing: state === "cancelled" ? 0 : pieces - shipped - stock, unfit: state === "short" ? 120 : 0, state, version, source: "shop", leaves: null, closed: null, instead: key === "TESTA-2/4712/10" ? [{ item: "M500", pieces: 120 }] : [] });
const orderDay = (day, lines) => {
  const sums = (of) => Object.fromEntries(["pieces", "shipped", "stock", "missing"].map((name) => [name, of.filter((l) => l.state !== "cancelled").reduce((s, l) => s + l[name], 0)]));
  const groups = [...new Set(lines.map((l) => l.group))].map((group) => ({ group, ...sums(lines.filter((l) => l.group === group)) }));
  return { day, ...sums(lines), groups, lines };
};
const there = [
  { item: "M250", markets: "house,US", best_before: addDays(DAY, 3), left_d: 3, pieces: 120, free: 120 },
  { item: "M250", markets: "house", best_before: addDays(DAY, 6), left_d: 6, pieces: 1460, free: 0 },
];
export const orders = (from, to) => ({ from, to, there, standing: [{ code: "S-1", customer: "TESTA-2", item: "M250", weekdays: ["mon", "thu"], pieces: 120, from: "2026-01-05", to: null, terms: "", state: "in-force", entry: 12 }], days: [
  orderDay(DAY, [orderLine("RADICLE-1/4711/10", "RADICLE-1", 800, 800, 0, "shipped"), orderLine("TESTA-2/4712/10", "TESTA-2", 1200, 0, 1200, "stock", 3)]),
  orderDay(addDays(DAY, 1), [orderLine("RADICLE-1/4713/10", "RADICLE-1", 900, 0, 260, "short"), orderLine("TESTA-2/4714/10", "TESTA-2", 400, 0, 0, "cancelled", 2)]),
  orderDay(addDays(DAY, 3), [orderLine("RADICLE-1/4715/10", "RADICLE-1", 2400, 0, 0, "open")]),
] });
export const order = (key) => ({
  key, shipments: [{ shipment: "SH-311", at_ms: NOW - 3e6, pieces: 400 }],
  versions: [3, 2, 1].map((version) => ({ version, customer: "TESTA-2", item: "M250", day: DAY, pieces: 1000 + version * 100, state: "open", source: "shop", entry: 2900 + version, at_ms: NOW - (4 - version) * 9e7, by: 1 })),
});

const mapping = (source, kind, columns, rest) => ({ source, for: kind, data: { columns, ...rest }, entry: 12, at_ms: NOW - 2e9, by: 1 });
export const mappings = { mappings: [
  mapping("shop", "orders", { customer: "Kunde", order: "Bestellung", line: "Pos", item: "Artikel", day: "Liefertag", pieces: "St\u00fcck" }, { delimiter: ";", dates: "day-first" }),
  mapping("treater", "logger", { date: "Datum", clock: "Zeit", "channel-1": "T1" }, { series: "treater-1", unit: "Cel", zone: "Europe/Vienna", interval_s: "2" }),
] };
/* A file whose second line says "wrong" is refused there. */
export function fileIn(kind, body, booked) {
  const text = Buffer.from(body.bytes_b64, "base64").toString();
  const none = { changed: 0, cancelled: 0, shipped: 0, known: 0, duplicate: 0, gap: 0 };
  if (text.includes("wrong")) return { problem: { code: "feed-date", detail: "line 2, column 14: \"wrong\" is no day.", field: "day", line: 2, column: 14 } };
  return { report: {
    for: kind, source: body.source, file: body.name, sha256: "4e".repeat(32), encoding: "utf-8", delimiter: ";", rows: 6, ...none, new: booked ? 0 : 2, changed: 1, cancelled: 1, shipped: 1, known: booked ? 3 : 1,
    whole_book: true, from: DAY, to: addDays(DAY, 6), booked: !body.try, commands: booked ? 0 : 3, cautions: ["Some numbers were rounded."],
    notes: [{ mark: "new", line: 2, what: "RADICLE-1/4711/10 800" }, { mark: "changed", line: 4, what: "TESTA-2/4712/10 1100 -> 1200" }, { mark: "cancelled", what: "TESTA-2/4714/10 400" }, { mark: "shipped", line: 6, what: "RADICLE-1/4701/10 400 -> 200" }],
  } };
}
export const profile = { name: "sprout-house", version: 1, limits: [{ limit: "germination", low: "94" }, { limit: "cold-room", low: "0", high: "5" }], markets: [{ market: "house" }] };

const drawn = (sample, what, lot, place, hours, presumptive, owed) => ({ sample, what, lot, item: lot ? lot.slice(0, 4) : null, place, location: "drain", taken_ms: NOW - hours * 3600000, age_h: hours, presumptive, owed });
export const samples = {
  samples: [],
  open: [
    drawn("S3044", "spent-water", "MUNG-20522-C07", null, 52, true, ["Salmonella spp."]),
    drawn("S3055", "spent-water", "MUNG-20772-C03", null, 30, false, ["E. coli O157:H7", "Salmonella spp."]),
    drawn("S3056", "water", null, "WS-1", 26, false, ["generic E. coli"]),
    drawn("S3101", "swab", null, "P-1", 4, false, []),
  ],
  second: [
    { sample: "S3012", organism: "Salmonella spp.", state: "negative", lot: "MUNG-20770-C02", place: null, by: 5, at_ms: NOW - 9e6, entry: 3140 },
    { sample: "S3013", organism: "E. coli O157:H7", state: "negative", lot: "MUNG-20770-C02", place: null, by: 1, at_ms: NOW - 8e6, entry: 3141 },
  ],
};

export const people = { people: [
  { number: 1, role: "manager", name: "Hilum 1", active: true, has_pin: false, has_badge: false, locked: false },
  { number: 5, role: "grower", name: "Cotyledon 5", active: true, has_pin: true, has_badge: true, locked: false },
  { number: 7, role: "line", name: "Radicle 7", active: true, has_pin: true, has_badge: false, locked: true },
  { number: 9, role: "auditor", name: null, active: false, has_pin: false, has_badge: false, locked: false },
] };

export const stations = { stations: [{ code: "WEIGH-1", place: "W-1", enrolled_ms: NOW - 9e8, by: "Hilum 1", last_ms: NOW - 6e5 }] };

const limit = (name, item, low, high, unit, source, word, changes = []) => ({ name, low, high, unit, source, word, item, locator: changes.length ? null : "table 2", may_release: word === "published (seen)", changed_by: changes[0]?.by ?? null, from_ms: changes[0]?.from_ms ?? null, reason: changes[0]?.reason ?? null, changes });
export const limits = {
  profile: { name: "sprout-house", title: "A house that sprouts beans", digest: "3f".repeat(32), from_ms: NOW - 3e9 },
  rules: [
    { rule: "recipe", name: "hot-water-85", says: "85 °C for 40 s, cooling begun within 30 s.", source: "Bari et al. 2010", locator: "abstract", word: "published (abstract only)" },
    { rule: "zone", name: "1", says: "Swabbed every 7 d; a positive holds product.", source: "US 21 CFR 112.145", locator: "112.145(b)", word: "published (seen)" },
  ],
  limits: [
    limit("germination", "*", "94", null, "%", "Mung bean crop sheet", "published (seen)"),
    limit("expansion", "SOY", "3", "9", "kg/kg", "Soybean sprout study", "published (abstract only)"),
    limit("expansion", "*", "3", "14", "kg/kg", "Sprout yields", "published (abstract only)"),
    limit("pack-moisture", "*", null, "2.5", "%", "contract of RADICLE-1", "derived", [
      { entry: 3080, low: null, high: "2", source: "contract of RADICLE-1, next year", from_ms: NOW + 9e9, by: 1, reason: "From the new year on", loosens: false, word: "derived" },
      { entry: 3001, low: null, high: "2.5", source: "contract of RADICLE-1", from_ms: NOW - 5e8, by: 1, reason: "Packs were wet at RADICLE-1", loosens: true, word: "derived" },
    ]),
    limit("cold-room", "*", "0", "5", "C", "Postharvest leaflet, sprouts", "published (seen)"),
  ],
};

export const balance = {
  steps: [{ step: "wash", entries: 41, in_mg: 34e9, out_mg: 33.2e9, tolerance_ppm: 60000 }, { step: "sort", entries: 39, in_mg: 27e9, out_mg: 26.1e9, tolerance_ppm: 30000 }, { step: "harvest", entries: 51, in_mg: 5.4e9, out_mg: 43e9, tolerance_ppm: null }],
  accounts: [{ account: "water", unit: "mg", amount: -38.2e9 }, { account: "customer", unit: "mg", amount: 21.4e9 }, { account: "unexplained", unit: "mg", amount: 3.1e8 }, { account: "customer", unit: "pc", amount: 61200 }],
  owed: [{ lot: "M250-20779-02", unit: "pc", amount: -20, entry: 3011, at_ms: NOW - 4e7 }],
};

const number = (name, unit, what, low, high, more = {}) => ({ name, unit, what, type: "number", needed: false, low, high, ...more });
export const calc = { rows: [
  {
    name: "mass-chain", discipline: "growth", purpose: "From seed to packed sprouts, with water and dry matter.", formula: "F = S * Y * (1 - hull) * (1 - trim) * (1 - cull) * (1 + wet)",
    in: [number("seed_kg", "kg", "Mass of dry seed.", 0, 1e6, { needed: true }), number("expansion", "kg/kg", "Kilograms of sprouts from one of seed.", 1, 20, { default: 8 }), number("hull", "1", "Share of hulls.", 0, 1)],
    out: [{ name: "packed_kg", unit: "kg", what: "Mass to pack.", rounding: "rounded down to 0.1 kg" }, { name: "bed_kg", unit: "kg", what: "Mass of the bed at harvest." }],
    constants: [{ name: "mass_chain_expansion", value: 8, low: 5, high: 10, unit: "kg/kg", source: "between two sources on boxes and the trade", locator: "middle of the two", word: "derived" }],
    sources: [{ source: "Mung bean crop manual", word: "published (seen)" }], cautions: ["The defaults are common practice: replace every one by the house's own weighings."], example: { seed_kg: 100 },
  },
  {
    name: "hold-check", discipline: "heat", purpose: "Was a heat recipe kept, by the log on the safe side?", formula: "every probe at or above hold_c for hold_s without a break",
    in: [{ name: "points", type: "table", unit: "s, C", what: "The log: time and the temperature of each probe.", needed: true, count_low: 2, count_high: 1000 }, number("hold_c", "C", "Temperature to hold.", 0, 150, { needed: true }), number("hold_s", "s", "For how long.", 0, 9000, { needed: true })],
    out: [{ name: "met", unit: "", what: "Was it kept?" }, { name: "hold_s", unit: "s", what: "How long it was held." }], constants: [], sources: [], cautions: ["Calculated, not validated."],
    example: { points: [[0, 40, 41], [10, 78, 80], [20, 86, 87], [50, 86, 86], [60, 60, 61]], hold_c: 85, hold_s: 30 },
  },
] };

export function calcAnswer(name, inputs) {
  const row = calc.rows.find((r) => r.name === name);
  return { calculation: name, inputs, formula: row.formula, constants: row.constants, cautions: row.cautions, words: name === "mass-chain" ? {} : { met: "yes, it was kept" }, results: name === "mass-chain" ? { packed_kg: 632.4, bed_kg: 800 } : { met: true, hold_s: 31.4 } };
}

export const taken = { taken: [], promised: [{ order: "41-2", entry: 900, at_ms: NOW - 864e5, told: [{ day: addDays(DAY, 5), pieces: 1500 }] }], plan: null, receives: false, service_ppm: 0, received: null, job: { id: "j1", trial: false, keep: "balance", service_ppm: 980000, service_of_profile: false, changes: [], state: "done", share_ppm: 1000000 } };
for (let i = 0; i < 30; i++) taken.taken.push({ day: addDays(DAY, (i % 14) - 6), place: `C-${String((i * 5) % 24 + 1).padStart(2, "0")}`, item: i % 4 ? "MUNG" : "SOY", seed_lot: "MUNGSEED-4", seed_mg: 105e6, grow_days: 9, made: i % 14 < 6 });

const floorStart = (kind, more, sentence) => ({ kind, item: "MUNG", day: addDays(DAY, -9), place: "C-03", planned_g: 105000, made_day: addDays(DAY, -9), made_place: "C-03", made_g: 105000, lot: "MUNG-20771-C03", due: DAY, harvested: DAY, harvest_g: 702000, expected_g: 735000, departure: null, ...more, sentence });
export const floor = {
  from: addDays(DAY, -27), to: DAY,
  crops: [{ item: "MUNG", planned: 20, kept: 14, filled: 2, moved_chamber: 1, moved_day: 1, gone: 1, added: 1, waiting: 1, seed_diff_g: -1250, seed_counted_ppm: 992300, emptied: 9, harvest_days: 4, harvest_ppm: 955000 }, { item: "SOY", planned: 4, kept: 4, filled: 0, moved_chamber: 0, moved_day: 0, gone: 0, added: 0, waiting: 0, seed_diff_g: 0, seed_counted_ppm: 1000000, emptied: 0, harvest_days: 0, harvest_ppm: null }],
  reasons: [{ reason: null, filled: 1, moved: 1, gone: 0, added: 1 }, { reason: "people-short", filled: 0, moved: 0, gone: 1, added: 0 }, { reason: "seed-short", filled: 1, moved: 1, gone: 0, added: 0 }],
  starts: [
    floorStart("waiting", { day: DAY, made_day: null, made_place: null, made_g: null, lot: null, harvested: null, harvest_g: null, expected_g: null }, "C-09, 2026-03-11: MUNG, 105 kg, is still to be started."),
    floorStart("filled", { made_g: 95000, departure: { reason: "seed-short", what: "one sack torn", entry: 3110, by: 4 } }, "C-03, 2026-03-02: MUNG, 95.0 kg instead of 105 kg."), floorStart("moved-chamber", { made_place: "C-07" }, "C-03, 2026-03-02: MUNG was started in C-07 instead."),
    floorStart("gone", { made_day: null, made_place: null, made_g: null, lot: null, harvested: null, harvest_g: null, expected_g: null }, "C-05, 2026-03-02: MUNG, 105 kg, was not started."), floorStart("added", { planned_g: null, due: null }, "C-11, 2026-03-02: MUNG, 105 kg, was started without a plan."), floorStart("kept", {}, "C-03, 2026-03-02: MUNG, 105 kg, as planned."),
  ],
};

export function plan(count) {
  const starts = [];
  const demand = [];
  const supply = [];
  for (let i = 0; i < count * 2; i++) {
    const soak = addDays(DAY, Math.floor(i / Math.max(1, count / 10)) % 18);
    const off = i === 2 ? -1 : 0;
    const harvest = addDays(soak, 9 + off);
    starts.push({ soak, harvest, off_days: off, harvests: [{ day: harvest, g: 632000 }], chamber: `C-${String(i % count + 1).padStart(count > 99 ? 3 : 2, "0")}`, item: i % 5 ? "MUNG" : "SOY", seed_g: 105000, packed_g: 632000, seed: [{ lot: i === 7 ? "D-12" : "MUNGSEED-4", g: 105000, agreed: i === 7 }], taken_before: i % 3 === 0, for: [{ order: i % 2 ? null : "41-2", item: "M250", group: "retail, market house", day: addDays(soak, 10), g: 630000 }] });
  }
  for (let d = 0; d < 21; d++) {
    const booked = d < 8 ? 5000 + (d % 3) * 900 : 900;
    demand.push({ item: "M250", group: "retail, market house", day: addDays(DAY, d), booked, standing: 0, forecast_added: d < 3 ? 0 : 900 + d * 180, spread: 300 });
    const want = booked + (d < 3 ? 0 : 900 + d * 180);
    const short = d === 5 || d === 6 ? 1200 : 0;
    supply.push({ day: addDays(DAY, d), item: "M250", pieces: want - short - 300, stock: 300, short });
  }
  const of = (share, limit) => ({ used: Math.round(share * limit), limit });
  const grams = (share, limit) => ({ used_g: Math.round(share * limit), limit_g: limit });
  const capacity = Array.from({ length: 21 }, (_, d) => ({ day: addDays(DAY, d), chambers: of(0.9, count), starts: of(d % 4 ? 0.5 : 1, 6), harvests: of(0.5, 6), treat: grams(d % 5 ? 0.7 : 1, 700000), soak: null, harvest: grams(0.6, 5e6), wash: grams(0.4, 5e6), pack: grams(0.3, 5e6), works: [{ name: "hours of people", used_milli: d % 7 ? 72000 : 96000, limit_milli: 96000 }, ...(d > 0 ? [{ name: "drying of hulls and roots, kg", used_milli: d % 4 ? 310500 : 450000, limit_milli: 450000 }] : [])], closed: d === 8 ? { what: ["soak", "dispatch"], reason: "inventory", sentence: `${said(addDays(DAY, 8))}: closed for soaking, dispatch (inventory).` } : null }));
  const running = Array.from({ length: Math.floor(count / 2) }, (_, i) => {
    const chamber = `C-${String(count - i).padStart(count > 99 ? 3 : 2, "0")}`;
    const harvest = addDays(DAY, i % 8);
    if (i !== 1) return { lot: `MUNG-${i}`, chamber, item: "MUNG", harvest, g: 630000, ready: harvest, off_days: 0, sentence: "", reckoned: i % 3 ? "reckoned at its set point, as no log says otherwise" : "reckoned by its log up to 08:00: one day later than at its set point", later_days: i % 3 ? 0 : 1 };
    const sentence = `Harvest MUNG-1 one day early, on ${said(harvest)}: 567 kg in place of 630 kg; ${chamber} is started again on ${said(addDays(harvest, 1))}`;
    return { lot: "MUNG-1", chamber, item: "MUNG", harvest, g: 567000, ready: addDays(harvest, 1), off_days: -1, sentence, reckoned: "reckoned at its set point, as no log says otherwise", later_days: 0 };
  });
  const sums = { wanted: 100000, met: 97600, booked: 40000, booked_met: 38800, short_orders: 1, starts: starts.length, seed_g: 105000 * starts.length, packed_g: 632000 * starts.length };
  const place = (s) => ({ day: s.soak, harvest: s.harvest, chamber: s.chamber, seed_g: s.seed_g, lot: "MUNGSEED-4" });
  const difference = {
    kept: starts.length - 2, filled: 0, moved: 1, gone: 1, added: 1,
    starts: [
      { kind: "added", item: "MUNG", before: null, after: place(starts[0]), sentence: `Added on ${said(starts[0].soak)}: ${starts[0].chamber}, MUNG, 105.0 kg of MUNGSEED-4, harvest ${said(starts[0].harvest)}.` },
      { kind: "moved", item: "MUNG", before: { ...place(starts[3]), chamber: "C-09" }, after: place(starts[3]), sentence: `Moved: MUNG from C-09 on ${said(starts[3].soak)} to ${starts[3].chamber} on ${said(starts[3].soak)}, harvest ${said(starts[3].harvest)}.` },
      { kind: "gone", item: "SOY", before: place(starts[5]), after: null, sentence: `No longer on ${said(starts[5].soak)}: ${starts[5].chamber}, SOY, 105.0 kg of MUNGSEED-4.` },
    ],
    lines: [{ order: "41-2", item: "M250", group: "retail, market house", day: addDays(DAY, 5), sentence: `Order 41-2 of retail, market house, M250 on ${said(addDays(DAY, 5))}: 800 of 2000 instead of 600.` }],
    harvests: running.filter((r) => r.off_days !== 0).map((r) => ({ lot: r.lot, chamber: r.chamber, before: r.ready, after: r.harvest, sentence: `${r.lot} in ${r.chamber} is harvested on ${said(r.harvest)}, not ${said(r.ready)}.` })),
  };
  return {
    first_day: DAY, days: 21, starts, demand, supply, cost: 1200, bound: 1170, gap: 0.025, by_solver: true, solver: "ok", capacity, running, out: [{ chamber: starts[4].chamber, from: DAY, to: addDays(DAY, 2) }],
    chance: {
      futures: 1000, share_ppm: 973000, share_error_ppm: 900, short_g: 1450000, waste_g: 320000, cost: 1310, cost_error: 22, safety: [{ item: "MUNG", milli: 1250 }],
      lines: [["41-2", 710000, "open"], ["41-3", 960000, "certain"]].map(([order, met_ppm, word]) => ({ order, item: "M250", group: "retail, market house", day: addDays(DAY, 5), pieces: 2000, met_ppm, share_ppm: met_ppm, word, sentence: "" })),
    },
    dropped: [], chambers: count, sums, before: { ...sums, met: 97400, starts: starts.length }, difference,
    orders: [{ order: "41-2", item: "M250", group: "retail, market house", day: addDays(DAY, 5), pieces: 2000, met: 800, rest: { pieces: 1200, day: addDays(DAY, 9) }, leaves: addDays(DAY, 5), instead: [{ given: "M500", pieces: 120, sentence: "120 pieces as M500" }], chance_percent: 71 }, { order: "41-3", item: "M250", group: "retail, market house", day: addDays(DAY, 4), pieces: 900, met: 900, rest: null, leaves: addDays(DAY, 5), instead: [], chance_percent: 96 }],
    purchase: [{ item: "MUNGSEED", supplier: null, here_g: 2e6, use_g: 2.4e6, agreed_g: 0, useless_g: 0, waiting_g: 0, out: addDays(DAY, 16), order_by: addDays(DAY, -5), late_days: 5, order_g: 2.5e6, order_pieces: 0, lead_known: true, sentence: `Order 2500 kg of MUNGSEED now: what is here or agreed lasts until ${said(addDays(DAY, 16))}, so it should have been ordered by ${said(addDays(DAY, -5))}.` }],
    retests: [{ lot: "MUNG-3", markets: "US, EU", from: addDays(DAY, 1), to: addDays(DAY, 4), sentence: `MUNG-3 is tested again: its goods may leave for US, EU from ${said(addDays(DAY, 4))} on, not from ${said(addDays(DAY, 1))}.` }],
    rehearsed: [
      { item: "MUNG", sentence: `MUNG, ${said(addDays(DAY, 1))}: 2 chambers with 180 kg of seed together instead of a chamber with 105 kg of seed. On 200 futures, each played until its goods are sold or gone, that costs 41 less on average (standard error 9).` },
      { item: "SOY", sentence: `SOY, ${said(addDays(DAY, 1))}: nothing, as planned; on 200 futures nothing else that was tried costs less.` },
    ],
    agreed: [{ delivery: "D-12", item: "MUNGSEED", supplier: "RAPHE-3", day: addDays(DAY, 4), g: 500000, pieces: 0, whole_g: 500000, whole_pieces: 0, from: addDays(DAY, 11), late: false, sentence: `D-12: 500 kg of MUNGSEED from RAPHE-3 comes on ${said(addDays(DAY, 4))}; the plan uses it from ${said(addDays(DAY, 11))} on.` }, { delivery: "D-9", item: "DRESSING", supplier: "RAPHE-1", day: addDays(DAY, -2), g: 40000, pieces: 0, whole_g: 40000, whole_pieces: 0, from: null, late: true, sentence: `D-9: 40.0 kg of DRESSING from RAPHE-1 was to come on ${said(addDays(DAY, -2))}. The plan does not count on it: agree another day, or take it back.` }],
    shorts: [{ order: "41-2", item: "M250", group: "retail, market house", day: addDays(DAY, 5), pieces: 1200, limit: "chambers", forecast: false, sentence: "1200 packs of M250 for RADICLE-1 are short: no chamber is free nine days before; one more chamber would give 2500 packs.", gain: { pieces: 1200, g: 632000, sentence: "One more chamber would give 1200 more pieces of it and 632 kg more packed in all, 30.1 kg a chamber-day." } }, { order: null, item: "M250", group: "retail, market house", day: addDays(DAY, 6), pieces: 1200, limit: "seed", forecast: true, sentence: "1200 packs of the forecast are short: approved seed runs out; 100 kg more would give 2500 packs.", gain: null }],
  };
}

const check = (kind, title, state, tone, more) => ({ kind, title, instrument: null, at_ms: null, entry: null, due_ms: null, state, tone, ...more });
export const packing = {
  lines: [
    { place: "P-1", name: "P-1", in_service: true, run: "P-1-20781-mung", checks: [
      check("metal-check", "Check the metal detector", "due", "due", { at_ms: NOW - 3 * 36e5, entry: 3099 }), check("seal-check", "Check seals", "none", "waiting", {}),
      check("calibrate", "Calibrate", "good", "done", { instrument: "CW-1", due_ms: NOW + 40 * 864e5 })] },
    { place: "P-2", name: "P-2", in_service: true, run: null, checks: [check("metal-check", "Check the metal detector", "bad", "stopped", { at_ms: NOW - 36e5, entry: 3101 })] },
  ],
  runs: [
    { run: "P-1-20781-mung", place: "P-1", family: "mung", start_ms: NOW - 4 * 36e5, end_ms: null, entry: 3060, lots: 1, pieces: 2694, cases: 135, declared_mg: 250000, mean_net_mg: 252700, giveaway_mg: 7273800, giveaway_ppm: 10800 },
    { run: "P-2-20780-soy", place: "P-2", family: "soy", start_ms: NOW - 30 * 36e5, end_ms: NOW - 26 * 36e5, entry: 2960, lots: 0, pieces: 0, cases: 0, declared_mg: null, mean_net_mg: null, giveaway_mg: 0, giveaway_ppm: null },
  ],
  lots: [
    { entry: 3073, at_ms: NOW - 5 * 36e5, place: "P-1", run: "P-1-20781-mung", lot: "M250-20781-03", item: "M250", pieces: 2694, cases: 135, declared_mg: 250000, mean_net_mg: 252700, giveaway_mg: 7273800, holds: 2, state: "held", tone: "stopped", label: { entry: 3080, state: "good", tone: "done" } },
    { entry: 2970, at_ms: NOW - 27 * 36e5, place: "P-2", run: "P-2-20780-soy", lot: "S300-20780-01", item: "S300", pieces: 1200, cases: 60, declared_mg: 300000, mean_net_mg: 304100, giveaway_mg: 4920000, holds: 0, state: "released", tone: "done", label: { entry: null, state: "due", tone: "due" } },
  ],
};

const kept = (lot, item, mg, pieces, left_d, life, life_tone, leave_by, more) => ({
  lot, item, kind: "packed", place: "K-1", mg, pieces, holds: 0, state: "released", tone: "done", born_ms: NOW - 864e5, day: "2026-03-10", age_d: 7 - left_d,
  best_before: "2026-03-18", left_d, leave_by, takers: 3, customers: 6, life, life_tone, ...more,
});
export const keeping = {
  day: "2026-03-11",
  rooms: [
    { place: "K-1", name: "K-1", lots: 3, mg: 1405e6, temp_mc: 2800, temp_ms: NOW - 36e5, how: "checked", entry: 3120, low_mc: 0, high_mc: 5000, state: "within", tone: "done", excursions: [] },
    { place: "K-2", name: "K-2", lots: 1, mg: 240e6, temp_mc: 7200, temp_ms: NOW - 18e5, how: "logged", entry: null, low_mc: 0, high_mc: 5000, state: "outside", tone: "stopped", excursions: [{ entry: 3130, sentence: "temp is 7.2 C; it must be 0 C to 5 C.", from_ms: NOW - 36e5, to_ms: NOW - 18e5, closed: false }] },
    { place: "K-3", name: "K-3", lots: 0, mg: 0, temp_mc: null, temp_ms: null, how: null, entry: null, low_mc: 0, high_mc: 5000, state: "none", tone: "due", excursions: [] },
  ],
  customers: [{ customer: "RADICLE-1", life_days: 4, market: "house", entry: 82 }, { customer: "NODE-5", life_days: 3, market: "house", entry: 86 }],
  stock: [
    kept("M250-20775-01", "M250", 84e6, 336, 1, "nobody", "stopped", "2026-03-10", { takers: 0 }), kept("M250-20776-02", "M250", 240e6, 960, 2, "today", "due", "2026-03-11"),
    kept("M250-20781-03", "M250", 681e6, 2694, 7, "all", "done", "2026-03-16", { holds: 2, state: "held", tone: "stopped", takers: 6 }),
    kept("S300-20780-01", "S300", 360e6, 1200, 6, "fewer", "due", "2026-03-15"),
  ],
};

export function sweep(name, body) {
  const at = Number(body.inputs[body.over]);
  const x = Array.from({ length: 41 }, (_, i) => at * (0.5 + i / 40));
  return { calculation: name, over: body.over, what: "What is changed", unit: "kg", at, x, curves: [{ name: "out", what: "What comes out", unit: "kg", y: x.map((v) => v * 7.1) }] };
}
