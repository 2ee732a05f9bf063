/* The pages on the program itself, serving the invented plant. */
import assert from "node:assert/strict";
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { SIZES } from "./browser.mjs";
import { axe, go, openBrowser, PASSWORD, Plant, ROOT, settle, signIn } from "./helpers.mjs";

let plant;
let browser;
let page;
let faults = [];

before(async () => {
  plant = await (await new Plant().make()).start();
  browser = await openBrowser();
  page = await browser.context.newPage();
  page.on("pageerror", (error) => faults.push(error.message));
  page.on("response", (r) => {
    if (r.status() >= 400 && r.status() !== 401) faults.push(`${r.status()} ${r.url()}`);
  });
  await signIn(page, plant.url);
});

after(async () => {
  await browser?.close();
  await plant?.stop();
  plant?.remove();
});

async function first(path, selector) {
  await go(page, path);
  return page.locator(selector).first().getAttribute("href");
}

test("the types of the pages are those of the program's own description", async () => {
  const { typesOf } = await import("../../ui/types.mjs");
  const answer = await fetch(`${plant.url}/api/v1/openapi.json`);
  const now = await typesOf(await answer.json());
  assert.equal(readFileSync(join(ROOT, "ui", "src", "api", "document.ts"), "utf8"), now);
});

test("what Today asks first is asked once, ahead of the scripts", async () => {
  const cookies = await browser.context.cookies(plant.url);
  const fresh = await openBrowser({ viewport: SIZES.phone }); /* no worker has the pages yet */
  try {
    await fresh.context.addCookies(cookies);
    const opened = await fresh.context.newPage();
    await opened.goto(plant.url);
    await opened.locator(".today h1").waitFor();
    await settle(opened);
    const asked = await opened.evaluate(() => performance.getEntriesByType("resource").map((e) => [e.initiatorType, e.name.replace(location.origin, "")]));
    for (const path of ["/words/en.json", "/api/v1/me", "/api/v1/today"]) {
      assert.deepEqual(asked.filter(([, name]) => name.split("?")[0] === path).map(([by]) => by), ["link"], path);
    }
  } finally {
    await fresh.close();
  }
});

test("every page opens, without a fault, a refusal, or anything that axe finds", async () => {
  faults = [];
  const lot = await first("/lots?kind=packed&state=all", ".ledger a.row-link");
  const chamber = await first("/chambers", ".tile-link");
  const entry = await first("/daybook?day=all", "a.entry-n");
  const code = decodeURIComponent(lot.split("/").pop());
  const paths = ["/", "/plan", "/chambers", chamber, "/lots", lot, "/safety", `/trace?code=${code}&direction=back`, `/recall/${code}`,
    "/papers", "/papers/files", "/plan/orders", "/plan/floor", "/plan/day", "/work-it-out", "/work-it-out/lethality", "/daybook?day=all", entry, "/people", "/me", "/record"];
  const found = {};
  for (const path of paths) {
    await go(page, path);
    const all = await axe(page);
    const problem = await page.locator(".note-stopped").allTextContents();
    if (all.length + problem.length > 0) found[path] = [...all, ...problem];
  }
  assert.deepEqual(found, {});
  assert.deepEqual(faults, []);
});

test("every form that is offered opens and can be asked through", async () => {
  await go(page, `/record`);
  const forms = await page.locator(".step-link").evaluateAll((links) => links.map((a) => a.getAttribute("href")));
  assert.ok(forms.length > 25, `${forms.length} forms`);
  faults = [];
  for (const path of forms) {
    await go(page, path);
    assert.ok(await page.locator(".question").count() > 0, path);
    await page.getByRole("button", { name: "Read it back" }).click();
  }
  assert.deepEqual(faults, []);
});

test("the proof of an entry is worked out in the browser, its head's signature with it", async () => {
  const entry = await first("/daybook?day=all", "a.entry-n");
  await go(page, entry);
  await page.getByText("the line stands in the tree, unchanged").waitFor();
  await page.getByText("The signature of the tree head is right.").waitFor();
});

test("a watering is recorded from a phone and stands in the daybook", async () => {
  await go(page, `/chambers`);
  const growing = page.locator(".tile-waiting .tile-name").first();
  const chamber = await growing.textContent();
  await page.setViewportSize(SIZES.phone);
  await go(page, `/record/water?chamber=${chamber}`);
  await page.getByRole("button", { name: "Next" }).click();
  await page.locator(".question").waitFor();
  if (await page.locator(".choices-big button").count() > 0 && await page.locator('.choices-big [aria-pressed="true"]').count() === 0) {
    await page.locator(".choices-big button").first().click();
  }
  await page.getByRole("button", { name: "Next" }).click();
  for (const key of ["1", "2", "0", "0"]) await page.locator(".pad").getByRole("button", { name: key, exact: true }).click();
  for (let i = 0; i < 6 && await page.getByRole("button", { name: "Next" }).count() > 0; i++) await page.getByRole("button", { name: "Next" }).click();
  await page.getByRole("button", { name: "Read it back" }).click();
  await page.getByRole("button", { name: "Record it" }).click();
  await page.getByRole("heading", { name: "Recorded" }).waitFor();
  await page.getByRole("link", { name: /^line \d+/ }).click();
  await settle(page);
  assert.match(await page.locator(".entry-sentence").textContent(), /1200 L/);
  await page.setViewportSize(SIZES.desk);
});

test("a hold is placed and stops the lot, and the page hears of it by itself", async () => {
  const lot = await first("/lots?kind=packed&state=released", ".ledger a.row-link");
  const other = await browser.context.newPage();
  await other.goto(plant.url + lot);
  await settle(other);
  await go(page, lot);
  await page.getByRole("button", { name: "Hold", exact: true }).click();
  await page.getByLabel("Reason").fill("seal looked thin");
  await page.locator("dialog").getByRole("button", { name: "Hold", exact: true }).click();
  await page.locator("dialog").waitFor({ state: "detached" });
  await other.locator(".page-state .state-stopped").waitFor({ timeout: 15000 });
  assert.match(await other.locator("main").textContent(), /seal looked thin/);
  await other.close();
});

test("cases of a lot are held by their numbers, and only those", async () => {
  const lot = await first("/lots?kind=packed&state=released", ".ledger a.row-link");
  const code = decodeURIComponent(lot.split("/").pop());
  await go(page, lot);
  await page.getByRole("button", { name: "Hold", exact: true }).click();
  const dialog = page.locator("dialog");
  await dialog.getByRole("button", { name: "Some cases" }).click();
  await dialog.getByRole("textbox", { name: "Which cases?" }).fill("2-3, 5");
  await dialog.getByLabel("Reason").fill("crushed corners");
  await dialog.getByRole("button", { name: "Hold", exact: true }).click();
  await dialog.waitFor({ state: "detached" });
  const { cases } = await page.evaluate(async (of) => (await fetch(`/api/v1/lots/${of}/parts`)).json(), code);
  assert.deepEqual(cases.filter((c) => c.held).map((c) => Number(c.code.slice(-4))), [2, 3, 5]);
});

test("a file is tried and taken in the page, and known the next time", async () => {
  const files = join(plant.folder, "p", "files");
  const name = readdirSync(files).filter((f) => f.startsWith("orders-")).sort().at(-1);
  await go(page, "/papers/files");
  const send = async (path) => {
    await page.getByLabel("File", { exact: true }).setInputFiles(path);
    await page.getByRole("button", { name: "Try it" }).click();
    await page.locator(".fault, section[aria-live]").first().waitFor({ timeout: 60000 });
  };
  await send(join(files, name));
  assert.deepEqual(await page.locator(".fault").allTextContents(), []);
  await page.getByText("Everything in it is known already").waitFor();
  /* The same book with one line told otherwise, and with one that can't be read. */
  const text = readFileSync(join(files, name), "latin1");
  const rows = text.split("\n");
  const at = rows.findLastIndex((r) => r.split(";").length > 4); /* the furthest day: nothing of it has left */
  const cells = rows[at].replace("\r", "").split(";");
  const put = (last) => rows.map((r, i) => (i === at ? [...cells.slice(0, -1), last].join(";") + (r.endsWith("\r") ? "\r" : "") : r)).join("\n");
  writeFileSync(join(plant.folder, "wrong.csv"), put("many"), "latin1");
  await send(join(plant.folder, "wrong.csv"));
  assert.match(await page.locator(".fault").textContent(), new RegExp(`Line ${at + 1}, column`));
  assert.equal(await page.locator(".fault mark").textContent(), "many");
  writeFileSync(join(plant.folder, "other.csv"), put(String(Number(cells.at(-1)) + 20)), "latin1");
  await send(join(plant.folder, "other.csv"));
  assert.deepEqual(await page.locator(".fault").allTextContents(), []);
  const size = async () => page.evaluate(async () => (await (await fetch("/api/v1/me")).json()).size);
  const before = await size();
  const take = page.getByRole("button", { name: "Take it" });
  await take.click();
  await page.getByRole("heading", { name: "other.csv is taken" }).waitFor({ timeout: 60000 });
  assert.ok(await size() >= before + 2, "the file and its order are booked");
});

test("a wrong password is said beside its field, and nothing is signed", async () => {
  await go(page, `/safety`);
  await page.getByRole("button", { name: "Lift this hold" }).first().click();
  const dialog = page.locator("dialog");
  await dialog.getByLabel(/^Password of/).fill(`not ${PASSWORD}`);
  await dialog.getByRole("button", { name: "Lift this hold" }).click();
  await dialog.locator(".field-wrong, .note-stopped").first().waitFor();
  await dialog.getByRole("button", { name: "Cancel" }).click();
});

test("a calculation answers with its formula, its constants and its cautions", async () => {
  await go(page, `/work-it-out/mass-chain`);
  await page.getByRole("button", { name: "Fill in the example" }).click();
  await page.getByRole("button", { name: "Work it out" }).click();
  await page.getByRole("heading", { name: "Answer" }).waitFor();
  assert.match(await page.locator(".answer").textContent(), /mass_chain_expansion/);
  assert.match(await page.locator(".answer .cautions").textContent(), /house's own weighings/);
});

test("a plan is worked out with progress, and taken by a second press", async () => {
  await go(page, `/plan`);
  await page.getByRole("button", { name: /Work out/ }).click();
  await page.locator("progress").waitFor();
  await page.getByRole("button", { name: "Take this plan" }).waitFor({ timeout: 60000 });
  assert.ok(await page.locator(".plan-supply").count() > 0);
  await page.getByRole("button", { name: "Take this plan" }).click();
  await page.getByRole("button", { name: "Yes, take it" }).click();
  await page.getByRole("button", { name: "Yes, take it" }).waitFor({ state: "detached" });
  assert.deepEqual(await page.locator(".plan-work .note-stopped").allTextContents(), []);
});

test("what is pressed while the program is stopped is kept over a reload and booked when it is back", async () => {
  await go(page, `/chambers`);
  const chamber = await page.locator(".tile-waiting .tile-name").first().textContent();
  await go(page, `/record/water?chamber=${chamber}`);
  await page.evaluate(() => navigator.serviceWorker.ready);
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  await page.reload();
  await settle(page);
  const { port } = plant;
  await plant.stop();
  if (await page.locator('.choices-big [aria-pressed="true"]').count() === 0) await page.locator(".choices-big button").first().click();
  await page.getByRole("textbox", { name: /Water given/ }).fill("777");
  await page.getByRole("button", { name: "Read it back" }).click();
  await page.getByRole("button", { name: "Record it" }).click();
  await page.getByRole("heading", { name: "Kept here, not sent yet" }).waitFor({ timeout: 40000 });
  await page.reload();
  await page.getByText("1 recording is not sent yet.").waitFor();
  await plant.start(port);
  /* A session ends with the program; what waits goes when its person is back. */
  await page.getByLabel("Your number").waitFor({ timeout: 40000 });
  assert.match(await page.locator(".banner").textContent(), /1 recording is not sent yet/);
  await signIn(page, plant.url);
  await page.locator(".banner").waitFor({ state: "detached", timeout: 40000 });
  await go(page, `/daybook`);
  assert.match(await page.locator("main").textContent(), /777 L/);
});
