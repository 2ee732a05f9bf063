/* The whole route through the pages, on the program itself: from a sack of seed to a pallet that has left,
 * each step told by somebody whose work it is. */
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { Devices, minutesAgo, record } from "./acts.mjs";
import { go, PASSWORD, Plant, PROGRAM, settle } from "./helpers.mjs";

/* Of the invented house, see demo/house.c. */
const MANAGER = 1, QUALITY = 2, QUALITY_2 = 3, GROWER = 4, LINE = 6, INTAKE = 9, HYGIENE = 10, DISPATCH = 11;

let plant;
let devices;
/* Whoever cleans has a device that still believes to be elsewhere: the times are the house's all the same. */
const at = (person) => devices.of(plant.url, person, person === HYGIENE ? { timezoneId: "America/Chicago" } : {});
/* What the steps before made. */
const made = {};

before(async () => {
  [plant, devices] = await Promise.all([new Plant().make().then((p) => p.start()), new Devices().open()]);
});

after(async () => {
  await devices?.close();
  await plant?.stop();
  plant?.remove();
});

async function first(page, path, selector) {
  await go(page, path);
  await page.locator(selector).first().waitFor();
  return page.locator(selector).first().textContent();
}

/* The treater's file of yesterday's load, as if it had been written a few minutes ago. */
function treaterFile(start) {
  const files = join(plant.folder, "p", "files");
  const name = readdirSync(files).filter((f) => f.startsWith("treater-")).sort().at(-1);
  const [head, ...rows] = readFileSync(join(files, name), "latin1").trimEnd().split(/\r?\n/);
  const told = rows.map((row, i) => {
    const cells = row.split(";");
    const [day, clock] = new Date(start + i * 2000).toLocaleString("sv-SE", { timeZone: "Europe/Vienna" }).split(" ");
    return [day.split("-").reverse().join("."), clock, ...cells.slice(2)].join(";");
  });
  const path = join(plant.folder, "treater.csv");
  writeFileSync(path, [head, ...told, ""].join("\n"), "latin1");
  return { path, seconds: (rows.length - 1) * 2 };
}

test("seed is received, tested, and approved with a signature", async () => {
  const intake = await at(INTAKE);
  const seed = await record(intake, "receive", { supplier: "TESTA-1", item: "MUNGSEED", mass: "200", instrument: "SC-1", place: "DS-1" },
    { more: { supplier_lot: "T-77" }, twice: true, sentence: /200 kg/ });
  assert.match(seed.lot, /^MUNGSEED/);
  made.seed = seed.lot;
  const lot = made.seed;
  await record(intake, "seed-test", { lot, test: "look", seed: "good", sacks: "good" });
  await record(intake, "seed-test", { lot, test: "moisture", moisture: "9.8" });
  await record(intake, "seed-test", { lot, test: "germination", replicates: "95 96 94 95" });
  await record(intake, "seed-test", { lot, test: "purity", pure: "99.6", other: "0.1", weed: "0.1", inert: "0.2" });
  await record(intake, "seed-test", { lot, test: "thousand-seed mass", replicates_g: "5.01 5.02 5.00 5.03 5.01 4.99 5.02 5.00" });
  await record(await at(QUALITY), "approve", { lot, state: "approved" }, { more: { markets: "house" }, sign: true });
});

test("seed is treated by a logged curve, cooled, soaked, and started in a chamber", async () => {
  const grower = await at(GROWER);
  const start = Math.floor(Date.now() / 60000 - 6) * 60000;
  const file = treaterFile(start);
  execFileSync(PROGRAM, ["--plant", join(plant.folder, "p"), "--as", String(GROWER), "import", "logger", file.path, "--source", "treater"]);
  const clock = (ms) => new Date(ms).toLocaleString("sv-SE", { timeZone: "Europe/Vienna" }).replace(" ", "T").replace(/:00$/, ""); /* as the field writes it */
  const cooled = clock(start + (60 + 48) * 1000); /* come-up and hold of that file, demo/grow.c */
  const from = clock(start), to = clock(start + file.seconds * 1000);
  const load = await record(grower, "heat-treat", { inputs: [{ lot: made.seed, mass: "107" }], place: "TR-1", recipe: "hot-water-85" },
    { more: { start: from.slice(0, 16), end: to, series: { Series: "treater-1", From: from, To: to }, probes: "TH-1", cool_start: cooled, papers: "validation" }, twice: true });
  made.load = load.lot;
  await record(grower, "cool", { lot: made.load, place: "ST-1" });
  await record(grower, "soak", { lot: made.load, place: "ST-1" });
  const growing = await record(grower, "grow", { chamber: "C-01", item: "MUNG", inputs: [{ lot: made.load, mass: "107" }] }, { twice: true, sentence: /C-01/ });
  assert.match(growing.lot, /^MUNG/);
  made.growing = growing.lot;
  await record(grower, "water", { chamber: "C-01", source: "WS-1", litres: "900" });
  await go(grower, "/chambers/C-01");
  assert.match(await grower.locator("main").textContent(), new RegExp(made.growing));
});

test("a batch is sampled, and its laboratory result is typed", async () => {
  const drawn = await record(await at(GROWER), "sample", { what: "spent water", chamber: "C-22", location: "drain of C-22", volume: "1500" }, { twice: true });
  const page = await at(GROWER);
  await go(page, `/daybook/${drawn.entry}`);
  const code = (await page.locator(".entry-sentence").textContent()).match(/Sample (\S+) of/)[1];
  await record(await at(QUALITY), "result", { sample: code, organism: "Salmonella spp.", state: "negative", method: "equivalent-validated" });
  made.sample = code;
});

test("a result that is typed with its report is read again by somebody else, in the page", async () => {
  const quality = await at(QUALITY);
  const file = { name: "report-77.pdf", mimeType: "application/pdf", buffer: Buffer.from("%PDF-1.4 invented report 77") };
  await record(quality, "attach", { name: "report-77.pdf", paper_kind: "report", bytes_b64: { file } });
  await record(quality, "result", { sample: made.sample, organism: "E. coli O157:H7", state: "negative", method: "equivalent-validated" }, { more: { report: "report-77.pdf" } });
  const row = (page) => page.locator(".suggest button").filter({ hasText: made.sample }).filter({ hasText: "E. coli O157:H7" });
  await go(quality, "/record/second-reading");
  await row(quality).waitFor();
  assert.equal(await row(quality).isDisabled(), true);
  const other = await at(QUALITY_2);
  await go(other, "/record");
  await go(other, "/record/second-reading");
  await row(other).click();
  await other.getByRole("button", { name: "Read it back" }).click();
  await other.getByRole("button", { name: "Record it" }).click();
  const dialog = other.locator("dialog");
  await dialog.getByLabel(/^Password of/).fill(PASSWORD);
  await dialog.getByRole("button", { name: "Sign" }).click();
  await other.locator(".done").waitFor();
  assert.equal(await other.locator(".done h2").textContent(), "Recorded");
  await go(other, "/record");
  await go(other, "/record/second-reading");
  await settle(other);
  assert.equal(await row(other).count(), 0);
});

test("a chamber is harvested, and goes over the line into packs", async () => {
  const hygiene = await at(HYGIENE);
  for (const place of ["W-1", "T-1", "W-2", "S-1", "P-1"]) {
    await record(hygiene, "clean", {
      place, start: minutesAgo(20).slice(0, 16), end: minutesAgo(1).slice(0, 16), agent: "chlorine sanitiser", strength: "150", contact: "120", rinsed: "Yes", inspected: "passed",
    });
  }
  const line = await at(LINE);
  const kg = (text) => new RegExp(`${text} kg`);
  /* The wash water is read before a lot is in it, and since. */
  const readWater = async () => {
    for (const place of ["W-1", "W-2"]) await record(line, "water-reading", { place, chlorine: "40", instrument: "CL-1" }, { more: { ph: "6.8", temp: "10" }, sentence: /40 mg\/L/ });
  };
  await readWater();
  const harvested = await record(line, "harvest", { chamber: "C-05", mass: "845", instrument: "SC-1", place: "W-1" }, { more: { emptied: "Yes" }, twice: true, sentence: kg(845) });
  const washed = await record(line, "wash", { place: "W-1", inputs: [{ lot: harvested.lot }], outputs: [{ role: "main", mass: "816" }, { role: "hulls", mass: "46" }] }, { twice: true, sentence: kg(816) });
  const outOf = async (entry, kind) => {
    const page = await at(LINE);
    await go(page, `/daybook/${entry}`);
    const told = await page.evaluate(async (seq) => (await fetch(`/api/v1/daybook/${seq}`)).json(), entry);
    const lots = JSON.stringify(told.answer).match(/"lot":"([^"]+)"/g).map((m) => m.slice(7, -1));
    assert.ok(lots.length > 0, `${kind} made a lot`);
    return lots[0];
  };
  const w = await outOf(washed.entry, "wash");
  const trimmed = await record(line, "trim", { place: "T-1", inputs: [{ lot: w }], outputs: [{ role: "main", mass: "698" }, { role: "roots", mass: "106" }] }, { twice: true });
  const t = await outOf(trimmed.entry, "trim");
  const rinsed = await record(line, "rinse", { place: "W-2", inputs: [{ lot: t }], outputs: [{ role: "main", mass: "706" }] }, { twice: true });
  const r = await outOf(rinsed.entry, "rinse");
  await readWater();
  const sorted = await record(line, "sort", { place: "S-1", inputs: [{ lot: r }], outputs: [{ role: "main", mass: "684" }, { role: "culls", mass: "21" }] }, { twice: true });
  made.sorted = await outOf(sorted.entry, "sort");
  await record(line, "moisture-check", { lot: made.sorted, moisture: "1.8" }, { sentence: /1.8 %/ });
  const metal = { place: "P-1", fe: "found", non_fe: "found", steel: "found" };
  await record(line, "metal-check", metal);
  const packed = await record(line, "pack", { place: "P-1", inputs: [{ lot: made.sorted }], item: "M250", pieces: "2700", mean_net: "252.2", markets: "house" }, { more: { cases: "135" }, twice: true, sentence: /2\D?700/ });
  made.packed = packed.lot;
  made.metal = (await record(line, "metal-check", metal)).entry;
  await go(line, `/lots/${made.packed}`);
  const best = await line.evaluate(async (lot) => (await (await fetch(`/api/v1/lots/${lot}`)).json()).best_before, made.packed);
  await record(line, "label-check", { lot: made.packed, item: "M250", lot_code: made.packed, best_before: best, net: "250", allergens: "" });
  await record(line, "store", { lot: made.packed, place: "CR-1" });
});

async function lotOf(page, code) {
  return page.evaluate(async (lot) => (await fetch(`/api/v1/lots/${lot}`)).json(), code);
}

test("the lot is not released while a clause is missing, and the page says which", async () => {
  const quality = await at(QUALITY);
  await go(quality, `/lots/${made.packed}`);
  const clauses = quality.locator(".clauses");
  await clauses.getByRole("heading", { name: /clauses? (is|are) not met/ }).waitFor();
  assert.match(await clauses.locator(".clause-unmet").first().textContent(), /waits for a review by somebody other than person/);
  assert.equal((await lotOf(quality, made.packed)).releases.length, 0);
});

test("quality reviews what waits with one signature", async () => {
  const quality = await at(QUALITY);
  await go(quality, "/safety");
  await quality.getByRole("button", { name: /^Review all/ }).click();
  const dialog = quality.locator("dialog");
  await dialog.getByLabel(/^Password of/).fill(PASSWORD);
  await dialog.getByRole("button", { name: "Sign the review" }).click();
  await dialog.waitFor({ state: "detached" });
  await quality.waitForFunction(() => ![...document.querySelectorAll("button")].some((b) => /^Review \d+ line/.test(b.textContent)));
  const clauses = async () => (await lotOf(quality, made.packed)).unmet;
  assert.equal(await clauses(), 0);
});

test("a clause that is no longer met when release is pressed is said, and the page stays where it is", async () => {
  const quality = await at(QUALITY);
  await go(quality, `/lots/${made.packed}`);
  await quality.getByText(/All \d+ clauses are met/).waitFor();
  await quality.getByRole("button", { name: "Release" }).click();
  const dialog = quality.locator("dialog");
  await dialog.getByLabel("house").waitFor();
  await dialog.getByLabel(/^Password of/).fill(PASSWORD);
  /* Meanwhile the line tells a check that nobody has reviewed yet. */
  await record(await at(LINE), "label-check", { lot: made.packed, item: "M250", lot_code: made.packed, best_before: (await lotOf(quality, made.packed)).best_before, net: "250", allergens: "" });
  await dialog.getByRole("button", { name: "Release" }).click();
  await dialog.getByText(`Lot ${made.packed} can't be released`).waitFor();
  await dialog.locator(".release-unmet").getByText(/waits for a review by somebody other than person/).waitFor();
  assert.equal((await lotOf(quality, made.packed)).releases.length, 0);
  await dialog.getByRole("button", { name: "Cancel" }).click();
  await quality.locator(".clause-unmet").first().waitFor();
  await go(quality, "/safety");
  await quality.getByRole("button", { name: /^Review (all|\d+)/ }).first().click();
  await dialog.getByLabel(/^Password of/).fill(PASSWORD);
  await dialog.getByRole("button", { name: "Sign the review" }).click();
  await dialog.waitFor({ state: "detached" });
  assert.equal((await lotOf(quality, made.packed)).unmet, 0);
});

test("it is released by one's own password, and a wrong one releases nothing", async () => {
  const quality = await at(QUALITY);
  await go(quality, `/lots/${made.packed}`);
  await quality.getByText(/All \d+ clauses are met/).waitFor();
  await quality.getByRole("button", { name: "Release" }).click();
  const dialog = quality.locator("dialog");
  await dialog.getByLabel("house").waitFor();
  await dialog.getByLabel(/^Password of/).fill(`not ${PASSWORD}`);
  await dialog.getByRole("button", { name: "Release" }).click();
  await dialog.locator(".field-wrong").waitFor();
  assert.equal((await lotOf(quality, made.packed)).releases.length, 0);
  await dialog.getByLabel(/^Password of/).fill(PASSWORD);
  await dialog.getByRole("button", { name: "Release" }).click();
  await dialog.waitFor({ state: "detached" });
  await quality.locator(".page-state").getByText("released").waitFor();
  assert.equal((await lotOf(quality, made.packed)).releases.length, 1);
});

test("forty cases leave, and the trace from a case draws both ways what its list says", async () => {
  const code = (n) => `${made.packed}-${String(n).padStart(4, "0")}`;
  await record(await at(DISPATCH), "ship", { customer: "RADICLE-1", units: `${code(1)}..${code(40)}` }, { twice: true, sentence: /RADICLE-1/ });
  const quality = await at(QUALITY);
  await go(quality, `/trace?code=${code(7)}&direction=back`);
  await quality.locator(".trace-box").first().waitFor();
  assert.equal(await quality.locator(".trace-box").evaluateAll((boxes) => boxes.filter((b) => b.tabIndex === 0).length), 1); /* the keyboard enters the picture once */
  const drawn = await quality.locator(".trace-box").evaluateAll((boxes) => boxes.map((b) => [b.querySelector(".trace-code").textContent, b.querySelector(".trace-mass")?.textContent ?? null, b.transform.baseVal[0].matrix.e]));
  const listed = await quality.locator("table.ledger tbody tr").evaluateAll((rows) => rows.map((r) => [r.querySelector("th").textContent, r.querySelector('[data-name="Amount"]').textContent]));
  assert.deepEqual(drawn.map((d) => d[0]).sort(), listed.map((l) => l[0]).sort());
  const amounts = new Map(listed);
  for (const [lot, mass] of drawn) assert.ok(mass === null || amounts.get(lot) === mass, `${lot}: ${mass}, ${amounts.get(lot)}`);
  const x = new Map(drawn.map((d) => [d[0], d[2]]));
  const grown = drawn.map((d) => d[0]).find((lot) => /^MUNG-\d+-C05$/.test(lot)); /* it was harvested above; its day is the plant's */
  assert.ok(x.get(grown) > Math.min(...x.values()), "the chamber's lot stands right of the seed");
  assert.ok(x.get(made.packed) > x.get(grown), "the packs stand right of the chamber");
  await quality.getByRole("button", { name: /orward|went/ }).first().click();
  await settle(quality);
  await quality.locator(".trace-end").first().waitFor();
  const end = await quality.locator(".trace-end").first().evaluate((e) => [e.transform.baseVal[0].matrix.e, e.textContent]);
  const right = await quality.locator(".trace-box").evaluateAll((boxes) => Math.max(...boxes.map((b) => b.transform.baseVal[0].matrix.e)));
  assert.ok(end[0] > right, "customers stand at the right");
  assert.match(end[1], /RADICLE-1.*800 pieces/);
});

test("a correction after the release shows its three lists before it is signed, and holds the lot", async () => {
  const quality = await at(QUALITY);
  await go(quality, `/daybook/${made.metal}`);
  await quality.getByRole("button", { name: "Correct" }).click();
  const dialog = quality.locator("dialog");
  await dialog.locator("label").filter({ hasText: /^iron test piece/ }).locator("select").selectOption("missed");
  await dialog.getByLabel("Reason").fill("the iron piece went through");
  await dialog.getByRole("button", { name: "Show what it would do" }).click();
  await dialog.getByLabel("Who else agrees?").selectOption(String(MANAGER));
  await dialog.getByRole("button", { name: "Show what it would do" }).click();
  await dialog.locator(".three").waitFor();
  const list = (name) => dialog.locator(`.three-${name}`).textContent();
  assert.match(await list("recall"), new RegExp(`1 released lot no longer meets its clauses and has left.*${made.packed}.*RADICLE-1 800 pieces`));
  assert.match(await list("held"), new RegExp(`1 released lot no longer meets its clauses and is here.*${made.packed}`));
  /* How many releases of the day before rest on the line's checks hangs on the hour the plant was made. */
  const unchanged = await dialog.locator(".three-unchanged li").allTextContents();
  assert.match(await list("unchanged"), new RegExp(`${unchanged.length} release(s stay as they are| stays as it is)`));
  assert.ok(!unchanged.some((line) => line.includes(made.packed)), unchanged.join());
  assert.equal((await lotOf(quality, made.packed)).state, "released");
  await dialog.getByLabel(/^Password of/).fill(PASSWORD);
  await dialog.getByRole("button", { name: "Sign the correction" }).click();
  await dialog.waitFor({ state: "detached" });
  await go(quality, `/lots/${made.packed}`);
  await quality.locator(".page-state .state-stopped").waitFor();
  await quality.getByText(/judged again/).first().waitFor();
  const lot = await lotOf(quality, made.packed);
  assert.equal(lot.state, "held");
  assert.ok(lot.releases[0].revoked !== null);
  assert.ok(lot.unmet > 0);
  assert.deepEqual(devices.faults, []);
});
