/* Which figures of a sentence can be asked. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { figuresOf } from "../../../ui/src/base/figures";

test("figures are taken with what they count, dates, times and codes are not", () => {
  assert.deepEqual(figuresOf("Chamber C-04 is ready since 23 November 2026 15:07: harvest it, 668 kg to 732 kg."), ["668 kg", "732 kg"]);
  assert.deepEqual(figuresOf("La cámara C-04 está lista desde el 23 de noviembre de 2026 15:07: cosecharla, 668 kg a 732 kg."), ["668 kg", "732 kg"]);
  assert.deepEqual(figuresOf("Sample URD-20779-C21-S1 did not reach the next hand as it should: it came at 9.5 C."), ["9.5 C"]);
  assert.deepEqual(figuresOf("Lot L20769-2 is silent for 41 s, 2 cases of it, 0.8 % and 3,2 mg/L."), ["41 s", "2 cases", "0.8 %", "3,2 mg/L"]);
  assert.deepEqual(figuresOf("Release M250-20782-03 for house"), []);
});
