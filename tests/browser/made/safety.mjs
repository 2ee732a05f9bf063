/* The made-up plant's food safety: what is open, what comes round, samples, water, a treatment. */
import { NOW } from "./plant.mjs";

const H = 3600000;
const D = 24 * H;

export const board = {
  deviations: [
    { deviation: 12845056, entry: 3136, rule: "check-failed", sentence: "seal-check was not passed: open corner.", lot: null, place: "P-1", at_ms: NOW - 3 * H, by: 7, from_ms: NOW - 5 * H, to_ms: null, next: "correct", mine: false, action: null, lots: ["M250-20781-03", "M250-20781-02"], lot_count: 2 },
    { deviation: 12705792, entry: 3102, rule: "log-gap", sentence: "The log of load L20771-3 is silent for 41 s.", lot: "L20771-3", place: "TR-1", at_ms: NOW - 26 * H, by: 5, from_ms: null, to_ms: null, next: "verify", mine: false, action: { entry: 3110, by: 5, at_ms: NOW - 20 * H, cause: "A plug of the logger was loose.", correction: "Plug changed, load treated again.", disposition: "rework", restart: "a log without a gap" }, lots: ["L20771-3"], lot_count: 1 },
  ],
  deviation_count: 2,
  environments: [{ environment: 12001, place: "P-1", product_hold: true, opened_ms: NOW - 2 * D, tasks: 4, organism: "Listeria spp.", sample: "SW-3090", site: "BELT-1", zone: 1, clear: 3 }],
  blocks: [
    { kind: "duty", code: "BLADES", sentence: "Count the blades", place: "W-2", since_ms: NOW - 9 * D, form: "duty-done", with: { duty: "BLADES" } },
    { kind: "work-order", code: "W3120", sentence: "New belt", place: "W-1", since_ms: NOW - 4 * H, form: "hand-back", with: { work_order: "W3120" } },
  ],
  waiting: [
    { lot: "M250-20781-03", item: "M250", mg: 310e6, unmet: [{ clause: "negative", title: "Laboratory negative", lot: "MUNG-20772-C03", place: null, sentence: "Salmonella spp. has no final result for MUNG-20772-C03 yet." }, { clause: "reviewed", title: "Records reviewed", lot: "M250-20781-03", place: null, sentence: "6 records of M250-20781-03 are not reviewed." }] },
    { lot: "S200-20780-01", item: "S200", mg: 120e6, unmet: [] },
  ],
  waiting_count: 2,
};

const duty = (code, title, role, state, last_ms, every_ms, more = {}) => ({ code, title, kind: "other", by: "told", role, source: "House plan", place: null, about: null, every_ms, last_ms, due_ms: (last_ms ?? NOW - D) + every_ms, state, blocks: false, form: "duty-done", verb: "Done", with: { duty: code }, ...more });
const site = (name, place, zone, surface, last_ms, result, next) => ({ site: name, place, surface, zone, last_ms, result, next });

export function schedule(per_round) {
  const sites = [
    site("DRAIN-2", "W-2", 3, "Floor drain", null, "none", true), site("BELT-1", "P-1", 1, "Harvest belt", NOW - 21 * D, "confirmed-positive", true),
    site("FRAME-1", "P-1", 2, "Frame of the weigher", NOW - 12 * D, "negative", true), site("TRAY-4", "W-1", 1, "Wash tray", NOW - 6 * D, "negative", true),
    site("DOOR-1", "W-1", 4, "Door handle", NOW - 5 * D, "waiting", true), site("FAN-3", "K-1", 3, "Fan of the evaporator", NOW - 2 * D, "presumptive", false),
  ];
  return {
    now_ms: NOW, per_round, rounds: Math.ceil(sites.length / per_round), sites: sites.map((s, i) => ({ ...s, next: i < per_round })),
    duties: [
      duty("BLADES", "Count the blades", "maintenance", "overdue", NOW - 20 * D, 7 * D, { place: "W-2", blocks: true }),
      duty("CL-P1", "Clean the pack line", "hygiene", "due", NOW - 26 * H, D, { place: "P-1", by: "clean", kind: "clean", form: "clean", verb: "Clean", with: { place: "P-1" } }),
      duty("TRAPS", "Walk round the traps", "hygiene", "late", NOW - 9 * D, 7 * D),
      duty("GLASS", "Walk round glass and hard plastic", "quality", "done", NOW - 3 * D, 30 * D),
    ],
    zones: [1, 2, 3, 4].map((zone) => ({ zone, every_ms: zone < 3 ? 7 * D : 30 * D, clear: 3, source: "House plan of swabs" })),
    hits: [{ month: "2026-03", zone: 1, swabs: 8, hits: 0, low_ppm: 0, high_ppm: 324418 }, { month: "2026-02", zone: 1, swabs: 16, hits: 1, low_ppm: 11120, high_ppm: 283300 }],
  };
}

const note = (entry, code, days, more = {}) => ({ entry, code, place: null, lot: null, ok: true, at_ms: NOW - days * D, by: 7, ...more });
export const registers = {
  now_ms: NOW,
  registers: [
    { register: "BLADES-T", of: "blades", place: "T-1", expected: 12, year: 52, year_off: 1, counts: [note(3120, "BLADES-T", 1, { counted: 12, expected: 12, what: "" }), note(3011, "BLADES-T", 8, { ok: false, counted: 11, expected: 12, what: "one under the guard" })] },
    { register: "GLASS-P", of: "glass", place: "P-1", expected: 9, year: 0, year_off: 0, counts: [] },
  ],
  rounds: [
    { duty: "PEST", title: "Look at the bait stations", of: "pest", place: "SITE-1", state: "late", due_ms: NOW - 4 * D, role: "hygiene", told: true, year: 12, year_off: 1, notes: [note(3001, "PEST", 32, { what: "no bait taken" })] },
    { duty: "GLASS", title: "Walk round for glass", of: "glass", place: null, state: "done", due_ms: NOW + 4 * D, role: "hygiene", told: true, year: 50, year_off: 0, notes: [] },
  ],
  work: [
    { work_order: "W3120", place: "W-1", what: "New belt", opened_ms: NOW - 4 * H, entry: 3120, by: 9, open: true, back_ms: null, back_by: null, back_entry: null, note: null },
    { work_order: "W2900", place: "P-1", what: "Bearing", opened_ms: NOW - 20 * D, entry: 2900, by: 9, open: false, back_ms: NOW - 19 * D, back_by: 7, back_entry: 2911, note: "4 screws, 2 spanners" },
  ],
  work_places: [{ place: "W-1", orders: 1, open: 1 }, { place: "P-1", orders: 1, open: 0 }],
  rejects: [note(3099, "iron", 2, { ok: false, place: "P-1", what: "a shaving of 3 mm in the bin", passes: 3 }), note(3050, "none", 5, { place: "P-1", what: "wet pack", passes: 3 })],
  retained: [
    { retained: "K3001", lot: "M250-20781-03", place: "K-1", at_ms: NOW - 20 * D, until_ms: NOW - D, pieces: 2, mg: 500000, entry: 3001, over: true },
    { retained: "K3100", lot: "S200-20780-01", place: "K-1", at_ms: NOW - D, until_ms: NOW + 14 * D, pieces: 2, mg: 400000, entry: 3100, over: false },
  ],
  deliveries: [
    { supplier: "TESTA", item: "MUNGSEED", inspection: "tightened", deliveries: 12, accepted: 10, refused: 2, last_ms: NOW - 6 * D },
    { supplier: "HILUM", item: "SOYSEED", inspection: "normal", deliveries: 9, accepted: 9, refused: 0, last_ms: NOW - 2 * D },
  ],

  packs: [
    { check: "seal-check", title: "Check seals", line: "P-1", item: "M250", inspection: "normal", lots: 14, accepted: 14, refused: 0, last_ms: NOW - 3 * H },
    { check: "seal-check", title: "Check seals", line: "P-2", item: "S500", inspection: "tightened", lots: 9, accepted: 7, refused: 2, last_ms: NOW - 5 * H },
  ],};
const complaint = (entry, kind, days, lot) => ({ entry, complaint: kind, lot, item: "M250", at_ms: NOW - days * D, what: "soft and sour after two days", customer: "K-1", pieces: 3, by: 8 });
export const complaints = {
  now_ms: NOW,
  complaints: [complaint(3130, "spoiled", 1, "M250-20781-03"), complaint(3090, "spoiled", 6, "M250-20781-02"), complaint(3060, "spoiled", 9, "M250-20781-02"), complaint(2800, "illness", 50, "M250-20740-01")],
  months: [{ month: "2026-03", item: "M250", complaints: 3, packs: 41000, rate_ppm: 73, low_ppm: 15, high_ppm: 214 }, { month: "2026-02", item: "M250", complaints: 1, packs: 0, rate_ppm: null, low_ppm: null, high_ppm: null }],
  alike: [{ item: "M250", complaint: "spoiled", lots: ["M250-20781-03", "M250-20781-02"], count: 3, asks: true }],
};

const want = { market: "US", what: ["spent-water"], samples: 1, volume_ml: 1500, locations: ["drain"], min_age_ms: 48 * H, organisms: ["Salmonella spp.", "E. coli O157:H7"], source: "21 CFR 112.144", found_per_l_milli: 1998, miss_ppm: 223131 };
const drawn = { sample: "S3140", location: "drain", what: "spent-water", taken_ms: NOW - 20 * H, age_ms: 60 * H, volume_ml: 1500, entry: 3140, findings: [{ organism: "Salmonella spp.", state: "presumptive", at_ms: NOW - H }], custody: [{ at_ms: NOW - 19 * H, ok: true, to: "courier", temp_mc: 4000, seal: "whole" }, { at_ms: NOW - 15 * H, ok: false, to: "laboratory", temp_mc: 9100, seal: "whole" }] };
const batch = (n, state, wet_h, more = {}) => ({ lot: `MUNG-20772-C0${n}`, chamber: `C-0${n}`, item: "MUNG", wet_ms: NOW - wet_h * H, markets: ["US"], wants: [want], samples: [], harvest_ms: NOW + (240 - wet_h) * H, earliest_ms: NOW + (48 - wet_h) * H, latest_ms: NOW + (186 - wet_h) * H, needed: 1, counted: 0, miss_ppm: null, state, ...more });
export const calendar = {
  now_ms: NOW, transit_ms: 6 * H, lab_ms: 48 * H,
  batches: [batch(3, "late", 190), batch(4, "due", 60), batch(5, "early", 12), batch(7, "drawn", 80, { samples: [drawn], counted: 1, miss_ppm: 223131 })],
  waiting: [{ sample: "S3140", lot: "MUNG-20772-C07", place: null, taken_ms: NOW - 20 * H, due_ms: NOW + 34 * H, presumptive: true, late: false }, { sample: "SW-3090", lot: null, place: "P-1", taken_ms: NOW - 70 * H, due_ms: NOW - 16 * H, presumptive: false, late: true }],
};

const readings = (from, swing, low) => Array.from({ length: 40 }, (_, i) => ({ at_ms: NOW - 7 * D + i * 4 * H, value: Math.round(from + swing * Math.sin(i / 3)), ok: from + swing * Math.sin(i / 3) >= low, entry: 2900 + i }));
const gathers = (from, step, count, value) => Array.from({ length: count }, (_, i) => ({ at_ms: from + i * step, value: value(i) }));
const contact = {
  from_ms: NOW - 20 * H, to_ms: NOW, known: true, low: true, giardia: 380, virus: 4001, giardia_asked: 500, virus_asked: 2000, source: "Invented for the demo house",
  worst: [{ kind: "chlorine", unit: "mg/L", value: 1200, entry: 2931 }, { kind: "ph", unit: "pH", value: 7400, entry: 2931 }, { kind: "temp", unit: "C", value: 9000, entry: 2928 }, { kind: "flow", unit: "L/min", value: null, entry: null }],
  segments: [{ code: "TANK-2", volume_ml: 5000000, flow_ml_min: 50000, baffling: 300, t10_ms: 1800000, giardia: 310, virus: 4001 }, { code: "PIPE-2", volume_ml: 180000, flow_ml_min: 50000, baffling: 1000, t10_ms: 216000, giardia: 70, virus: 900 }],
};
const loop = {
  place: "W-2", rule: "recycled", contact, periods: [contact, { from_ms: NOW - 44 * H, to_ms: NOW - 20 * H, known: true, low: false, giardia: 620, virus: 4001 }, { from_ms: NOW - 68 * H, to_ms: NOW - 44 * H, known: false, low: false, giardia: 0, virus: 0 }],
  balance: {
    measure: "solids", unit: "mg/L", limit: 300000, source: "House practice", changed_ms: NOW - 30 * H, next_change_ms: NOW + 18 * H, flows_read: true, leaves_ml_h: 400000, known: true, load: 9000, steady: 420000,
    reach: "reaches", reach_ms: NOW + 7 * H, due: true, change_by_ms: NOW + 7 * H, readings: gathers(NOW - 28 * H, 4 * H, 8, (i) => 40000 + 28000 * i), forecast: gathers(NOW, 2 * H, 10, (i) => 236000 + 9000 * i),
  },
};
export const waters = {
  from_ms: NOW - 7 * D, to_ms: NOW,
  stops: [{ place: "W-2", why: "contact below what is asked", since_ms: NOW - 2 * H, entry: 2931, heard_ms: null, heard_by: null }, { place: "W-3", why: "chlorine below its limit", since_ms: NOW - 5 * H, entry: 2919, heard_ms: NOW - 4 * H, heard_by: 6 }],
  loops: [loop, { place: "W-4", rule: "recycled", contact: { ...contact, known: false, low: false, giardia: 0, virus: 0, worst: [], segments: [] }, periods: [], balance: null }],
  duties: [{ code: "RD-W2", title: "Read the water that goes round", place: "W-2", due_ms: NOW + 3 * H, state: "due" }, { code: "WELL", title: "Inspect the water from its source to the taps", place: null, due_ms: NOW - D, state: "overdue" }],
  places: [{
    place: "W-1", product: [1, 3, 5].map((n) => ({ lot: `WASH-2078${n}`, from_ms: NOW - (7 - n) * D, to_ms: NOW - (7 - n) * D + 6 * H })),
    series: [
      { kind: "chlorine", unit: "mg/L", low: 2000, high: 100000, source: "House practice", readings: readings(4500, 3000, 2000) },
      { kind: "ph", unit: "pH", low: null, high: null, source: null, readings: readings(6800, 200, 0) },
      { kind: "temp", unit: "C", low: null, high: null, source: null, readings: readings(11000, 900, 0) },
    ],
  }],
  systems: [{ place: "WATER-1", results: [{ sample: "WA-3001", taken_ms: NOW - 5 * D, organism: "E. coli", state: "negative", at_ms: NOW - 3 * D }, { sample: "WA-3099", taken_ms: NOW - D, organism: null, state: "waiting", at_ms: null }] }],
};

export function treatment(lot) {
  const points = Array.from({ length: 60 }, (_, i) => {
    const c = i < 20 ? 25 + 3.1 * i : i < 45 ? 86 + Math.sin(i) * 0.4 : 86 - 4 * (i - 44);
    const best = i < 18 ? 0 : i < 45 ? (i - 17) * 4000 : 27 * 4000;
    return { t_ms: NOW - 9 * D + i * 2000, temps_mc: [Math.round(c * 1000), Math.round(c * 1000) + 400], coldest_mc: Math.round(c * 1000) - 300, rate_milli: Math.round(10 ** ((c - 85) / 15) * 1000), f_best_ms: best, f_conservative_ms: Math.round(best * 0.8) };
  });
  return {
    lot, item: "MUNGSEED", way: "recipe", recipe: "mung-85", reason: "met", place: "TR-1", recipe_source: "Validation of 2025, report 4", entry: 3088, at_ms: NOW - 9 * D, met: true,
    hold_s: 44, hold_wanted_s: 40, validation: true, reduction_target_milli: null, signed: null, refused: null, stand_in: "Salmonella on dry seed", reference_mc: 85000, z_mc: 15000, d_ms: 8000, tested_max_mc: 90000,
    curve: { probes: ["PT-1", "PT-2"], logged: 60, lost: 0, gaps: 1, gap_longest_ms: 41000, coldest_probe: 0, overdue: false, limit_mc: 85000, f_best_ms: 108000, f_conservative_ms: 86400, reduction_shown: "10.8", share_come_up_ppm: 60000, share_hold_ppm: 900000, share_cooling_ppm: 40000, points },
    constants: [{ name: "heat_seed_d", value: 8, unit: "s", source: "A study of seed", locator: "table 2", word: "published (abstract only)" }],
    cautions: ["Calculated, not validated: a qualified process authority sets and signs D, z, target, cold spot and limits for this product."],
    deviations: [{ deviation: 12705792, entry: 3102, rule: "log-gap", sentence: "The log of load L20771-3 is silent for 41 s.", closed_ms: null }],
    papers: [{ sha256: "ab".repeat(32), kind: "validation", name: "validation-2025.pdf" }],
  };
}

/* Before pieces of a packed lot are counted; no other form of this plant is inspected by sample. */
export const inspection = (q) => q.get("form") === "seal-check"
  ? { inspection: "tightened", from: "P-1", item: "M250", size: 1200, samples: 20, accept: 0, reject: 1, again: false, recalled: false }
  : { inspection: null, from: null, item: null, size: null, samples: null, accept: null, reject: null, again: false, recalled: false };
