import assert from "node:assert/strict";
import { test } from "node:test";
import type { Problem } from "../../../ui/src/api/types";
import { asideOf, asideUuid, canonical, keepable } from "../../../ui/src/offline/aside";

const UUID = "01928a4e-7c00-7abc-8def-0123456789ab";
const problem: Problem = {
  type: "about:blank", title: "", status: 409, detail: "chamber: nothing grows in chamber C-08.", code: "chamber-empty",
  field: "chamber", values: ["C-08", "", ""], line: 0, column: 0,
};
const command = { kind: "harvest", uuid: UUID, person: 4, device: "page-1", chamber: "C-08", mass: "790 kg" };

test("names stand in order at every depth, and what is not there is left out", () => {
  assert.equal(canonical({ b: [{ z: 1, a: "\u00e9" }], a: null, c: undefined }), '{"a":null,"b":[{"a":"\u00e9","z":1}]}');
});

test("the number of what is set aside is the same each time, and is not the command's own", () => {
  assert.equal(asideUuid(UUID), "01928a4e-7c00-8abc-8def-0123456789ab");
  assert.equal(asideUuid(UUID), asideUuid(UUID));
  assert.notEqual(asideUuid(UUID), asideUuid(UUID.replace(/b$/, "c")));
});

test("the house is told the command, its number on the device and why it was refused", () => {
  const told = asideOf({ seq: 3, uuid: UUID, command, person: 4, problem });
  assert.deepEqual(told, {
    kind: "set-aside", uuid: asideUuid(UUID), person: 4, number: 3, device: "page-1", code: "chamber-empty", field: "chamber",
    values: ["C-08"], told: canonical(command),
  });
  assert.deepEqual(asideOf({ seq: 3, uuid: UUID, command, person: 4, problem }), told); /* no time of its own */
});

test("a refusal without a field or values says neither", () => {
  const told = asideOf({ seq: 1, uuid: UUID, command, person: 4, problem: { ...problem, field: "", values: ["x".repeat(200), "", ""] } });
  assert.equal("field" in told, false);
  assert.deepEqual(told["values"], []);
  const second = asideOf({ seq: 1, uuid: UUID, command, person: 4, problem: { ...problem, values: ["x".repeat(200), "b"] } });
  assert.deepEqual(second["values"], ["", "b"]); /* each keeps its place in the sentence */
});

test("what is too long for the house goes without its longest parts, which are named", () => {
  const long = { ...command, note: "n".repeat(5000), bytes_b64: "\u00e9".repeat(6000) };
  const { text, leftOut } = keepable(long);
  assert.deepEqual(leftOut, ["bytes_b64"]);
  assert.deepEqual(JSON.parse(text), { ...command, note: long.note });
  assert.deepEqual(asideOf({ seq: 1, uuid: UUID, command: long, person: 4, problem })["left_out"], ["bytes_b64"]);
  assert.deepEqual(keepable(command).leftOut, []);
});
