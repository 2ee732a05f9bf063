/* What is asked and told on the pages of the made-up plant: times by the house's clock, and the rest of what
 * a person fills in. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { settle, withMade } from "./helpers.mjs";

/* Fills in a cleaning that began and ended at those times. */
async function cleaned(page, made, start, end) {
  await page.goto(`${made.url}/record/clean?place=W-1&strength=150&contact=60&rinsed=yes`);
  await settle(page);
  const question = (name) => page.locator(".question").filter({ has: page.locator(`#l-${name}`) });
  await question("start").locator("input").fill(start);
  await question("end").locator("input").fill(end);
  return question;
}

test("times are those of the house, wherever the device thinks it is", async () => {
  await withMade(async (made, context) => {
    made.person = 5;
    const page = await context.newPage();
    const question = await cleaned(page, made, "2026-03-09T05:10", "2026-03-09T05:40");
    assert.match(await question("start").textContent(), /The house's clock: Europe\/Vienna, \+01:00/);
    await page.getByRole("button", { name: "It happened earlier" }).click();
    await question("at").locator("input").fill("2026-03-09T05:45");
    await question("reason").locator("input").fill("the tablet was empty");
    await page.getByRole("button", { name: "Read it back" }).click();
    await page.getByRole("button", { name: "Record it" }).click();
    await page.locator(".done").waitFor();
    assert.equal(made.told[0].start, "2026-03-09T04:10:00.000Z"); /* an hour behind the house's clock in March */
    assert.equal(made.told[0].end, "2026-03-09T04:40:00.000Z");
    assert.equal(made.told[0].at, "2026-03-09T04:45:00.000Z");
  }, { timezoneId: "Asia/Tokyo" });
});

test("a device in the house's own zone is not told about it", async () => {
  await withMade(async (made, context) => {
    made.person = 5;
    const page = await context.newPage();
    const question = await cleaned(page, made, "2026-03-09T05:10", "2026-03-09T05:40");
    assert.doesNotMatch(await question("start").textContent(), /clock/);
  });
});

test("a time that came twice is asked about, and one that never was is refused", async () => {
  await withMade(async (made, context) => {
    made.person = 5;
    const page = await context.newPage();
    const question = await cleaned(page, made, "2025-10-26T02:30", "2025-10-26T04:00");
    await page.getByRole("button", { name: "Read it back" }).click();
    await question("start").getByText("This time came twice").waitFor();
    await question("start").getByRole("button", { name: "The second time (+01:00)" }).click();
    await question("end").locator("input").fill("2026-03-29T02:15");
    await question("end").getByText("clocks went from 02:00 to 03:00").waitFor();
    await page.getByRole("button", { name: "Read it back" }).click();
    assert.equal(await page.locator(".confirm").count(), 0);
    await question("end").locator("input").fill("2025-10-26T03:15");
    await page.getByRole("button", { name: "Read it back" }).click();
    await page.getByRole("button", { name: "Record it" }).click();
    await page.locator(".done").waitFor();
    assert.equal(made.told[0].start, "2025-10-26T01:30:00.000Z");
    assert.equal(made.told[0].end, "2025-10-26T02:15:00.000Z");
  }, { timezoneId: "America/Chicago" });
});

test("a result is told for a sample that waits, the one that matters most first, or for one that is typed", async () => {
  await withMade(async (made, context) => {
    made.person = 1;
    const page = await context.newPage();
    await page.goto(`${made.url}/record/result`);
    await settle(page);
    const rows = page.locator(".suggest button");
    const said = await rows.allTextContents();
    assert.match(said[0], /S3044 spent water, MUNG-20522-C07 · MUNG.*drawn 2 days ago · owed: Salmonella spp. · presumptive positive/);
    assert.match(said[1], /S3055.*owed: E. coli O157:H7, Salmonella spp./);
    assert.match(said[3], /S3101 swab, P-1.*no result yet/);
    await rows.nth(2).click();
    assert.equal(await page.getByLabel("Sample", { exact: true }).inputValue(), "S3056");
    assert.equal(await page.getByRole("button", { name: "generic E. coli" }).getAttribute("aria-pressed"), "true");
    await page.getByLabel("Sample", { exact: true }).fill("C03");
    assert.deepEqual((await rows.allTextContents()).map((s) => s.slice(0, 5)), ["S3055"]);
    await page.getByLabel("Sample", { exact: true }).fill("S-77");
    await page.getByRole("button", { name: "Salmonella spp." }).click();
    await page.getByRole("button", { name: "negative" }).click();
    await page.getByRole("button", { name: "Read it back" }).click();
    await page.getByRole("button", { name: "Record it" }).click();
    await page.locator(".done").waitFor();
    assert.equal(made.told[0].sample, "S-77");
  });
});

test("a second reading is offered for what somebody else typed, not for one's own", async () => {
  await withMade(async (made, context) => {
    made.person = 1;
    const page = await context.newPage();
    await page.goto(`${made.url}/record/second-reading`);
    await settle(page);
    const own = page.locator(".suggest button").filter({ hasText: "S3013" });
    assert.match(await own.textContent(), /typed by you: somebody else has to read it/);
    assert.equal(await own.isDisabled(), true);
    const other = page.locator(".suggest button").filter({ hasText: "S3012" });
    await other.filter({ hasText: /Salmonella spp.: negative.*MUNG-20770-C02 · Cotyledon 5/ }).waitFor(); /* names come after samples */
    await other.click();
    assert.equal(await page.getByRole("button", { name: "Salmonella spp.", exact: true }).getAttribute("aria-pressed"), "true");
    await page.getByRole("button", { name: "Read it back" }).click();
    await page.getByRole("button", { name: "Record it" }).click();
    await page.locator(".done").waitFor();
    assert.deepEqual([made.told[0].kind, made.told[0].sample, made.told[0].organism], ["second-reading", "S3012", "Salmonella spp."]);
  });
});

test("a hold covers the whole lot, some of its cases, or a time of a run", async () => {
  await withMade(async (made, context) => {
    made.person = 1;
    const page = await context.newPage();
    const begin = async () => {
      await page.goto(`${made.url}/lots/M250-20781-03`);
      await settle(page);
      await page.getByRole("button", { name: "Hold", exact: true }).click();
      await page.getByRole("button", { name: "The whole lot" }).waitFor();
      return page.locator("dialog");
    };
    const send = async (dialog) => {
      await dialog.getByLabel("Reason").fill("a crushed corner");
      await dialog.getByRole("button", { name: "Hold", exact: true }).click();
    };
    let dialog = await begin();
    await send(dialog);
    await dialog.waitFor({ state: "detached" });
    assert.deepEqual([made.told[0].lot, made.told[0].units, made.told[0].run], ["M250-20781-03", undefined, undefined]);

    dialog = await begin();
    await dialog.getByRole("button", { name: "Some cases" }).click();
    const which = dialog.getByRole("textbox", { name: "Which cases?" });
    await which.fill("9-7");
    await send(dialog);
    await dialog.getByText("Give numbers and ranges").waitFor();
    await which.fill("30-32, 500");
    await send(dialog);
    await dialog.getByText("There is no case 500 of M250-20781-03.").waitFor();
    await which.fill("30-32");
    await dialog.getByText("Pick from 135 cases").click();
    await dialog.getByRole("button", { name: "34", exact: true }).click();
    await dialog.getByRole("button", { name: "31", exact: true }).click();
    assert.equal(await which.inputValue(), "30, 32, 34");
    assert.match(await dialog.locator(".case-picks button").nth(60).textContent(), /61held/);
    await which.fill("30-33, 61");
    await send(dialog);
    await dialog.waitFor({ state: "detached" });
    assert.deepEqual(made.told[1].units, ["M250-20781-03-0030..M250-20781-03-0033", "M250-20781-03-0061"]);
    assert.equal(made.told[1].lot, undefined);

    dialog = await begin();
    await dialog.getByRole("button", { name: "A time of a run" }).click();
    const to = dialog.getByLabel("To", { exact: true });
    const from = await dialog.getByLabel("From", { exact: true }).inputValue();
    await to.fill(from.replace(/T\d\d/, "T00"));
    await send(dialog);
    await dialog.getByText("The time ends before it begins.").waitFor();
    await to.fill(from.replace(/T.*/, "T23:30"));
    await send(dialog);
    await dialog.waitFor({ state: "detached" });
    assert.equal(made.told[2].run, "P-1-20781");
    assert.equal(made.told[2].lot, undefined);
    assert.equal(new Date(made.told[2].to).toISOString().slice(11), "22:30:00.000Z"); /* an hour behind the house in March */
    assert.ok(made.told[2].from < made.told[2].to);
  });
});

test("a limit is tightened with a source, and loosened only with one that may widen it", async () => {
  await withMade(async (made, context) => {
    made.person = 1;
    const page = await context.newPage();
    await page.goto(`${made.url}/people`);
    await settle(page);
    const row = page.getByRole("row", { name: /Surface moisture/ });
    assert.match(await row.textContent(), /not in force yet.*up to 2 %/);
    assert.match(await row.textContent(), /up to 2.5 %. loosened Packs were wet at RADICLE-1 \(contract of RADICLE-1, derived\)/);
    await page.getByRole("row", { name: /Expansion.*every item/ }).getByRole("button", { name: "Change" }).click();
    const dialog = page.locator("dialog");
    const sign = dialog.getByRole("button", { name: "Sign the change" });
    const rows = dialog.locator(".read-back li");
    await dialog.getByLabel("At least (kg/kg)").fill("4");
    await dialog.getByLabel("At most (kg/kg)").fill("9");
    assert.deepEqual(await rows.allTextContents(), [" SOY: 3 … 9 kg/kg → 4 … 9 kg/kg", " every item: 3 … 14 kg/kg → 4 … 9 kg/kg"]);
    assert.equal(await dialog.getByText("This loosens the limit").count(), 0);
    await dialog.getByLabel("At most (kg/kg)").fill("13"); /* tighter for most, wider for one item */
    await dialog.getByText("This loosens the limit").waitFor();
    assert.match((await rows.allTextContents())[0], /SOY.*loosened/);
    assert.equal(await sign.isDisabled(), true);
    assert.ok(!(await dialog.getByLabel("Where the source comes from").locator("option").allTextContents()).includes("from memory"));
    await dialog.getByLabel("Where the source comes from").selectOption("published (seen)");
    await dialog.getByLabel("Source", { exact: true }).fill("trials of the house, 2026");
    await dialog.getByLabel("From when").fill("2026-04-01T06:00");
    await dialog.getByText("It counts from Wed 1 Apr 06:00 on.").waitFor();
    await dialog.getByLabel("Reason").fill("longer growing");
    await dialog.getByLabel("Password of Hilum 1").fill("seedbed");
    await sign.click();
    await dialog.waitFor({ state: "detached" });
    const { kind, limit, low, high, source, word, from, reason } = made.told[0];
    assert.deepEqual({ kind, limit, low, high, source, word, from, reason }, {
      kind: "limit", limit: "expansion", low: "4", high: "13", source: "trials of the house, 2026", word: "published (seen)", from: "2026-04-01T04:00:00.000Z", reason: "longer growing",
    });
  });
});

const csv = (text) => ({ name: "orders.csv", mimeType: "text/csv", buffer: Buffer.from(text) });

test("a file is tried, looked at and taken; a fault is shown where it is in the file", async () => {
  await withMade(async (made, context) => {
    made.person = 1;
    const page = await context.newPage();
    await page.goto(`${made.url}/papers/files`);
    await settle(page);
    const file = page.getByLabel("File", { exact: true });
    await file.setInputFiles(csv("Kunde;Artikel;Liefertag\nRADICLE;M250;wrong;800\n"));
    await page.getByRole("button", { name: "Try it" }).click();
    await page.getByText("Line 2, column 14 of the file:").waitFor();
    assert.equal(await page.locator(".fault mark").textContent(), "wrong;800");
    await file.setInputFiles(csv("Kunde;Artikel;Liefertag\nRADICLE-1;M250;11.03.2026;800\n"));
    assert.equal(await page.locator(".fault").count(), 0);
    await page.getByRole("button", { name: "Try it" }).click();
    await page.getByRole("heading", { name: "What orders.csv would do" }).waitFor();
    assert.match(await page.locator("main").textContent(), /lines that are not in it are cancelled/);
    const rows = await page.locator("table.ledger tbody tr").allTextContents();
    assert.deepEqual(rows, ["2newRADICLE-1/4711/10 800", "4changedTESTA-2/4712/10 1100 -> 1200", "–cancelledTESTA-2/4714/10 400", "6has left alreadyRADICLE-1/4701/10 400 -> 200"]);
    assert.equal(made.told.length, 0);
    await page.getByRole("button", { name: "Take it" }).click();
    await page.getByRole("heading", { name: "orders.csv is taken" }).waitFor();
    assert.deepEqual([made.told[0].for, made.told[0].source, made.told[0].try], ["orders", "shop", false]);
    await page.getByRole("button", { name: "Another file" }).click();
    await page.getByRole("button", { name: "Seed", exact: true }).click();
    await page.getByText("No source has a mapping for such files yet.").waitFor();
  });
});

test("a mapping is told by its columns and the rest of it", async () => {
  await withMade(async (made, context) => {
    made.person = 1;
    const page = await context.newPage();
    await page.goto(`${made.url}/papers/files`);
    await settle(page);
    await page.getByRole("button", { name: "New mapping" }).click();
    const dialog = page.locator("dialog");
    await dialog.getByLabel("Where it comes from").fill("lab-2");
    await dialog.getByLabel("What is in it?").selectOption("results");
    await dialog.getByText("sample, organism and state are needed").waitFor();
    await dialog.getByLabel("Field").fill("sample");
    await dialog.getByLabel("Its header in the file").fill("Probe");
    await dialog.getByRole("group", { name: "Columns" }).getByRole("button", { name: "One more" }).click();
    await dialog.getByLabel("Field").nth(1).fill("state");
    await dialog.getByLabel("Its header in the file").nth(1).fill("Befund");
    await dialog.getByLabel("Dates").selectOption("day-first");
    await dialog.getByLabel("What an empty cell says").fill("n. a. | -");
    await dialog.getByRole("group", { name: "The same for every row" }).getByRole("button", { name: "One more" }).click();
    await dialog.getByLabel("Field without a column").fill("organism");
    await dialog.getByLabel("What it is").fill("listeria");
    const words = dialog.getByRole("group", { name: "Words of the file" });
    await words.getByRole("button", { name: "One more" }).click();
    await words.getByLabel("Field").fill("state");
    await words.getByLabel("Their word").fill("neg.");
    await words.getByLabel("Our word").fill("negative");
    await dialog.getByText("As the record keeps it").click();
    const wanted = { columns: { sample: "Probe", state: "Befund" }, fixed: { organism: "listeria" }, codes: { state: { "neg.": "negative" } }, dates: "day-first", missing: ["n. a.", "-"] };
    assert.deepEqual(JSON.parse(await dialog.locator("pre").textContent()), wanted);
    await dialog.getByRole("button", { name: "Keep this mapping" }).click();
    await dialog.waitFor({ state: "detached" });
    const { kind, source, data } = made.told[0];
    assert.deepEqual([kind, source, made.told[0].for, data], ["mapping", "lab-2", "results", wanted]);
  });
});

test("each kind of file has its own fields, and what a mapping holds comes back in them", async () => {
  await withMade(async (made, context) => {
    made.person = 1;
    const page = await context.newPage();
    await page.goto(`${made.url}/papers/files`);
    await settle(page);
    await page.getByRole("button", { name: "Change", exact: true }).nth(1).click();
    const dialog = page.locator("dialog");
    assert.equal(await dialog.getByLabel("Seconds between readings").inputValue(), "2");
    assert.equal(await dialog.getByLabel("Clock of the file").inputValue(), "Europe/Vienna");
    await dialog.getByLabel("Decimals kept").selectOption("2");
    await dialog.getByLabel("Lowest that can be").fill("-5");
    await dialog.getByLabel("Largest step between two readings").fill("4");
    await dialog.getByLabel("Clock of the file").fill("Europe/Madrid");
    await dialog.getByRole("button", { name: "Keep this mapping" }).click();
    await dialog.waitFor({ state: "detached" });
    assert.deepEqual(made.told[0].data, {
      columns: { date: "Datum", clock: "Zeit", "channel-1": "T1" }, series: "treater-1", unit: "Cel", zone: "Europe/Madrid", interval_s: "2", scale: 2, range: { low: "-5" }, jump: "4",
    });
    await page.getByRole("button", { name: "Change", exact: true }).first().click();
    await dialog.getByText("The file is all there is between two days").click();
    await dialog.getByRole("group", { name: "Whole book" }).getByRole("combobox").nth(1).selectOption("column");
    await dialog.getByRole("textbox", { name: "a column says it" }).fill("Bis");
    await dialog.getByRole("button", { name: "Keep this mapping" }).click();
    await dialog.waitFor({ state: "detached" });
    assert.deepEqual(made.told[1].data.whole_book, { from: { of: "rows" }, to: { column: "Bis" } });
  });
});

test("the order book says by day what has left, is there or missing, and each line its versions", async () => {
  await withMade(async (made, context) => {
    made.person = 1;
    const page = await context.newPage();
    await page.goto(`${made.url}/plan/orders`);
    await settle(page);
    assert.deepEqual(await page.locator("section h2").allTextContents(), ["Wednesday 11 March", "Thursday 12 March", "Saturday 14 March", "Standing orders", "There now, by remaining life"]);
    await page.getByText("By customer group").first().click();
    assert.match(await page.getByRole("row", { name: /^kitchens/ }).first().textContent(), /kitchens80080000/);
    assert.match(await page.getByRole("row", { name: /4713/ }).textContent(), /120 there, too old for this customer/);
    assert.match(await page.locator("section").last().textContent(), /M250Sat 14 Mar3 dayshouse, US120120/);
    assert.match(await page.locator("section").nth(1).textContent(), /900 ordered, 0 have left, 260 are there · 640 missing/);
    assert.match(await page.getByRole("row", { name: /4713/ }).textContent(), /short/);
    await page.getByRole("button", { name: /TESTA-2\/4712/ }).click();
    const dialog = page.locator("dialog");
    await dialog.getByText("SH-311").waitFor();
    assert.deepEqual((await dialog.locator("tbody tr").allTextContents()).map((r) => r.slice(0, 1)), ["3", "2", "1"]);
  });
});

test("a profile is laid beside the one in force, and signed by its digest", async () => {
  await withMade(async (made, context) => {
    made.person = 1;
    const page = await context.newPage();
    await page.goto(`${made.url}/people`);
    await settle(page);
    assert.equal(await page.getByRole("link", { name: "Download the profile" }).getAttribute("href"), "/api/v1/profile.json");
    await page.getByRole("button", { name: "Propose a profile" }).click();
    const dialog = page.locator("dialog");
    const text = '{"name":"sprout-house","version":2,"limits":[{"limit":"germination","low":"95"}],"markets":[{"market":"house"},{"market":"EU"}]}';
    await dialog.getByLabel("Profile (JSON)").setInputFiles({ name: "p.json", mimeType: "application/json", buffer: Buffer.from(text) });
    await dialog.getByRole("button", { name: "Show what it changes" }).click();
    await dialog.getByText("5c".repeat(32)).waitFor();
    assert.deepEqual(await dialog.locator("tbody tr").allTextContents(), ["version–changed", "limitsgerminationchanged", "limitscold-roomgone", "marketsEUnew"]);
    assert.equal(made.told.length, 0);
    await dialog.getByLabel("Password of Hilum 1").fill("seedbed");
    await dialog.getByRole("button", { name: "Sign and take it in" }).click();
    await dialog.waitFor({ state: "detached" });
    assert.deepEqual([made.told[0].kind, made.told[0].text], ["profile", text]);
  });
});

test("somebody is unlocked, and a name erased only after it is said that one knows", async () => {
  await withMade(async (made, context) => {
    made.person = 1;
    const page = await context.newPage();
    await page.goto(`${made.url}/people`);
    await settle(page);
    const dialog = page.locator("dialog");
    await page.getByRole("button", { name: "Unlock" }).click();
    await dialog.getByLabel("Your own password").fill("wrong");
    await dialog.getByRole("button", { name: "Unlock" }).click();
    await dialog.getByText("This is not your password.").waitFor();
    await dialog.getByLabel("Your own password").fill("seedbed");
    await dialog.getByRole("button", { name: "Unlock" }).click();
    await dialog.waitFor({ state: "detached" });
    await page.locator("li").filter({ hasText: "Cotyledon 5" }).getByRole("button", { name: "Erase the name" }).click();
    await dialog.getByLabel("Your own password").fill("seedbed");
    assert.equal(await dialog.getByRole("button", { name: "Erase the name" }).isDisabled(), true);
    await dialog.getByLabel("I know that this can't be undone.").check();
    await dialog.getByRole("button", { name: "Erase the name" }).click();
    await dialog.waitFor({ state: "detached" });
    assert.deepEqual(made.told, [{ kind: "unlock", number: 7 }, { kind: "erase", number: 5 }]);
  });
});
