/* The plan of a house that receives fruit, on a small hall made from its profile by the program's own commands. */
import assert from "node:assert/strict";
import { mkdirSync, mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { axe, go, openBrowser, PASSWORD, Plant, ROOT, run, settle, signIn, walk } from "./helpers.mjs";

/* the house day, which begins at 4 h */
const on = (n) => new Date(Date.now() - 4 * 3600000 + n * 86400000).toISOString().slice(0, 10);

const HOUSE = [
  { kind: "place", code: "COLD-1", place_kind: "cold-room", capacity: "12 t" },
  { kind: "place", code: "TANK-1", place_kind: "tank", capacity: "1500 kg" },
  { kind: "place", code: "TANK-2", place_kind: "tank", capacity: "1000 kg" },
  { kind: "place", code: "STORE-1", place_kind: "store", capacity: "6 t" },
  { kind: "item", code: "LIME", item_kind: "ingredient" },
  { kind: "item", code: "LIME-1", item_kind: "by-product" },
  { kind: "item", code: "LIME-2", item_kind: "by-product" },
  { kind: "item", code: "LIME-J", item_kind: "by-product" },
  { kind: "item", code: "LIME-FEED", item_kind: "by-product" },
  { kind: "place", code: "SORTER-1", place_kind: "sorter" },
  { kind: "item", code: "LIME-BOX", item_kind: "packed", net: "4 kg", pieces_per_case: 1, life_days: 30, source_item: "LIME-1" },
  { kind: "item", code: "LIME-BOTTLE", item_kind: "packed", net: "515 g", pieces_per_case: 6, life_days: 180, source_item: "LIME-1" },
  { kind: "partner", code: "HESPERIDIUM-1", role: "supplier" },
  { kind: "partner", code: "FLAVEDO-1", role: "customer", group: "retail", market: "house", life_days: 14, priority: 2 },
];

/* More boxes than the hall's packing and fruit can bring by tomorrow. */
const TOLD = [
  { kind: "instrument", code: "SCALE", instrument_kind: "scale", division: 1000000, uncertainty: 1000000, due: "2040-01-01T00:00:00Z" },
  { kind: "supplier-approval", supplier: "HESPERIDIUM-1", state: "approved", until: "2040-01-01T00:00:00Z", reason: "audited" },
  { kind: "receive", supplier: "HESPERIDIUM-1", item: "LIME", mass: "3 t", instrument: "SCALE", place: "COLD-1", supplier_lot: "L-1" },
  { kind: "delivery-agree", code: "PERICARP-7", supplier: "HESPERIDIUM-1", item: "LIME", day: on(4), mass: "1700 kg" },
  { kind: "order", source: "shop", lines: [["A", "LIME-BOX", 1, 9000], ["B", "LIME-BOX", 5, 500], ["C", "LIME-BOTTLE", 3, 900]].map(([key, item, day, pieces]) => ({ key, customer: "FLAVEDO-1", item, day: on(day), pieces })) },
];

let plant;
let record;
let lot;
let browser;
let page;
const faults = [];

async function lines(name, list) {
  const path = join(plant.folder, name);
  writeFileSync(path, `${list.map((x) => JSON.stringify(x)).join("\n")}\n`);
  return path;
}

before(async () => {
  plant = new Plant();
  plant.folder = mkdtempSync(join(tmpdir(), "plumule-hall-"));
  const folder = join(plant.folder, "p");
  const secret = join(plant.folder, "secret");
  writeFileSync(secret, PASSWORD);
  await run(["init", "--plant", folder, "--profile", join(ROOT, "profiles", "citrus-hall.json"), "--house", await lines("house.jsonl", HOUSE), "--zone", "UTC", "--manager", "1", "--name", "Hilum 1", "--password-file", secret]);
  await plant.start();
  record = async (list) => {
    const told = await run(["--plant", folder, "--as", "1", "--password-file", secret, "record", "-"], list.map((x) => JSON.stringify(x)).join("\n"));
    assert.doesNotMatch(told, /"ok":false/);
    return told;
  };
  lot = /"lot":"([^"]+)"/.exec(await record(TOLD))[1];
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

const NEW = "A new plan. Nothing of it counts until somebody takes it.";
const read = () => page.evaluate(async () => (await (await fetch("/api/v1/plan")).json()));

test("the list of places has no chambers and no lines, on a phone neither; by their address they are there", async () => {
  await go(page, "/");
  assert.equal(await page.evaluate(async () => (await (await fetch("/api/v1/me")).json()).receives), true);
  const listed = (of) => page.locator(`${of} a`).evaluateAll((all) => all.map((x) => x.getAttribute("href")));
  const margin = await listed("nav.margin");
  assert.ok(margin.includes("/plan") && margin.includes("/keeping"), margin.join());
  for (const path of ["/chambers", "/plan/day"]) assert.ok(!margin.includes(path), path);
  assert.deepEqual(await listed("nav.bottom"), ["/", "/plan", "/keeping", "/lots", "/more"]);
  await go(page, "/more");
  assert.ok(!(await listed("nav.more-list")).includes("/chambers"));
  await go(page, "/chambers");
  assert.equal(await page.locator("main h1").count(), 1);
});

test("before a plan is taken the page shows what comes if nothing is done", async () => {
  await go(page, "/plan");
  await page.getByText("No plan has been taken yet.").waitFor();
  const { receives, received, plan } = await read();
  assert.equal(receives, true);
  assert.equal(plan, null);
  assert.equal(received.taken, null);
  const agreed = received.coming.filter((c) => c.of === "PERICARP-7");
  assert.deepEqual(agreed.map((c) => [c.day, c.g, c.booked]), [[on(4), 1700000, true]]);
  assert.match(await page.locator(".plan-shorts").textContent(), /the plan taken makes no more for it/);
});

test("a plan is worked out in the background, with its bound, what binds and what more of it would give", async () => {
  await page.getByRole("button", { name: "Work out a plan" }).click();
  await page.getByText(NEW).waitFor({ timeout: 60000 });
  await page.locator("progress").waitFor({ state: "detached", timeout: 60000 });
  assert.match(await page.locator("main").textContent(), /No plan that is asked the same costs less than [\d,.−]+: at most [\d,.]+ could still be saved/);
  const { job } = await read();
  const plan = job.received;
  assert.ok(plan.gap >= 0 && plan.gap < 0.02, String(plan.gap));
  assert.ok(plan.by_solver);
  const short = plan.shorts.find((s) => s.order === "A");
  assert.ok(short.pieces > 0);
  assert.ok(plan.gains.length > 0);
  assert.match(await page.locator(".plan-shorts").textContent(), /More of a limit would give/);
  assert.ok(await page.locator(".plan-svg .plan-cap-used, .plan-svg .plan-cap-full").count() > 10);
  assert.ok(await page.locator(".plan-svg .plan-limit, .plan-svg .plan-cap-lid").count() >= 14);
});

test("how sure it is is said of orders and days, and that the record is too short to tell of work and deliveries", async () => {
  const { chance, orders } = (await read()).job.received;
  assert.ok(chance.futures >= 100);
  assert.deepEqual(chance.lines.filter((l) => l.order).map((l) => l.order).sort(), ["A", "B", "C"]);
  assert.ok(chance.lines.find((l) => l.order === "A").met_ppm < 1000000);
  assert.ok(chance.days.some((d) => d.day === on(1) && d.met_ppm < 1000000));
  assert.equal(orders.find((o) => o.order === "A").chance_percent, 0);
  assert.ok(chance.learnt.length > 10 && chance.learnt.every((l) => !l.known));
  const sure = page.locator(".plan-sure-fruit");
  assert.match(await sure.textContent(), /Expected to be met:/);
  await sure.locator("summary").click();
  assert.match(await sure.textContent(), /sort HESPERIDIUM-1: 0 days of work in the record, too few to tell/);
  assert.match(await page.locator(".plan-counted").textContent(), /By the profile, for want of days in the record: sort HESPERIDIUM-1, sort,/);
});

test("what a shift does on a day is listed, and adds up with what it gives", async () => {
  const { job } = await read();
  const text = await page.locator(".plan-todo").textContent();
  assert.match(text, /sort HESPERIDIUM-1/);
  const of = (act) => job.received.flows.filter((f) => f.day === on(0) && f.act === act && f.use === "sort HESPERIDIUM-1").reduce((n, f) => n + f.g, 0);
  assert.ok(of("used") > 0);
  assert.ok(Math.abs(of("made") - of("used") * 0.98) < 10); /* shares of the profile: 44 + 31 + 18 + 5 % */
});

test("it is taken: the plan in force is shown, orders are told, and a plan made anew is held against it", async () => {
  await page.getByRole("button", { name: "Take this plan" }).click();
  assert.match(await page.locator(".read-back").textContent(), /^Orders are told what they get: \d[\d,]* of 10,400 pieces booked/);
  await page.getByRole("button", { name: "Yes, take it" }).click();
  await page.getByText(/What the plan taken gives/).waitFor();
  await settle(page);
  const { received, promised, job } = await read();
  assert.equal(job, null);
  assert.ok(received.taken.entry > 0);
  assert.deepEqual(promised.map((p) => p.order), ["A", "B", "C"]);
  for (const p of promised) assert.equal(received.orders.find((o) => o.order === p.order).met, p.told[0].pieces, p.order);
  await page.getByRole("button", { name: /^Work out (a plan|anew)$/ }).click();
  await page.getByText(NEW).waitFor({ timeout: 60000 });
  await page.locator("progress").waitFor({ state: "detached", timeout: 60000 });
  const differ = page.locator(".plan-differ").first();
  await differ.getByRole("heading", { name: "Two plans side by side" }).waitFor();
  const next = (await read()).job.received;
  assert.equal(next.before.booked_met, received.sums.booked_met);
  assert.equal(next.sums.booked_met, next.before.booked_met); /* nothing has changed since */
});

/* Asks what would be; the job when it is done. */
async function answered(trial) {
  const asked = page.waitForResponse((r) => new URL(r.url()).pathname === "/api/v1/plan" && r.request().method() === "POST");
  await trial.getByRole("button", { name: "Ask what would be" }).click();
  const { job: id } = await (await asked).json();
  await trial.locator(".plan-sums").waitFor({ timeout: 60000 });
  await trial.locator("progress").waitFor({ state: "detached", timeout: 60000 });
  return page.evaluate(async (of) => (await fetch(`/api/v1/plan/jobs/${of}`)).json(), id);
}

test("what if: more hours of packing, beside the plan without them", async () => {
  const trial = page.locator(".plan-trial");
  await trial.getByLabel("What is changed").selectOption({ label: "Other hours of a machine" });
  await trial.getByLabel(/^Machine/).selectOption("packing");
  await trial.getByLabel(/^A day/).fill("24");
  await trial.getByRole("button", { name: "Add this change" }).click();
  assert.match(await trial.textContent(), /packing works 24 h a day/);
  await trial.getByLabel("What is changed").selectOption({ label: "An offer of fruit" });
  await trial.getByLabel(/^Of what/).selectOption("firsts");
  await trial.getByLabel("Mass, kg").fill("20000");
  await trial.getByLabel("Price a kg").fill("0.3");
  await trial.getByRole("button", { name: "Add this change" }).click();
  const job = await answered(trial);
  assert.equal(job.trial, true);
  assert.ok(job.received.sums.booked_met > job.received.before.booked_met);
  assert.ok(job.received.cost < job.received.base.cost);
  assert.equal(await trial.locator(".plan-beside .plan-svg").count(), 2);
});

test("what if a day is closed: nothing is sorted or packed on it, which costs", async () => {
  await go(page, "/plan");
  const trial = page.locator(".plan-trial");
  const back = trial.getByRole("button", { name: /^Take it back/ });
  while (await back.count() > 0) await back.first().click();
  await trial.getByLabel("What is changed").selectOption({ label: "The house is closed on a day" });
  await trial.getByLabel(/^Day/).selectOption(on(0));
  await trial.getByLabel("Closed for").selectOption({ label: "everything" });
  await trial.getByRole("button", { name: "Add this change" }).click();
  const made = (await answered(trial)).received;
  assert.deepEqual(made.closed.map((c) => [c.day, c.what]), [[on(0), ["harvest", "pack", "dispatch"]]]);
  for (const m of made.machines) assert.equal(m.days[0].limit_min, 0, m.machine);
  assert.ok(made.cost >= made.base.bound, `${made.cost} of ${made.base.bound}`); /* fewer hours never cost less */
  assert.equal(made.base.closed.length, 0);
});

test("what of today is done since the plan was taken is told, and what is left", async () => {
  await page.getByRole("button", { name: "Take this plan" }).click();
  await page.getByRole("button", { name: "Yes, take it" }).click();
  await page.getByText(/What the plan taken gives/).waitFor();
  const row = (list) => list.find((x) => x.use === "sort HESPERIDIUM-1");
  const was = row((await read()).received.today);
  assert.ok(was.planned_g > 300000);
  assert.equal(was.done_g, 0);
  assert.equal(was.left_g, was.planned_g);
  const outputs = [["first", 130], ["second", 95], ["juicing", 54], ["feed", 15]].map(([role, kg]) => ({ role, mass: `${kg} kg` }));
  await record([{ kind: "grade", place: "SORTER-1", inputs: [{ lot, mass: "300 kg" }], outputs }]);
  const { received } = await read();
  const is = row(received.today);
  assert.deepEqual([is.planned_g, is.done_g, is.left_g], [was.planned_g, 300000, was.planned_g - 300000]);
  const sorted = received.flows.filter((f) => f.day === on(0) && f.act === "used" && f.use === "sort HESPERIDIUM-1").reduce((n, f) => n + f.g, 0);
  assert.ok(Math.abs(sorted - is.left_g) < 5, `${sorted} of ${is.left_g}`);
  await go(page, "/plan");
  /* what the page had before stands there until the answer comes */
  await page.locator(".plan-today").filter({ hasText: /300\s+kg/ }).waitFor();
  assert.match(await page.locator(".plan-today").textContent(), /sort HESPERIDIUM-1/);
});

test("what six sortings gave is counted on, and the plan is made with care for what they differ by", async () => {
  const first = (told) => /"lot":"([^"]+)"/.exec(told)[1];
  for (const [days, firsts] of [[6, 300], [5, 520], [4, 380], [3, 450], [2, 330], [1, 480]]) {
    const then = { at: new Date(Date.now() - days * 86400000).toISOString(), reason: "told from paper" };
    const fruit = first(await record([{ ...then, kind: "receive", supplier: "HESPERIDIUM-1", item: "LIME", mass: "1 t", instrument: "SCALE", place: "COLD-1", supplier_lot: `L-${days}` }]));
    const outputs = [["first", firsts], ["second", 930 - firsts], ["juicing", 20], ["feed", 30]].map(([role, kg]) => ({ role, mass: `${kg} kg` }));
    const sorted = first(await record([{ ...then, kind: "grade", place: "SORTER-1", inputs: [{ lot: fruit }], outputs }]));
    await record([{ ...then, kind: "destroy", lot: sorted, to: "feed" }]);
  }
  await record([{ kind: "order", source: "shop", lines: [{ key: "A", customer: "FLAVEDO-1", item: "LIME-BOX", day: on(1), pieces: 200 }] }]);
  await go(page, "/plan");
  await page.getByRole("button", { name: /^Work out (a plan|anew)$/ }).click();
  await page.getByText(NEW).waitFor({ timeout: 60000 });
  await page.locator("progress").waitFor({ state: "detached", timeout: 60000 });
  const { job } = await read();
  assert.equal(job.problem, null);
  const { care, counted, chance } = job.received;
  const sorting = counted.find((c) => c.use === "sort HESPERIDIUM-1");
  assert.deepEqual([sorting.by_record, sorting.days, sorting.parts[0].ppm, sorting.parts[0].told_ppm], [true, 6, Math.round((6 * 410000 + 2 * 440000) / 8), 440000]);
  assert.equal(care.tried, true);
  assert.ok(care.cost <= care.told_cost);
  assert.ok(care.level_milli === null || care.saved > 0);
  assert.ok(chance.futures >= 100);
  const sure = page.locator(".plan-sure-fruit");
  assert.ok((await sure.textContent()).includes(care.sentence));
  assert.match(await page.locator(".plan-counted").textContent(), /By the record: sort HESPERIDIUM-1\./);
  if (process.env.PLUMULE_PICTURES) {
    mkdirSync(process.env.PLUMULE_PICTURES, { recursive: true });
    for (const [name, width] of [["phone", 390], ["tablet", 820], ["desk", 1440]]) {
      await page.setViewportSize({ width, height: 900 });
      await settle(page);
      assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= window.innerWidth), name);
      await page.screenshot({ path: join(process.env.PLUMULE_PICTURES, `hall-${name}.png`), fullPage: true });
    }
  }
});

test("a share of what is wanted is asked for, and the plan says what of it is met; what if asks the same", async () => {
  const choice = page.getByLabel("How sure should orders be met?");
  assert.equal(await choice.inputValue(), "0");
  await choice.selectOption("990000");
  await page.getByRole("button", { name: "Work out anew" }).click();
  await page.locator(".plan-sure-fruit", { hasText: "Asked to meet 99 % of what is wanted" }).waitFor({ timeout: 60000 });
  await page.locator("progress").waitFor({ state: "detached", timeout: 60000 });
  const { job } = await read();
  assert.equal(job.service_ppm, 990000);
  assert.equal(await choice.inputValue(), "990000");
  const { care, chance } = job.received;
  assert.match(care.sentence, chance.share_ppm >= 990000 ? /^Asked to meet 99 % of what is wanted: over 400 futures/ : /^Asked to meet 99 % of what is wanted, which no plan that was tried does/);
  const trial = page.locator(".plan-trial");
  await trial.getByLabel("What is changed").selectOption({ label: "Other hours of a machine" });
  await trial.getByLabel(/^Machine/).selectOption("packing");
  await trial.getByLabel(/^A day/).fill("0");
  await trial.getByRole("button", { name: "Add this change" }).click();
  const asked = await answered(trial);
  assert.equal(asked.service_ppm, 990000);
  assert.match(asked.received.care.sentence, /which no plan that was tried does: this one meets most/);
});

test("where nobody asks otherwise the profile's share holds, and the page says whose it is", async () => {
  const text = readFileSync(join(ROOT, "profiles", "citrus-hall.json"), "utf8");
  await record([{ kind: "profile", text: text.replace('"horizon_days":', '"service": "98.5 %", "horizon_days":') }]);
  await go(page, "/plan");
  assert.equal((await read()).service_ppm, 985000);
  const choice = page.getByLabel("How sure should orders be met?");
  assert.equal(await choice.inputValue(), "990000"); /* as the plan shown was asked for */
  const option = choice.locator("option", { hasText: "as the profile says" });
  assert.match(await option.textContent(), /^98\.5\s%, as the profile says$/);
  await choice.selectOption("985000");
  await page.getByRole("button", { name: "Work out anew" }).click();
  await page.locator(".plan-sure-fruit", { hasText: "The profile says so: nobody asked otherwise." }).waitFor({ timeout: 60000 });
  await page.locator("progress").waitFor({ state: "detached", timeout: 60000 });
  const { job } = await read();
  assert.equal(job.service_ppm, 985000);
  assert.equal(job.service_of_profile, true);
  assert.match(job.received.care.sentence, /^Asked to meet 98\.5 % of what is wanted/);
  assert.equal(await choice.inputValue(), "985000");
  await record([{ kind: "profile", text }]);
  await go(page, "/plan");
  await choice.locator("option", { hasText: "as the profile says" }).waitFor({ state: "detached" });
});

test("the page passes axe and is reached by the keyboard alone, in two languages", async () => {
  assert.deepEqual(await axe(page), []);
  const walked = await walk(page, 150);
  assert.deepEqual(walked.faults, []);
  assert.ok(walked.stops > 20);
  const es = await browser.context.newPage();
  await es.goto(`${plant.url}/plan?words=es`);
  await settle(es);
  assert.match(await es.locator("main").textContent(), /Por hacer/);
  await es.close();
});

test("it prints on one page", async () => {
  for (const landscape of [true, false]) {
    const bytes = await page.pdf({ format: "A4", landscape });
    assert.equal(bytes.toString("latin1").match(/\/Type\s*\/Page\b/g).length, 1, landscape ? "landscape" : "upright");
  }
});

test("the pages beside it hold, and nothing was at fault", async () => {
  for (const path of ["/", "/plan/orders", "/keeping", "/lots"]) {
    await go(page, path);
    assert.equal(await page.locator(".note-stopped").count(), 0, path);
  }
  assert.deepEqual(faults, []);
});
