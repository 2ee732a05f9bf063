/* Every number can be asked: each page of the invented plant is walked, and a number in a figure cell
 * without a question on it is a fault. Then each kind of number is asked once. */
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { SIZES } from "./browser.mjs";
import { axe, go, openBrowser, Plant, settle, signIn } from "./helpers.mjs";

/* Where figures stand. */
const CELLS = "main td, main tfoot th, main dd, main .figure, main .right, main .tile, main .tile-figure, main svg text, .ribbon .day-counts";
/* What in them is asked, or is a way to what says it. */
const ASKED = ".num, .num-drawn, a, .code";
/* Numbers that need no question, each with its reason. */
const FREE = [
  [".entry", "the page of an entry is the answer: who, when, what, and its proof"],
  [".limit-change", "a change of a limit names its line of the daybook beside it"],
  [".trace-svg", "the picture of the list below it, in which each number is asked; a box opens its lot"],
  [".plan-day, .plan-axis, .u-axis", "the scale of a picture, not a figure of the record"],
  [".plan-item", "how many strips look alike: counted in the picture itself"],
  [".day-truck", "how each truck stands is a list below the picture, in which each number is asked"],
  [".source, .rounding", "the words of a source, and how the number beside was rounded"],
  [".facts", "a constant says its source beside it"],
];

let plant;
let browser;
let page;
const failed = [];

before(async () => {
  plant = await (await new Plant().make()).start();
  browser = await openBrowser();
  page = await browser.context.newPage();
  page.on("pageerror", (error) => failed.push(error.message));
  page.on("response", (r) => {
    if (r.status() >= 400 && r.status() !== 401) failed.push(`${r.status()} ${r.url()}`);
  });
  await signIn(page, plant.url);
});

after(async () => {
  await browser?.close();
  await plant?.stop();
  plant?.remove();
});

/* Numbers of the page that nobody can ask, and how many can be asked. */
function look() {
  return page.evaluate(({ cells, asked, free }) => {
    const month = "(Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)[a-z]*";
    const dates = new RegExp(`\\b\\d{1,2} ${month}( \\d{4})?|\\b\\d{1,2}:\\d{2}\\b|\\b\\d{4}-\\d{2}-\\d{2}\\b`, "g");
    const codes = /\S*[A-Za-z]\S*\d\S*/g; /* names of lots, places, items */
    const isFree = (e) => free.some((f) => e.closest(f) !== null);
    const isColumnAsked = (e) => {
      const cell = e.closest("td");
      const row = cell?.parentElement;
      const head = cell?.closest("table")?.tHead?.rows[0];
      return head?.cells[[...row.cells].indexOf(cell)]?.querySelector(".num") != null;
    };
    const faults = new Set();
    for (const cell of document.querySelectorAll(cells)) {
      const walker = document.createTreeWalker(cell, NodeFilter.SHOW_TEXT);
      while (walker.nextNode()) {
        const at = walker.currentNode.parentElement;
        const text = walker.currentNode.textContent.replace(dates, "").replace(codes, "");
        if (!/\d/.test(text) || at.closest(asked) || isFree(at) || isColumnAsked(at)) continue;
        faults.add(`${at.tagName.toLowerCase()}.${at.getAttribute("class") ?? ""} "${walker.currentNode.textContent.trim()}"`);
      }
    }
    return { faults: [...faults], asked: document.querySelectorAll("main .num, main .num-drawn").length };
  }, { cells: CELLS, asked: ASKED, free: FREE.map(([css]) => css) });
}

async function first(path, selector) {
  await go(page, path);
  return page.locator(selector).first().getAttribute("href");
}

/* Every place of the plant, and how many numbers at least can be asked there. */
async function places() {
  const lot = await first("/lots?state=all&kind=packed", ".ledger .row-link");
  const growing = await first("/lots?kind=growing", ".ledger .row-link");
  const chamber = await first("/chambers", ".tile:has(.tile-figure) .tile-link");
  const code = decodeURIComponent(lot.split("/").pop());
  return [
    ["/", 0], ["/chambers", 20], [chamber, 4], ["/lots", 20], ["/lots?state=all&kind=packed", 20], [lot, 5], [growing, 3],
    ["/safety?holds=all", 1], ["/safety/schedule", 0], ["/safety/samples", 0], ["/safety/water", 0], [`/trace?code=${code}&direction=forward`, 6], [`/trace?code=${code}&direction=back`, 6], [`/recall/${code}`, 6],
    [`/units/${code}-0001`, 2], ["/papers", 20], ["/packing", 20], ["/keeping", 10], ["/daybook#health", 1], ["/daybook/100", 0], ["/people", 10], ["/plan", 20], ["/plan/floor", 3], ["/plan/day", 15], ["/work-it-out", 0], ["/me", 0], ["/more", 0],
  ];
}

/* A plan to look at: two seconds are enough for a first one. */
async function plan() {
  await page.evaluate(async () => {
    const head = { "X-Plumule": "1", "Content-Type": "application/json" };
    const { job } = await (await fetch("/api/v1/plan", { method: "POST", headers: head, body: '{"seconds":2}' })).json();
    for (let i = 0; i < 60; i++) {
      const at = await (await fetch(`/api/v1/plan/jobs/${job}`)).json();
      if (at.state !== "working") break;
      await new Promise((done) => setTimeout(done, 500));
    }
  });
}

test("no number stands on a page without being asked", async () => {
  await plan();
  const found = {};
  for (const [path, least] of await places()) {
    await go(page, path);
    if (path === "/daybook#health") await page.locator("#health summary").click();
    const shut = page.locator("main details:not([open]) > summary:visible");
    while (await shut.count() > 0) await shut.first().click(); /* each one that opens is no longer among them */
    await page.waitForTimeout(200);
    const { faults, asked } = await look();
    if (faults.length > 0 || asked < least) found[path] = { faults, asked };
  }
  assert.deepEqual(found, {});
});

test("what a calculation gives is asked too", async () => {
  await go(page, "/work-it-out/mass-chain");
  await page.getByRole("button", { name: "Fill in the example" }).click();
  await page.getByRole("button", { name: "Work it out" }).click();
  await page.locator(".answer .num").first().waitFor();
  const { faults, asked } = await look();
  assert.deepEqual(faults, []);
  assert.ok(asked > 2);
});

/* Opens the first number that fits and gives back what the dialog says. */
async function asked(selector) {
  await page.locator(selector).first().click();
  const dialog = page.locator("dialog[open]");
  await dialog.waitFor();
  await page.waitForFunction(() => document.querySelector("dialog .loading-part") === null);
  const text = await dialog.textContent();
  assert.deepEqual(await axe(page), []);
  await page.keyboard.press("Escape");
  await dialog.waitFor({ state: "detached" });
  return text;
}

test("the answer names who recorded it and leads to the line with its proof", async () => {
  await go(page, "/lots?state=all&kind=packed");
  await page.locator("td .num").first().click();
  const dialog = page.locator("dialog[open]");
  await dialog.getByText("stands in the tree").first().waitFor();
  const link = dialog.getByRole("link", { name: /^Line \d+ of the daybook/ }).first();
  assert.match(await dialog.textContent(), /Recorded by: \S+/);
  const to = await link.getAttribute("href");
  await link.click();
  await page.waitForURL(`**${to}`);
  assert.equal(await page.locator("dialog").count(), 0);
});

test("each kind of number answers: computed ones with formula and constants, sums with their entries", async () => {
  await go(page, "/chambers");
  const expected = await asked(".tile .num:has(.tile-figure)");
  assert.match(expected, /Formula/);
  assert.match(expected, /behind it/);
  await go(page, "/papers");
  assert.match(await asked(".ledger td .num"), /Together: /);
  await go(page, "/people");
  assert.match(await asked(".ledger td .num"), /profile/);
  assert.match(await asked(".ribbon .day-shown .day-counts"), /daybook/);
  await go(page, "/safety?holds=all");
  assert.match(await asked("#holds .num"), /hold/);
  assert.deepEqual(failed, []);
});

test("the sums of a list and of a number's lines are the same number", async () => {
  await go(page, "/lots?kind=packed&state=all");
  const rows = await page.locator(".ledger tbody tr").count();
  for (let i = 0; i < Math.min(rows, 3); i++) {
    const number = page.locator(".ledger tbody tr").nth(i).locator("td.right .num");
    const kg = (await number.textContent()).split("·")[0].trim();
    await number.click();
    await page.locator("dialog .asked-rows").waitFor();
    const text = await page.locator("dialog[open]").textContent();
    const sum = /Together: ([^·]+)/.exec(text)?.[1];
    if (sum) assert.equal(sum.split("·")[0].trim(), kg);
    await page.keyboard.press("Escape");
    await page.locator("dialog").waitFor({ state: "detached" });
  }
});

test("a phone asks by touch, the keyboard by Enter", async () => {
  await page.setViewportSize(SIZES.phone);
  await go(page, "/chambers");
  await page.locator(".tile .num").first().focus();
  await page.keyboard.press("Enter");
  await page.locator("dialog[open]").waitFor();
  await page.keyboard.press("Escape");
  assert.ok(await page.locator(".tile .num").first().evaluate((e) => e === document.activeElement));
  await page.setViewportSize(SIZES.desk);
  await settle(page);
});
