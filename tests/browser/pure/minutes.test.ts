import assert from "node:assert/strict";
import { test } from "node:test";
import type { Dayline } from "../../../ui/src/api/types";
import { left, minutesOf, picture, shownPart } from "../../../ui/src/plan/minutes";
import { dayline } from "../made/dayline.mjs";
import { DAY } from "../made/plant.mjs";

const day = dayline(DAY) as unknown as Dayline;

test("every bar lies within the picture, and no two of a line meet", () => {
  const p = picture(day);
  assert.ok(p);
  assert.equal(p.rows.length, 6);
  for (const row of p.rows) {
    for (const bar of row.bars) {
      assert.ok(left(p, bar.from_ms) >= 128 && left(p, bar.to_ms) <= p.width);
      assert.equal(row.bars.filter((b) => b.from_ms < bar.to_ms && b.to_ms > bar.from_ms).length, 1);
    }
  }
});

test("a truck that nothing waits for is not drawn, the others each have a row", () => {
  const p = picture(day);
  assert.ok(p);
  assert.deepEqual(p.trucks.map((x) => x.truck), ["kitchens", "retail", "wholesale"]);
  assert.equal(new Set(p.trucks.map((x) => x.y)).size, 3);
  assert.ok(p.top > Math.max(...p.trucks.map((x) => x.y), p.now_y));
});

test("minutes are as long everywhere, and what lies outside is cut", () => {
  const p = picture(day);
  assert.ok(p);
  const hour = 3600000;
  assert.ok(Math.abs(left(p, p.from_ms + hour) - left(p, p.from_ms) - 60 * p.px) < 1e-9);
  assert.equal(shownPart(p, p.from_ms - 2 * hour, p.from_ms - hour), null);
  assert.deepEqual(shownPart(p, p.from_ms - hour, p.from_ms + hour), [left(p, p.from_ms), left(p, p.from_ms + hour)]);
  assert.equal(minutesOf(0, 90 * 60000), 90);
});

test("an empty day has no picture", () => {
  assert.equal(picture(dayline("2026-03-12") as unknown as Dayline), null);
});
