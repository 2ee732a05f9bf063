/* The plan board on the program itself: why, compare, what if, take, against the floor; and the picture at 200 chambers. */
import assert from "node:assert/strict";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { SIZES } from "./browser.mjs";
import { axe, go, openBrowser, Plant, settle, signIn, walk } from "./helpers.mjs";

let plant;
let browser;
let page;
const faults = [];

async function open(chambers, weeks) {
  plant = await (await new Plant().make(weeks, chambers)).start();
  browser = await openBrowser();
  page = await browser.context.newPage();
  page.on("pageerror", (error) => faults.push(error.message));
  page.on("response", (r) => {
    if (r.status() >= 400 && r.status() !== 401) faults.push(`${r.status()} ${r.url()}`);
  });
  await signIn(page, plant.url);
}

async function shut() {
  await browser?.close();
  await plant?.stop();
  plant?.remove();
}

const NEW = "A new plan. Nothing of it counts until somebody takes it.";

/* The newest entry and the tree's root: what any writing changes. */
const head = () => page.evaluate(async () => {
  const { size, root } = await (await fetch("/api/v1/health")).json();
  return `${size} ${root}`;
});

const WELL_MS = 7000; /* the first plan told is made at once; after this one may be held against another */

async function workOut(more_ms = 0) {
  await go(page, "/plan");
  await page.getByRole("button", { name: /^Work out (a plan|anew)$/ }).click();
  await page.getByText(NEW).waitFor({ timeout: 60000 });
  await page.waitForTimeout(more_ms);
  await page.getByRole("button", { name: "Stop here" }).click({ timeout: 2000 }).catch(() => undefined); /* it may be done by itself */
  await page.getByRole("button", { name: "Work out anew" }).waitFor({ timeout: 60000 });
}

const wide = () => page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);

/* The picture ends where its page does, and hides nothing. */
async function fits() {
  return page.evaluate(() => [...document.querySelectorAll(".plan-svg")].flatMap((svg) => {
    const box = svg.parentElement.getBoundingClientRect();
    const outer = svg.getBoundingClientRect();
    const out = [...svg.querySelectorAll("rect, text")].filter((e) => {
      const r = e.getBoundingClientRect();
      return r.left < outer.left - 1 || r.right > outer.right + 1 || r.bottom > outer.bottom + 1;
    }).map((e) => `${e.getAttribute("class")} "${e.textContent}"`);
    return outer.width > box.width + 1 ? [`${outer.width} in ${box.width}`, ...out] : out;
  }));
}

before(() => open(24, 3));
after(shut);

test("a short order says what binds and what one more would give, and each start what it is for", async () => {
  /* More than can be grown: the limits bind. */
  await workOut();
  const day = await page.locator(".plan-svg").first().evaluate(() => new Date(Date.now() + 15 * 86400000).toISOString().slice(0, 10));
  const trial = page.locator(".plan-trial");
  await trial.getByLabel("What is changed").selectOption("order");
  await trial.getByLabel(/^Item/).selectOption("M250");
  await trial.getByLabel(/^Day/).selectOption(day);
  await trial.getByLabel(/^Pieces/).fill("60000");
  await page.getByRole("button", { name: "Add this change" }).click();
  await page.getByRole("button", { name: "Ask what would be" }).click();
  await page.locator(".plan-trial .plan-sums").waitFor({ timeout: 60000 });
  const job = await page.evaluate(async (of) => {
    const send = { method: "POST", headers: { "X-Plumule": "1", "Content-Type": "application/json" } };
    const { job: id } = await (await fetch("/api/v1/plan", { ...send, body: JSON.stringify({ seconds: 0, changes: [{ what: "order", item: "M250", day: of, pieces: 60000 }] }) })).json();
    for (let i = 0; i < 100; i++) {
      const at = await (await fetch(`/api/v1/plan/jobs/${id}`)).json();
      if (at.state !== "working" && at.plan) return at;
      await new Promise((done) => setTimeout(done, 100));
    }
    return null;
  }, day);
  const gained = job.plan.shorts.filter((s) => s.gain);
  assert.ok(gained.length > 0, "one more of something is worked out");
  for (const s of gained) assert.match(s.gain.sentence, /would give/);
  assert.ok(job.plan.starts.every((s) => Array.isArray(s.for)));
  assert.ok(job.plan.starts.some((s) => s.for.length > 0));
  assert.match(await page.locator(".plan-list .ledger tbody").first().textContent(), /forecast|shop|\d/);
  assert.deepEqual(faults, []);
});

test("what to soak is folded by day: today and tomorrow stand open, the others open by keyboard", async () => {
  await workOut();
  const starts = await page.evaluate(async () => (await (await fetch("/api/v1/plan")).json()).job.plan.starts.map((s) => s.soak));
  const list = page.locator(".plan-list").filter({ has: page.getByRole("heading", { name: "What to soak" }) });
  const days = await list.locator("details").evaluateAll((all) => all.filter((d) => d.querySelector("table")).map((d) => ({ open: d.open, says: d.querySelector("summary").textContent, rows: d.querySelectorAll("tbody tr").length })));
  const of = [...new Set(starts)].sort();
  assert.ok(of.length > 2, "starts on more than two days");
  assert.equal(days.length, of.length);
  const tomorrow = await page.evaluate(async () => { const at = new Date(`${(await (await fetch("/api/v1/plan")).json()).job.plan.first_day}T12:00:00Z`); at.setUTCDate(at.getUTCDate() + 1); return at.toISOString().slice(0, 10); });
  days.forEach((d, i) => {
    assert.equal(d.open, of[i] <= tomorrow, `${of[i]}: ${d.says}`);
    assert.equal(d.rows, starts.filter((s) => s === of[i]).length);
    assert.match(d.says, new RegExp(`: ${d.rows} starts?, [\\d.,]+\\s(kg|t) of seed$`));
  });
  const shut = list.locator("details:not([open]) > summary").filter({ hasText: "of seed" }).first();
  const says = await shut.textContent();
  await shut.focus();
  await page.keyboard.press("Enter");
  await list.locator("details[open]").filter({ hasText: says }).getByRole("region").waitFor();
  assert.deepEqual(faults, []);
});

test("a new plan stands beside the one taken: in figures, as a picture, in words; and passes axe", async () => {
  await workOut();
  const differ = page.locator(".plan-differ").first();
  await differ.getByRole("heading", { name: "Two plans side by side" }).waitFor();
  assert.match(await differ.textContent(), /starts? kept, .*added, .*gone, .*moved, .*filled otherwise/);
  assert.ok(await differ.locator(".plan-use-added").count() > 0);
  assert.match(await differ.locator(".rows li").first().textContent(), /^Added on/);
  assert.deepEqual(await axe(page), []);
});

test("how sure orders are to be met is chosen, goes to the job and no further, and is said beside what comes of it", async () => {
  await workOut(WELL_MS);
  const chance = async () => (await page.evaluate(async () => (await (await fetch("/api/v1/plan")).json()).job)).plan.chance;
  const cheapest = await chance();
  await page.getByText("Planned for the least cost.").waitFor();
  const sure = page.getByLabel("How sure should orders be met?");
  await sure.focus();
  for (let i = 0; i < 4; i++) await page.keyboard.press("ArrowDown");
  assert.equal(await sure.inputValue(), "990000");
  await page.keyboard.press("Tab");
  assert.equal(await page.evaluate(() => document.activeElement.textContent), "Work out anew");
  await page.keyboard.press("Enter");
  await page.getByText(/Asked to meet 99\s%/).waitFor({ timeout: 60000 });
  await page.waitForTimeout(WELL_MS);
  await page.getByRole("button", { name: "Stop here" }).click({ timeout: 2000 }).catch(() => undefined);
  await page.getByRole("button", { name: "Work out anew" }).waitFor({ timeout: 60000 });
  const job = await page.evaluate(async () => (await (await fetch("/api/v1/plan")).json()).job);
  assert.equal(job.service_ppm, 990000);
  const error = 3 * Math.hypot(job.plan.chance.share_error_ppm, cheapest.share_error_ppm);
  assert.ok(job.plan.chance.share_ppm >= cheapest.share_ppm - error, `${job.plan.chance.share_ppm} after ${cheapest.share_ppm}`);
  assert.equal(await page.getByText("That is less than was asked").count(), job.plan.chance.share_ppm < 990000 ? 1 : 0);
  const expected = page.getByRole("button", { name: /^Share of what is wanted that is met/ });
  assert.match(await page.locator(".plan-sure-of").textContent(), /Expected to be met: [\d.]+\s%/);
  await expected.click();
  assert.match(await page.getByRole("dialog").textContent(), /Futures/);
  await page.keyboard.press("Escape");
  assert.deepEqual(await axe(page), []);
  await page.reload(); /* the job knows it, and nobody else */
  await settle(page);
  await page.getByText(/Asked to meet 99\s%/).waitFor({ timeout: 60000 });
  assert.equal(await sure.inputValue(), "990000");
  await sure.selectOption("0");
  await page.getByRole("button", { name: "Work out anew" }).click();
  await page.getByText("Planned for the least cost.").waitFor({ timeout: 60000 });
  await page.getByRole("button", { name: "Stop here" }).click({ timeout: 2000 }).catch(() => undefined);
  await page.getByRole("button", { name: "Work out anew" }).waitFor({ timeout: 60000 });
  assert.equal(await sure.inputValue(), "0");
});

test("what if changes nothing of the record, is shown beside the plan as it is, and can't be taken", async () => {
  const before = await head();
  await go(page, "/plan");
  const trial = page.locator(".plan-trial");
  const back = trial.getByRole("button", { name: /^Take it back/ });
  while (await back.count() > 0) await back.first().click(); /* of the test before */
  const what = trial.getByLabel("What is changed");
  for (const [kind, fill] of [
    ["chamber-out", async () => trial.getByLabel(/^Chamber/).selectOption("C-03")],
    ["chambers", async () => trial.getByLabel(/^How many/).fill("2")],
    ["temperature", async () => trial.getByLabel(/^Temperature/).fill("22")],
    ["life", async () => trial.getByLabel(/^Days/).fill("5")],
    ["seed", async () => trial.getByLabel(/^Amount/).fill("100")],
    ["closed-day", async () => {
      await trial.getByLabel(/^Up to and with/).selectOption({ index: 6 });
      await trial.getByLabel(/^Closed for/).selectOption("soak");
    }],
    ["parts", async () => {
      await trial.getByLabel(/^Harvested when it is ready/).fill("60");
      await trial.getByLabel(/^The rest, days later/).fill("2");
    }],
    ["at-once", async () => trial.getByLabel(/^Item/).selectOption({ index: 1 })],
  ]) {
    await what.selectOption(kind);
    await fill();
    await page.getByRole("button", { name: "Add this change" }).click();
  }
  assert.equal(await back.count(), 8);
  await trial.getByText(/60\s% of a chamber is harvested when it is ready/).waitFor();
  await trial.getByText(/^From .* to .* the house is closed for/).waitFor(); /* a week in one change */
  await page.getByRole("button", { name: "Ask what would be" }).click();
  await trial.locator(".plan-sums").waitFor({ timeout: 60000 });
  await trial.getByRole("heading", { name: "As it is" }).waitFor();
  assert.equal(await trial.locator(".plan-beside .plan-svg").count(), 2);
  assert.equal(await trial.getByRole("button", { name: "Take this plan" }).count(), 0);
  const refused = await page.evaluate(async () => {
    const send = { method: "POST", headers: { "X-Plumule": "1", "Content-Type": "application/json" } };
    const { job } = await (await fetch("/api/v1/plan", { ...send, body: '{"seconds":0,"trial":true}' })).json();
    return (await (await fetch(`/api/v1/plan/jobs/${job}/take`, { ...send, body: "{}" })).json()).code;
  });
  faults.splice(0); /* the refusal just asked for */
  assert.equal(refused, "job-trial");
  assert.equal(await head(), before);
  assert.deepEqual(await axe(page), []);
});

test("the bars are read and asked by keyboard, and Tab meets everything on the page in view", async () => {
  await go(page, "/plan");
  const bars = page.getByRole("slider").first();
  await bars.focus();
  const first = await bars.getAttribute("aria-valuetext");
  await page.keyboard.press("ArrowRight");
  assert.notEqual(await bars.getAttribute("aria-valuetext"), first);
  await page.keyboard.press("Enter");
  await page.getByRole("dialog").waitFor();
  await page.keyboard.press("Escape");
  await page.getByRole("dialog").waitFor({ state: "detached" });
  assert.deepEqual((await walk(page)).faults, []);
});

test("a plan is taken: one entry, its starts on the soak sheet, and what orders were told", async () => {
  await workOut();
  const size = async () => Number((await head()).split(" ")[0]);
  const before = await size();
  await page.getByRole("button", { name: "Take this plan" }).click();
  await page.getByRole("button", { name: "Yes, take it" }).click();
  await page.getByText("What the plan taken gives").waitFor();
  assert.equal(await size(), before + 1);
  await settle(page);
  const told = await page.evaluate(async () => (await fetch("/api/v1/plan")).json());
  assert.ok(told.taken.length > 0);
  assert.equal(told.job, null);
  assert.ok(told.promised.length > 0);
  assert.equal(told.plan.starts.length, told.taken.filter((s) => !s.made).length);
  await page.getByRole("heading", { name: "What orders were told" }).waitFor();
  assert.ok(await page.locator(".plan-use-taken").count() > 0);
  await go(page, "/plan/floor");
  await page.getByRole("heading", { name: "Plan and floor" }).waitFor();
  assert.match(await page.locator("main table").first().textContent(), /Not planned/);
  assert.deepEqual(await axe(page), []);
  assert.deepEqual(faults, []);
});

test("why a start went otherwise is told from the list, stands in it, and is counted by reason", async () => {
  await go(page, "/plan/floor");
  const tell = page.getByRole("link", { name: /^Tell why/ });
  const count = await tell.count();
  assert.ok(count > 0);
  const [, place, of] = (await tell.first().getAttribute("aria-label")).match(/^Tell why: (\S+), (.+)$/);
  await tell.first().focus();
  await page.keyboard.press("Enter");
  await page.getByRole("heading", { name: "Start otherwise than planned" }).waitFor();
  await page.locator(".choices-big button").filter({ hasText: "people were short" }).click();
  await page.getByRole("button", { name: /more things? may be said/ }).click();
  await page.getByLabel("Note").fill("two at home");
  await page.getByRole("button", { name: "Read it back" }).click();
  await page.locator(".confirm-sentence").filter({ hasText: new RegExp(`Start in ${place} on .*went otherwise than planned: people were short; two at home`) }).waitFor();
  await page.getByRole("button", { name: "Record it" }).click();
  await page.locator(".done").waitFor();
  await go(page, "/plan/floor");
  assert.equal(await tell.count(), count - 1);
  const row = page.locator(".rows li").filter({ hasText: "two at home" });
  assert.match(await row.textContent(), new RegExp(`${place}.*people were short: two at home`, "s"));
  assert.equal(await row.getByRole("link", { name: /^Tell why/ }).count(), 0);
  const reasons = page.getByRole("region", { name: "Why it went otherwise" });
  const counts = async (name) => (await reasons.locator("tr").filter({ hasText: name }).locator("td").allTextContents()).slice(0, 4).map(Number);
  assert.equal((await counts("people were short")).reduce((n, x) => n + x, 0), 1, of);
  assert.equal((await counts("nobody told why")).reduce((n, x) => n + x, 0), await page.evaluate(async () => {
    const { plant_day: to } = await (await fetch("/api/v1/me")).json();
    const from = new Date(Date.parse(`${to}T00:00:00Z`) - 27 * 86400000).toISOString().slice(0, 10); /* four weeks, as the page begins */
    const floor = await (await fetch(`/api/v1/plan/floor?from=${from}&to=${to}`)).json();
    return floor.starts.filter((s) => !["kept", "waiting"].includes(s.kind) && s.departure === null).length;
  }));
  assert.deepEqual(await axe(page), []);
  assert.deepEqual((await walk(page)).faults, []);
  assert.deepEqual(faults, []);
});

test("200 chambers stay one picture, at every width, in words as well, and on one printed page", async () => {
  await shut();
  await open(200, 2);
  await workOut();
  for (const [name, size] of Object.entries({ ...SIZES, small: { width: 320, height: 700 }, double: { width: SIZES.desk.width / 2, height: SIZES.desk.height / 2 } })) {
    await page.setViewportSize(size);
    await page.waitForTimeout(300);
    assert.ok(await wide() <= 0, name);
    assert.deepEqual(await fits(), [], name);
  }
  await page.setViewportSize(SIZES.desk);
  const plan = await page.evaluate(async () => (await (await fetch("/api/v1/plan")).json()).job.plan);
  assert.equal(plan.chambers, 200);
  await page.getByText("What stands in the chambers, in words").click();
  const said = await page.locator(".plan-uses").first().locator("li").allTextContents();
  const count = said.reduce((n, text) => n + Number(text.match(/^([\d,]+) chambers/)[1]), 0);
  const last = new Date(Date.parse(`${plan.first_day}T00:00:00Z`) + plan.days * 86400000).toISOString().slice(0, 10);
  assert.equal(count, plan.running.length + plan.starts.filter((s) => s.soak < last).length + plan.out.length);
  const folder = mkdtempSync(join(tmpdir(), "plumule-print-"));
  for (const landscape of [true, false]) {
    const path = join(folder, "plan.pdf");
    await page.pdf({ path, format: "A4", landscape });
    assert.equal((readFileSync(path, "latin1").match(/\/Type\s*\/Page\b/g) ?? []).length, 1, landscape ? "landscape" : "upright");
  }
  rmSync(folder, { recursive: true });
});
