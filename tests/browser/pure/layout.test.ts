import assert from "node:assert/strict";
import { test } from "node:test";
import type { Plan, Trace } from "../../../ui/src/api/types";
import { bars, limits, named, strips, STRIPS_MOST, usesOf, usesOfDifference } from "../../../ui/src/plan/layout";
import { groupCount, grouped, isGroup } from "../../../ui/src/trace/group";
import { columns, picture } from "../../../ui/src/trace/layout";
import { plan as madePlan } from "../made/house.mjs";
import { trace as madeTrace } from "../made/plant.mjs";

const trace = madeTrace("M250-20781-03", "forward") as unknown as Trace;

test("a child stands right of each of its parents", () => {
  const at = columns(trace);
  for (const s of trace.steps) assert.ok((at.get(s.parent) as number) < (at.get(s.child) as number), `${s.parent} ${s.child}`);
});

test("a circle in the answer does not hang the page", () => {
  const lots = ["A", "B"].map((lot) => ({ ...trace.lots[0], lot }));
  const steps = [["A", "B"], ["B", "A"]].map(([parent, child]) => ({ ...trace.steps[0], parent, child }));
  assert.equal(columns({ ...trace, lots, steps } as Trace).size, 2);
});

test("boxes of a column do not overlap, and every lot and customer has a place", () => {
  const p = picture(trace);
  assert.equal(p.boxes.length, trace.lots.length);
  assert.equal(p.ends.length, trace.customers.length);
  for (const a of p.boxes) {
    for (const b of p.boxes) {
      if (a === b || a.column !== b.column) continue;
      assert.ok(a.y + a.h <= b.y || b.y + b.h <= a.y, `${a.lot.lot} ${b.lot.lot}`);
    }
  }
});

test("more mass is a taller box", () => {
  const p = picture(trace);
  const seed = p.boxes.find((b) => b.lot.lot === "MUNGSEED-4");
  const hulls = p.boxes.find((b) => b.lot.kind === "by-product");
  assert.ok(seed && hulls && seed.h > hulls.h);
});

test("bars sum orders and supply of the day, of one item or all", () => {
  const plan = madePlan(24) as unknown as Plan;
  const all = bars(plan, "");
  assert.equal(all.length, 21);
  assert.equal(all[5]?.short, 1200);
  assert.equal(all[5]?.supply, (all[5]?.orders ?? 0) - 1200);
  assert.equal(bars(plan, "none")[5]?.orders, 0);
});

test("few chambers have a strip each, in the order of their names", () => {
  const plan = madePlan(12) as unknown as Plan;
  const rows = strips(usesOf(plan, []), plan.first_day, 21, []);
  assert.deepEqual(rows.map((r) => r.label), Array.from({ length: 12 }, (_, i) => `C-${String(i + 1).padStart(2, "0")}`));
});

test("200 chambers are grouped, none is lost, and no two bars of a strip meet", () => {
  const plan = madePlan(200) as unknown as Plan;
  const uses = usesOf(plan, []);
  const rows = strips(uses, plan.first_day, 21, []);
  assert.ok(rows.length <= STRIPS_MOST * 2, `${rows.length} strips`);
  const count = rows.flatMap((r) => r.uses).reduce((s, u) => s + u.count, 0);
  assert.equal(count, uses.length);
  for (const row of rows) {
    row.uses.reduce((end, u) => {
      assert.ok(u.from >= end);
      return u.to;
    }, 0);
  }
});

test("gaps are named worst first, and no two names meet", () => {
  const gap = (short: number) => ({ day: "", orders: short, booked: 0, supply: 0, short });
  const list = [gap(5), gap(900), gap(70), gap(0), gap(8), gap(0), gap(0), gap(3)];
  assert.deepEqual(named(list, 40, () => 30), [0, 1, 2, 4, 7]); /* all, where there is room */
  assert.deepEqual(named(list, 10, () => 30), [1, 7]); /* the worst, and what stands clear of it */
  assert.deepEqual(named([gap(0)], 40, () => 30), []);
});

test("a difference draws the place a moved start leaves and the one it takes", () => {
  const plan = madePlan(24) as unknown as Plan;
  assert.ok(plan.difference);
  const uses = usesOfDifference(plan.difference);
  assert.deepEqual(uses.map((u) => u.state).sort(), ["added", "gone", "gone", "moved"]);
  const rows = strips(uses, plan.first_day, plan.days, [], true);
  assert.equal(rows.flatMap((r) => r.uses).reduce((s, u) => s + u.count, 0), 4);
});

test("limits that the house has not are left out", () => {
  const plan = madePlan(24) as unknown as Plan;
  const all = limits(plan);
  assert.deepEqual(all.map((l) => l.name), ["chambers", "starts", "harvests", "treat", "harvest", "wash", "pack", "work", "work"]);
  const [people, drying] = all.filter((l) => l.name === "work");
  assert.equal(people?.work, "hours of people");
  assert.deepEqual(people?.days[1], { used: 72000, limit: 96000, share: 0.75 });
  assert.equal(drying?.days[4]?.share, 1);
  assert.equal(drying?.days[0]?.limit, 0); /* it has no limit on that day */
  assert.equal(all.find((l) => l.name === "treat")?.days[5]?.share, 1);
  assert.equal(all.find((l) => l.name === "wash")?.days[5]?.used, 2e6);
});

test("lots alike stand as one box when a column holds too many, and the lot in question by itself", () => {
  const one = (lot: string, item: string, mg: number) => ({
    lot, item, kind: "packed", place: null, day: "2026-03-11", born_ms: 1, mg, here_mg: mg, here_pieces: 1, share_ppm: 1000, certain: true, held: false,
  });
  const packs = Array.from({ length: 12 }, (_, i) => one(`M-${i}`, i < 9 ? "M250" : "M1000", 10));
  const trace = {
    code: "S-1", direction: "forward", lots: [{ ...one("S-1", "MUNG", 120), kind: "sorted" }, ...packs],
    steps: packs.map((p, i) => ({ entry: i, kind: "pack", at_ms: 1, place: null, parent: "S-1", child: p.lot, mg: 10, basis: "measured" })),
    customers: [], account: { produced_mg: 0, accounted_mg: 0, accounted_ppm: 0, owed_mg: 0 }, held_lots: 0, here_mg: 0, left_mg: 0, left_pieces: 0, unknown_ppm: 0,
  } as unknown as Trace;
  const together = grouped(trace, []);
  assert.equal(together.lots.length, 3);
  const groups = together.lots.filter((l) => isGroup(l.lot));
  assert.deepEqual(groups.map((g) => groupCount(g.lot)).sort((a, b) => a - b), [3, 9]);
  assert.equal(groups.reduce((s, g) => s + g.mg, 0), 120);
  assert.equal(together.steps.reduce((s, x) => s + x.mg, 0), 120);
  assert.equal(together.steps.length, 2);
  const opened = grouped(trace, [groups[0]?.lot ?? ""]);
  assert.equal(opened.lots.length, 2 + groupCount(groups[0]?.lot ?? ""));
  const few = { ...trace, lots: trace.lots.slice(0, 5) } as Trace;
  assert.equal(grouped(few, []), few);
});
