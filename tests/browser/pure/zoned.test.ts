/* Typed times are those of the house. The offsets and days of clock changes are those of the time zone data
 * base (published (seen)): Europe/Vienna UTC+1, in summer +2, from 29 March to 25 October 2026; America/Chicago
 * UTC-6, in summer -5, from 8 March to 1 November 2026; Australia/Lord_Howe UTC+10:30, in summer +11, until
 * 5 April 2026 and from 4 October 2026; Asia/Kolkata UTC+5:30 all year. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { zone } from "../../../ui/src/base/format";
import { setWords } from "../../../ui/src/base/words";
import { clockPart, instantOf, localText, offsetMin, offsetText, readLocal } from "../../../ui/src/base/zoned";
import type { Field, Form } from "../../../ui/src/api/types";
import { commandOf, said, wrongWith } from "../../../ui/src/record/values";

const VIENNA = "Europe/Vienna", CHICAGO = "America/Chicago", HOWE = "Australia/Lord_Howe", KOLKATA = "Asia/Kolkata";
const iso = (text: string, at: string) => {
  const ms = instantOf(text, at);
  return ms === null ? null : new Date(ms).toISOString();
};

test("a typed time is read in the zone that is given, whatever the device's own is", () => {
  for (const own of ["UTC", "Asia/Tokyo", "America/Chicago"]) {
    process.env["TZ"] = own;
    assert.equal(iso("2026-03-01T05:30", VIENNA), "2026-03-01T04:30:00.000Z");
    assert.equal(iso("2026-07-01T05:30:15", VIENNA), "2026-07-01T03:30:15.000Z");
    assert.equal(iso("2026-03-01T05:30", CHICAGO), "2026-03-01T11:30:00.000Z");
    assert.equal(iso("2026-07-01 23:30", CHICAGO), "2026-07-02T04:30:00.000Z");
    assert.equal(iso("2026-07-01T05:30", KOLKATA), "2026-07-01T00:00:00.000Z");
  }
  process.env["TZ"] = "UTC";
});

test("a time that clocks jumped over is none, and it is said from when to when they went", () => {
  assert.deepEqual(readLocal("2026-03-29T02:30", VIENNA), { kind: "none", from: "02:00", to: "03:00" });
  assert.deepEqual(readLocal("2026-03-29T02:00", VIENNA), { kind: "none", from: "02:00", to: "03:00" });
  assert.equal(iso("2026-03-29T01:59:59", VIENNA), "2026-03-29T00:59:59.000Z");
  assert.equal(iso("2026-03-29T03:00", VIENNA), "2026-03-29T01:00:00.000Z");
  assert.deepEqual(readLocal("2026-03-08T02:15", CHICAGO), { kind: "none", from: "02:00", to: "03:00" });
  assert.equal(iso("2026-03-08T03:00", CHICAGO), "2026-03-08T08:00:00.000Z");
  assert.deepEqual(readLocal("2026-10-04T02:10", HOWE), { kind: "none", from: "02:00", to: "02:30" });
  assert.equal(iso("2026-03-29T02:30", CHICAGO), "2026-03-29T07:30:00.000Z"); /* the day of another zone */
});

test("a time that came twice is asked about, and its offset settles it", () => {
  const vienna = readLocal("2026-10-25T02:30", VIENNA);
  assert.deepEqual(vienna, { kind: "twice", ms: [Date.UTC(2026, 9, 25, 0, 30), Date.UTC(2026, 9, 25, 1, 30)] });
  assert.equal(iso("2026-10-25T02:30", VIENNA), null);
  assert.equal(iso("2026-10-25T02:30+02:00", VIENNA), "2026-10-25T00:30:00.000Z");
  assert.equal(iso("2026-10-25T02:30+01:00", VIENNA), "2026-10-25T01:30:00.000Z");
  assert.equal(iso("2026-10-25T03:00", VIENNA), "2026-10-25T02:00:00.000Z");
  assert.equal(iso("2026-10-25T01:59:59", VIENNA), "2026-10-24T23:59:59.000Z");
  assert.deepEqual(readLocal("2026-11-01T01:00", CHICAGO), { kind: "twice", ms: [Date.UTC(2026, 10, 1, 6), Date.UTC(2026, 10, 1, 7)] });
  assert.deepEqual(readLocal("2026-04-05T01:45", HOWE), { kind: "twice", ms: [Date.UTC(2026, 3, 4, 14, 45), Date.UTC(2026, 3, 4, 15, 15)] });
});

test("what is no time is none", () => {
  for (const text of ["", "yesterday", "2026-02-30T10:00", "2026-13-01T10:00", "2026-03-01", "2026-03-01T24:30"]) {
    assert.deepEqual(readLocal(text, VIENNA), { kind: "bad" }, text);
  }
});

test("an instant is shown as the house's clock shows it, and reads back as the same", () => {
  assert.equal(localText(Date.UTC(2026, 2, 1, 4, 30), VIENNA), "2026-03-01T05:30:00");
  assert.equal(localText(Date.UTC(2026, 9, 25, 1, 30), VIENNA), "2026-10-25T02:30:00+01:00");
  assert.equal(clockPart("2026-10-25T02:30:00+01:00"), "2026-10-25T02:30:00");
  for (const at of [VIENNA, CHICAGO, HOWE, KOLKATA]) {
    for (let ms = Date.UTC(2026, 0, 1); ms < Date.UTC(2027, 0, 1); ms += 15 * 60000) assert.equal(instantOf(localText(ms, at), at), ms);
  }
});

test("an offset is written with its sign", () => {
  assert.equal(offsetText(offsetMin(Date.UTC(2026, 6, 1), VIENNA)), "+02:00");
  assert.equal(offsetText(offsetMin(Date.UTC(2026, 0, 1), CHICAGO)), "-06:00");
  assert.equal(offsetText(offsetMin(Date.UTC(2026, 6, 1), HOWE)), "+10:30");
  assert.equal(offsetText(-210), "-03:30");
});

/* ---- as the forms use it */

const plain = { required: true, either: null, choices: null, of: null, unit: null, help: null, default: null, only_with: null };
const start: Field = { name: "start", label: "Start", kind: "time", ...plain };
const series: Field = { name: "series", label: "Series", kind: "series", ...plain };
const form = { kind: "clean", title: "Clean", fields: [start, series] } as unknown as Form;

function inVienna(): void {
  zone.value = VIENNA;
  setWords("en", { "ui.time.none": "none {0} {1} {2}", "ui.time.twice": "twice {0}", "ui.time.bad": "bad" });
}

test("a form tells the instant of the house's clock", () => {
  inVienna();
  const typed = { start: "2026-07-01T05:30", series: JSON.stringify({ name: "treater-1", from: "2026-07-01T05:00", to: "2026-10-25T02:10+01:00" }) };
  assert.deepEqual(commandOf(form, typed), {
    kind: "clean", start: "2026-07-01T03:30:00.000Z",
    series: { name: "treater-1", from: "2026-07-01T03:00:00.000Z", to: "2026-10-25T01:10:00.000Z" },
  });
  zone.value = CHICAGO;
  assert.equal(commandOf(form, typed)["start"], "2026-07-01T10:30:00.000Z");
});

test("a form refuses a time that is unclear, and says why", () => {
  inVienna();
  assert.equal(wrongWith(start, { start: "2026-03-29T02:30" }), "none 02:00 03:00 Europe/Vienna");
  assert.equal(wrongWith(start, { start: "2026-10-25T02:30" }), "twice Europe/Vienna");
  assert.equal(wrongWith(start, { start: "2026-10-25T02:30+02:00" }), null);
  assert.equal(wrongWith(start, { start: "soon" }), "bad");
  const of = (from: string, to: string) => ({ series: JSON.stringify({ name: "treater-1", from, to }) });
  assert.equal(wrongWith(series, of("2026-03-29T02:30", "2026-03-29T04:00")), "none 02:00 03:00 Europe/Vienna");
  assert.equal(wrongWith(series, of("2026-03-29T01:30", "")), "bad");
  assert.equal(wrongWith(series, of("2026-03-29T01:30", "2026-03-29T04:00")), null);
});

test("a time is read back as the house's clock shows it, with the offset only where it was asked about", () => {
  inVienna();
  assert.equal(said(start, "2026-07-01T05:30"), "Wed 1 Jul 05:30");
  assert.equal(said(start, "2026-10-25T02:30+01:00"), "Sun 25 Oct 02:30 (+01:00)");
});
