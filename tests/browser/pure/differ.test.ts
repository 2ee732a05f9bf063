import assert from "node:assert/strict";
import { test } from "node:test";
import { differences } from "../../../ui/src/base/differ";

const now = {
  name: "house", version: 1,
  limits: [{ limit: "expansion", items: ["MUNG"], high: "12" }, { limit: "expansion", high: "14" }, { limit: "purity", low: "98" }],
  planning: { frozen_days: 2, pallet: 40 },
};

test("nothing differs from itself, in whatever order", () => {
  assert.deepEqual(differences(now, { ...now, limits: [now.limits[2], now.limits[1], now.limits[0]] }), []);
});

test("what is new, gone or other is told by its section and name", () => {
  const next = {
    name: "house", version: 2,
    limits: [{ limit: "expansion", items: ["MUNG"], high: "11" }, { limit: "expansion", high: "14" }, { limit: "germination", low: "94" }],
    planning: { frozen_days: 3, pallet: 40 }, markets: [{ market: "EU" }],
  };
  assert.deepEqual(differences(now, next), [
    { section: "version", name: "", what: "other" },
    { section: "limits", name: "expansion (MUNG)", what: "other" },
    { section: "limits", name: "germination", what: "new" },
    { section: "limits", name: "purity", what: "gone" },
    { section: "planning", name: "frozen_days", what: "other" },
    { section: "markets", name: "EU", what: "new" },
  ]);
});
