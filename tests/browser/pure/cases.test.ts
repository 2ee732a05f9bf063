import assert from "node:assert/strict";
import { test } from "node:test";
import { caseNumber, readRanges, toldCases, writeRanges } from "../../../ui/src/base/cases";

test("a case's number stands behind its lot", () => {
  assert.equal(caseNumber("M250-20781-03-0040", "M250-20781-03"), 40);
  assert.equal(caseNumber("M250-20781-03", "M250-20781-03"), null);
  assert.equal(caseNumber("M250-20781-033-0040", "M250-20781-03"), null);
  assert.equal(caseNumber("M250-20781-03-A", "M250-20781-03"), null);
});

test("numbers and ranges are read, in any order, each once", () => {
  assert.deepEqual(readRanges("1-3, 7; 5 – 6,2"), [1, 2, 3, 5, 6, 7]);
  assert.deepEqual(readRanges("12..14"), [12, 13, 14]);
  assert.deepEqual(readRanges(""), []);
  assert.deepEqual(readRanges(" , "), []);
  for (const wrong of ["3-1", "a", "1-", "1 2", "-4", "1-2-3", "0-4000"]) assert.equal(readRanges(wrong), null, wrong);
  assert.equal(readRanges("1-3000, 5000-7000"), null);
});

test("they are written as short as they can be", () => {
  assert.equal(writeRanges([3, 1, 2, 9]), "1-3, 9");
  assert.equal(writeRanges([]), "");
  assert.deepEqual(readRanges(writeRanges([4, 5, 6, 20, 22])), [4, 5, 6, 20, 22]);
});

test("a command names them by their codes", () => {
  const code = (n: number) => `X-${String(n).padStart(4, "0")}`;
  assert.deepEqual(toldCases([1, 2, 3, 9], code), ["X-0001..X-0003", "X-0009"]);
});
