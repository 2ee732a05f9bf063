/* Every page on the invented plant: pictures for people to look at, and what a machine can see on them.
 * PLUMULE_PICTURES: the folder of the pictures. PLUMULE_README=1: writes those of the README anew. */
import assert from "node:assert/strict";
import { mkdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { SIZES } from "./browser.mjs";
import { Devices, readBack } from "./acts.mjs";
import { smaller } from "./png.mjs";
import { go, Plant, ROOT, settle, signIn } from "./helpers.mjs";

const OUT = process.env.PLUMULE_PICTURES ?? join(ROOT, "build", "pictures");
const README_MAX = 120 * 1000; /* bytes a picture */
/* Pages are narrow on an old phone, and at a desk whose letters are twice as large. */
const NARROW = { "320 px": { width: 320, height: 640 }, "200 %": { width: 720, height: 450 } };

let plant;
let devices;
let desk;
let pages;

async function firstOf(path, selector) {
  await go(desk, path);
  await desk.locator(selector).first().waitFor();
  return desk.locator(selector).first().getAttribute("href");
}

async function example(page) {
  await page.getByRole("button", { name: "Fill in the example" }).click();
  await page.getByRole("button", { name: "Work it out" }).click();
  await page.locator(".answer").waitFor();
}

async function planned(page) {
  if (await page.getByText("A new plan.").count() > 0) return;
  await page.getByRole("button", { name: /Work out/ }).click();
  await page.getByRole("button", { name: "Take this plan" }).waitFor({ timeout: 60000 });
}

/* A lot from which some has gone to customers, and the lot two steps before it. */
async function shipped(page) {
  return page.evaluate(async () => {
    const ask = async (path) => (await fetch(`/api/v1${path}`)).json();
    for (const { lot } of (await ask("/lots?kind=packed&state=all&limit=200")).lots) {
      if ((await ask(`/trace?code=${lot}&direction=forward`)).customers.length < 2) continue;
      const back = await ask(`/trace?code=${lot}&direction=back`);
      return { lot, before: back.lots.find((l) => l.kind === "rinsed").lot, load: back.lots.find((l) => l.kind === "load").lot };
    }
    throw new Error("nothing has left the house");
  });
}

before(async () => {
  mkdirSync(OUT, { recursive: true });
  [plant, devices] = await Promise.all([new Plant().make().then((p) => p.start()), new Devices().open()]);
  desk = await devices.device();
  await signIn(desk, plant.url);
  const chamber = await firstOf("/chambers", ".tile-due .tile-link, .tile-link");
  const entry = await firstOf("/daybook?day=all", "a.entry-n");
  const { lot: code, before: rinsed, load } = await shipped(desk);
  const alone = await desk.evaluate(async () => (await (await fetch("/api/v1/lots?kind=load&state=open&limit=1")).json()).lots[0].lot);
  pages = [
    { name: "today", path: "/" }, { name: "plan", path: "/plan", act: planned }, { name: "chambers", path: "/chambers" }, { name: "chamber", path: chamber },
    { name: "lots", path: "/lots" }, { name: "lot", path: `/lots/${code}` },
    { name: "trace", path: `/trace?code=${rinsed}&direction=forward` }, { name: "trace-back", path: `/trace?code=${code}&direction=back` }, { name: "trace-alone", path: `/trace?code=${alone}&direction=forward` },
    { name: "recall", path: `/recall/${code}` }, { name: "safety", path: "/safety" }, { name: "schedule", path: "/safety/schedule" },
    { name: "samples", path: "/safety/samples" }, { name: "water", path: "/safety/water" }, { name: "treatment", path: `/treatments/${load}` },
    { name: "registers", path: "/safety/registers" }, { name: "complaints", path: "/safety/complaints" }, { name: "unit", path: `/units/${code}-0001` },
    { name: "packing", path: "/packing" }, { name: "keeping", path: "/keeping" },
    { name: "papers", path: "/papers" }, { name: "files", path: "/papers/files" }, { name: "orders", path: "/plan/orders" }, { name: "floor", path: "/plan/floor" }, { name: "lines", path: "/plan/day" },
    { name: "daybook", path: "/daybook?day=all" }, { name: "entry", path: entry }, { name: "calc", path: "/work-it-out/mass-chain", act: example }, { name: "calc-list", path: "/work-it-out" },
    { name: "people", path: "/people" }, { name: "me", path: "/me" }, { name: "record", path: "/record" }, { name: "record-harvest", path: "/record/harvest?chamber=C-05" },
  ];
});

after(async () => {
  await devices?.close();
  await plant?.stop();
  plant?.remove();
});

/* What is wider than the page, and what text has no words. */
async function faultsOf(page) {
  return page.evaluate(() => {
    const out = [];
    const wide = document.documentElement.scrollWidth - document.documentElement.clientWidth;
    if (wide > 0) out.push(`${wide} px too wide`);
    const text = document.body.innerText;
    for (const key of text.match(/\b(ui|word|field|step|told|help)\.[a-z][a-z.-]*/g) ?? []) out.push(`no text for ${key}`);
    return out;
  });
}

async function photograph(page, name, found) {
  for (const [size, box] of Object.entries(SIZES)) {
    await page.setViewportSize(box);
    for (const colorScheme of ["light", "dark"]) {
      await page.emulateMedia({ colorScheme });
      await page.waitForTimeout(60);
      await page.screenshot({ path: join(OUT, `${name}-${size}-${colorScheme}.png`) });
    }
    found.push(...(await faultsOf(page)).map((f) => `${name}, ${size}: ${f}`));
  }
  for (const [size, box] of Object.entries(NARROW)) {
    await page.setViewportSize(box);
    await page.waitForTimeout(60);
    found.push(...(await faultsOf(page)).map((f) => `${name}, ${size}: ${f}`));
  }
  await page.setViewportSize(SIZES.desk);
  await page.emulateMedia({ colorScheme: "light" });
}

test("every page fits a phone, a tablet, a desk, 320 px and letters twice as large, in light and dark", async () => {
  const found = [];
  for (const { name, path, act } of pages) {
    await go(desk, path);
    if (act) await act(desk);
    await photograph(desk, name, found);
  }
  const alone = await devices.device();
  await alone.goto(plant.url);
  await alone.getByRole("button", { name: "Sign in" }).waitFor();
  await photograph(alone, "sign-in", found);
  await alone.context().close();
  assert.deepEqual(found, []);
});

test("a station fits too: stepping up, the name in large letters, a sentence read back", async () => {
  const found = [];
  const tablet = await devices.device();
  await signIn(tablet, plant.url);
  await go(tablet, "/people");
  await tablet.getByLabel("Code of this device").fill("WEIGH-1");
  await tablet.getByRole("button", { name: "Make this device a station" }).click();
  await tablet.getByText("WEIGH-1").first().waitFor();
  await tablet.reload();
  await settle(tablet);
  await photograph(tablet, "today-station", found);
  await readBack(tablet, "harvest", { chamber: "C-05", mass: "845", instrument: "SC-1", place: "W-1" });
  await photograph(tablet, "record-confirm", found);
  await tablet.getByRole("button", { name: "Leave" }).first().click();
  await tablet.locator(".step-up").waitFor();
  await photograph(tablet, "step-up", found);
  await tablet.context().close();
  assert.deepEqual(found, []);
});

/* Codes, names and figures are data; so are the sentences that the record makes, which the made-up language leaves as they are,
   and months, which come from the browser's calendar. */
const MONTH = new RegExp(`^(${Array.from({ length: 12 }, (_, i) => new Intl.DateTimeFormat("en", { month: "long" }).format(new Date(2026, i, 1))).join("|")})( \\d{4})?$`);

test("in the made-up language every text of the pages stands in its brackets", async () => {
  const page = await devices.device();
  await page.goto(`${plant.url}/?words=xx`);
  await page.locator("input").first().fill("1");
  await page.locator('input[type="password"]').fill("radicle-and-plumule");
  await page.locator('button[type="submit"]').click();
  await page.locator(".ribbon").waitFor();
  const outside = {};
  for (const path of ["/", "/chambers", "/lots", "/safety", "/safety/schedule", "/safety/samples", "/safety/water", "/packing", "/keeping", "/papers", "/record", "/people", "/me", "/trace", "/plan"]) {
    await go(page, path);
    const texts = await page.evaluate(() => [...document.querySelectorAll("h1, h2, nav a, main > * button, label > .field-label, th[scope='col'], .lead, .empty p")]
      .filter((e) => e.checkVisibility() && e.innerText.trim() !== "" && !e.closest(".ribbon") && !e.matches(".num")).map((e) => e.innerText.trim()));
    const bare = texts.filter((s) => !s.includes("⟦") && !/^(English|Español|[A-Z0-9-]+|Hilum 1|[\d\s.,%]+)$/.test(s) && !MONTH.test(s));
    if (bare.length > 0) outside[path] = [...new Set(bare)].slice(0, 12);
  }
  await page.context().close();
  assert.deepEqual(outside, {});
});

test("the README has its pictures, each small enough", async () => {
  const folder = join(ROOT, "docs", "pictures");
  if (process.env.PLUMULE_README === "1") {
    await desk.setViewportSize({ width: 1120, height: 720 });
    for (const name of ["today", "lot", "trace", "plan", "safety"]) {
      const { path, act } = pages.find((p) => p.name === name);
      await go(desk, path);
      if (act) await act(desk);
      await desk.evaluate((what) => (what === "lot" ? document.querySelector(".clauses").scrollIntoView() : scrollTo(0, 0)), name);
      await desk.waitForTimeout(300);
      writeFileSync(join(folder, `${name}.png`), smaller(await desk.screenshot()));
    }
    await desk.setViewportSize({ width: 390, height: 720 });
    await go(desk, "/record/harvest?chamber=C-05");
    await desk.getByRole("button", { name: "Next" }).click();
    await desk.waitForTimeout(300);
    writeFileSync(join(folder, "record-phone.png"), smaller(await desk.screenshot()));
    await desk.setViewportSize(SIZES.desk);
  }
  for (const [name, width] of [["today", 1120], ["lot", 1120], ["trace", 1120], ["plan", 1120], ["safety", 1120], ["record-phone", 390]]) {
    const path = join(folder, `${name}.png`);
    assert.ok(statSync(path).size < README_MAX, `${name}: ${statSync(path).size} bytes`);
    assert.equal(readFileSync(path).readUInt32BE(16), width, name);
  }
});
