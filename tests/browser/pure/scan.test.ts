import assert from "node:assert/strict";
import { test } from "node:test";
import { readScan, SCAN_GAP_MS, ScanGatherer } from "../../../ui/src/base/scan";

function keys(text: string, gap_ms: number) {
  return [...text].map((key, i) => ({ key, at_ms: 1000 + i * gap_ms }));
}

function type(gatherer: ScanGatherer, text: string, gap_ms: number, end = "Enter") {
  let at = 1000;
  for (const key of text) {
    gatherer.push(key, at);
    at += gap_ms;
  }
  return gatherer.push(end, at).scan;
}

test("a fast run that ends in Enter is a scan", () => {
  assert.deepEqual(type(new ScanGatherer(), "M250-20781-03", 5), { code: "M250-20781-03", symbology: null });
});

test("a symbology identifier is taken off and kept beside", () => {
  assert.deepEqual(readScan(keys("]C1MUNG-20772-C03", 4)), { code: "MUNG-20772-C03", symbology: "C1" });
});

test("what a person types is never a scan, however long", () => {
  assert.equal(type(new ScanGatherer(), "MUNG-20772-C03", 80), null);
  assert.equal(type(new ScanGatherer(), "MUNG-20772-C03", SCAN_GAP_MS), null);
});

test("one slow key in the middle makes two runs", () => {
  const g = new ScanGatherer();
  g.push("A", 1000);
  g.push("B", 1005);
  assert.equal(g.push("C", 1200).begins, true);
  g.push("D", 1205);
  assert.equal(g.push("Enter", 1210).scan, null);
});

test("a fast word without the look of a code is left alone", () => {
  assert.equal(readScan(keys("hello", 5)), null);
});

test("a run without an end is no scan, and the next one starts anew", () => {
  const g = new ScanGatherer();
  for (const k of keys("L20771-3", 5)) g.push(k.key, k.at_ms);
  assert.equal(g.push("Enter", 5000).scan, null);
  assert.deepEqual(type(g, "L20771-3", 5), { code: "L20771-3", symbology: null });
});

test("keys that are not letters do not break a scan", () => {
  const g = new ScanGatherer();
  g.push("C", 1000);
  g.push("Shift", 1004);
  for (const [i, key] of [..."-014"].entries()) g.push(key, 1008 + i * 4);
  assert.deepEqual(g.push("Enter", 1026).scan, { code: "C-014", symbology: null });
});
