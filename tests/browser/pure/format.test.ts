import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";
import * as f from "../../../ui/src/base/format";
import { setWords } from "../../../ui/src/base/words";

const CATALOGUE = {
  "ui.pieces.one": "{0} piece", "ui.pieces.other": "{0} pieces", "ui.span.now": "now", "ui.span.minutes": "{0} min",
  "ui.span.hours": "{0} h", "ui.span.days.one": "{0} day", "ui.span.days.other": "{0} days", "ui.yes": "yes", "ui.no": "no",
};
const plain = (s: string) => s.replaceAll(f.THIN, " ");

beforeEach(() => {
  setWords("en", CATALOGUE);
  f.zone.value = "Europe/Vienna";
});

test("a mass shows the unit it is spoken in", () => {
  assert.equal(plain(f.mass(942000000)), "942 kg");
  assert.equal(plain(f.mass(851200000)), "851 kg");
  assert.equal(plain(f.mass(12500000)), "12.5 kg");
  assert.equal(plain(f.mass(250000)), "250 g");
  assert.equal(plain(f.mass(33200000000)), "33.2 t");
  assert.equal(plain(f.mass(-2096200)), "−2.1 kg");
  assert.equal(plain(f.mass(0)), "0 kg");
});

test("a mass shows no more digits than its uncertainty allows", () => {
  assert.equal(plain(f.mass(12345678, 10000)), "12.3 kg");
  assert.equal(plain(f.mass(1234567, 100000)), "1.2 kg");
  assert.equal(plain(f.mass(1234567, 1000000)), "1 kg");
});

test("a range names its unit once", () => {
  assert.equal(plain(f.massRange(770000000, 905000000)), "770–905 kg");
  assert.equal(plain(f.massRange(900000, 1100000)), "900 g – 1.1 kg");
});

test("numbers follow the reader's language", () => {
  setWords("es", CATALOGUE);
  assert.equal(plain(f.mass(12500000)), "12,5 kg");
  assert.equal(f.number(61200), "61.200");
  setWords("en", CATALOGUE);
  assert.equal(f.number(61200), "61,200");
});

test("times are the house's, days are not shifted", () => {
  const ms = Date.parse("2026-03-29T00:30:00Z"); /* half an hour before the clocks go forward there */
  assert.equal(f.clock(ms), "01:30");
  assert.equal(f.clock(ms + 3600000), "03:30");
  assert.equal(f.dayOf(Date.parse("2026-03-11T23:30:00Z")), "2026-03-12");
  assert.equal(f.day("2026-03-11"), "Wed 11 Mar");
  assert.equal(f.addDays("2026-02-27", 3), "2026-03-02");
  assert.equal(f.daysBetween("2026-03-28", "2026-03-30"), 2);
});

test("ages go from minutes to days", () => {
  assert.equal(f.span(20000), "now");
  assert.equal(f.span(52 * 60000), "52 min");
  assert.equal(f.span(6 * 3600000), "6 h");
  assert.equal(f.span(24 * 3600000 * 3), "3 days");
});

test("results of calculations are readable", () => {
  assert.equal(f.result(632.39999999), "632.4");
  assert.equal(f.result(0.05999999), "0.06");
  assert.equal(f.result(true), "yes");
  assert.equal(f.result([1, 2.5]), "1 · 2.5");
});
