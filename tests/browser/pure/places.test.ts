import assert from "node:assert/strict";
import { test } from "node:test";
import { bottomFor, placesFor } from "../../../ui/src/shell/places";

const ROLES = ["grower", "line", "quality", "planner", "dispatch", "intake", "hygiene", "maintenance", "manager", "auditor", "of no name"];

test("a house that receives fruit is offered no chambers and no lines through which they go", () => {
  const grows = placesFor(["record:receive"], false).map((p) => p.key);
  const receives = placesFor(["record:receive"], true).map((p) => p.key);
  assert.deepEqual(grows.filter((key) => !receives.includes(key)), ["lines", "chambers"]);
  assert.deepEqual(receives.filter((key) => !grows.includes(key)), []);
});

test("who may record nothing is not offered to", () => {
  assert.ok(!placesFor(["plan"], true).some((p) => p.key === "record"));
});

test("at the bottom of a phone stand four, each of them offered, whatever the house", () => {
  for (const role of ROLES)
    for (const receives of [false, true]) {
      const keys = bottomFor(role, receives);
      const offered = placesFor(["record:receive"], receives).map((p) => p.key);
      assert.equal(new Set(keys).size, 4, role);
      assert.deepEqual(keys.filter((key) => !offered.includes(key)), [], role);
    }
});
