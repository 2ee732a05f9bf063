/* Every text of the pages is in both catalogues, none is without use, and the values fit. */
import assert from "node:assert/strict";
import { readdirSync, readFileSync, statSync } from "node:fs";
import { test } from "node:test";
import { fill, stretch } from "../../../ui/src/base/words";

declare const SOURCE_ROOT: string;

function sources(folder: string): string[] {
  return readdirSync(folder).flatMap((name) => {
    const path = `${folder}/${name}`;
    if (statSync(path).isDirectory()) return sources(path);
    return /\.tsx?$/.test(name) ? [readFileSync(path, "utf8")] : [];
  });
}

const text = sources(`${SOURCE_ROOT}/ui/src`).join("\n");
const read = (lang: string) => JSON.parse(readFileSync(`${SOURCE_ROOT}/words/${lang}.json`, "utf8")) as Record<string, string>;
const en = read("en");
const es = read("es");
const mine = Object.keys(en).filter((key) => key.startsWith("ui."));

/* Keys as they stand; those of a count without their end; and the beginnings of keys put together. */
const whole = new Set([...text.matchAll(/"(ui\.[a-z0-9.-]+)"/g)].map((m) => m[1] as string));
const counted = new Set([...text.matchAll(/tn\(["`](ui\.[a-z0-9.-]+)["`]/g)].map((m) => m[1] as string));
const begun = [
  ...[...text.matchAll(/`(ui\.[a-z0-9.-]+\.)\$\{/g)].map((m) => m[1] as string),
  ...[...text.matchAll(/word\("([a-z-]+)"/g)].map((m) => `ui.${m[1] as string}.`),
];

test("there are texts to look at", () => {
  assert.ok(mine.length > 300 && whole.size > 300 && begun.length > 15);
});

test("each key that a page names is in the catalogue", () => {
  for (const key of whole) {
    if (counted.has(key)) {
      for (const end of ["one", "other"]) assert.ok(`${key}.${end}` in en, `en.json lacks ${key}.${end}`);
    } else assert.ok(key in en, `en.json lacks ${key}`);
  }
});

test("each key of the catalogue is said somewhere", () => {
  for (const key of mine) {
    const stem = key.replace(/\.(one|other)$/, "");
    const isUsed = whole.has(key) || whole.has(stem) || begun.some((b) => key.startsWith(b));
    assert.ok(isUsed, `nothing says ${key}`);
  }
});

test("Spanish says everything, with the same values, in words of its own", () => {
  const slots = (s: string) => [...s.matchAll(/\{\d\}/g)].map((m) => m[0]).sort().join();
  for (const key of mine) {
    assert.ok(key in es, `es.json lacks ${key}`);
    assert.equal(slots(es[key] as string), slots(en[key] as string), key);
  }
  const same = mine.filter((key) => en[key] === es[key] && /[a-z]{4}/i.test(en[key] as string));
  assert.ok(same.length < 10, `the same in both: ${same.join(", ")}`);
});

test("no text stands in the pages outside the catalogue", () => {
  const between = [...text.matchAll(/>([^<>{}\n]*[A-Za-z]{3,}[^<>{}\n]*)<\//g)].map((m) => m[1] as string);
  assert.deepEqual(between.filter((s) => !["English", "Español"].includes(s.trim())), []);
});

test("values are filled in by their order", () => {
  assert.equal(fill("{1} of {0}, {1}", { size: 7, at: "b" }), "b of 7, b");
  assert.equal(fill("{0} and {4}", { a: 1 }), "1 and {4}");
});

test("the stretched language leaves the places of values alone", () => {
  const s = stretch("by {0}, {1} left");
  assert.match(s, /^⟦.*\{0\}.*\{1\}.*⟧$/);
  assert.ok(s.length > "by {0}, {1} left".length * 1.3);
});
