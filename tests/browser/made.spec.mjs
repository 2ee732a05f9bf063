/* Without the network: the pages open, what is pressed is kept and sent in order, a PIN opens the device. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { go, settle, withMade } from "./helpers.mjs";
import { SIZES } from "./browser.mjs";
import { board } from "./made/safety.mjs";

async function water(page, litres) {
  await go(page, "/record");
  await page.getByRole("heading", { name: "Record", exact: true }).waitFor();
  await go(page, "/record/water?chamber=C-19");
  await page.getByRole("heading", { name: "Water a chamber" }).waitFor();
  await page.getByLabel("Water", { exact: true }).fill(String(litres));
  await page.getByRole("button", { name: "Read it back" }).click();
  await page.getByRole("button", { name: "Record it" }).click();
  await page.locator(".done").waitFor();
}

/* The worker has to have the shell before the server may go. */
async function ready(page) {
  await page.evaluate(() => navigator.serviceWorker.ready);
  await page.waitForFunction(async () => (await caches.keys()).length > 0 && navigator.serviceWorker.controller !== null);
}

async function restart(made, port) {
  await made.start(port);
}

test("the queue is kept over a reload without the server, and goes out in order when it is back", async () => {
  await withMade(async (made, context) => {
    made.person = 5;
    const page = await context.newPage();
    await page.goto(made.url);
    await settle(page);
    await page.goto(`${made.url}/record/water`);
    await settle(page);
    await ready(page);
    const { port } = made;
    await made.stop();
    await water(page, 1000);
    assert.match(await page.locator(".done h2").textContent(), /not sent yet/);
    await water(page, 1100);
    await page.reload();
    await page.locator(".banner").waitFor();
    assert.match(await page.locator(".banner").textContent(), /2 recordings are not sent yet/);
    await page.goto(made.url);
    await settle(page);
    assert.match(await page.locator("main").textContent(), /As it was .* ago/);
    assert.equal(made.told.length, 0);
    await restart(made, port);
    await page.locator(".banner").waitFor({ state: "detached", timeout: 30000 });
    assert.deepEqual(made.told.map((c) => c.litres), ["1000 L", "1100 L"]);
    assert.equal(new Set(made.told.map((c) => c.uuid)).size, 2);
    assert.deepEqual(made.late, []);
    assert.ok(made.told.every((c) => c.device && c.device_time && c.at && c.person === 5));
  });
});

test("one that the server refuses needs a person, and the rest go on", async () => {
  await withMade(async (made, context) => {
    made.person = 5;
    const page = await context.newPage();
    await page.goto(`${made.url}/record/water`);
    await settle(page);
    await ready(page);
    const { port } = made;
    await made.stop();
    for (const litres of [1000, 1100, 1200]) await water(page, litres);
    made.refuse = (c) => c.litres === "1100 L" ? { code: "lot-unknown", detail: "Nothing grows in C-19.", field: "chamber" } : null;
    await restart(made, port);
    await page.getByText("1 recording needs you.").waitFor({ timeout: 30000 });
    await page.getByRole("button", { name: "Look" }).click();
    await page.locator("dialog").getByText("The house knows of it too: line 3172").waitFor();
    assert.deepEqual(made.told.map((c) => c.litres ?? c.kind), ["1000 L", "1200 L", "set-aside"]);
    const aside = made.told[2];
    const refused = JSON.parse(aside.told);
    assert.deepEqual([refused.litres, aside.number, aside.code, aside.field, aside.values], ["1100 L", 2, "lot-unknown", "chamber", []]);
    assert.match(await page.locator("dialog").textContent(), /Nothing grows in C-19/);
    made.refuse = null;
    await page.getByRole("button", { name: "Try again" }).click();
    await page.getByText("Everything is sent.").waitFor();
    assert.deepEqual(made.told.map((c) => c.litres ?? c.kind), ["1000 L", "1200 L", "set-aside", "1100 L", "settle"]);
    assert.deepEqual([made.told[3].uuid, made.told[4].aside], [refused.uuid, 3172]);
  });
});

test("a refusal at once stands beside its field and keeps what was typed", async () => {
  await withMade(async (made, context) => {
    made.person = 5;
    made.refuse = (c) => c.litres === "9000 L" ? { code: "field-range", detail: "litres is 9000 L; it must be at most 5000 L.", field: "litres" } : null;
    const page = await context.newPage();
    await page.goto(`${made.url}/record/water?chamber=C-19`);
    await settle(page);
    await page.getByLabel("Water", { exact: true }).fill("9000");
    await page.getByRole("button", { name: "Read it back" }).click();
    await page.getByText("it must be at most 5000 L").waitFor();
    assert.equal(await page.getByLabel("Water", { exact: true }).inputValue(), "9000");
    assert.equal(await page.getByLabel("Chamber", { exact: true }).inputValue(), "C-19");
    assert.equal(made.told.length, 0);
  });
});

test("what moves mass is pressed twice, at two places, one question a screen on a phone", async () => {
  await withMade(async (made, context) => {
    made.person = 5;
    const page = await context.newPage();
    await page.setViewportSize(SIZES.phone);
    await page.goto(`${made.url}/record/harvest?chamber=C-14`);
    await settle(page);
    assert.equal(await page.locator(".question").count(), 1);
    const next = () => page.getByRole("button", { name: "Next" }).click();
    await next();
    await next();
    for (const key of ["9", "4", "2"]) await page.locator(".pad").getByRole("button", { name: key, exact: true }).click();
    assert.equal(await page.getByLabel("Mass", { exact: true }).getAttribute("inputmode"), "none");
    await next();
    await page.getByRole("button", { name: "SC-1" }).click();
    await next();
    await page.getByRole("button", { name: "W-1" }).click();
    await page.getByRole("button", { name: "Read it back" }).click();
    assert.match(await page.locator(".confirm-sentence").textContent(), /C-14.*942 kg/);
    const first = page.getByRole("button", { name: "That is right" });
    const at = await first.boundingBox();
    await first.click();
    assert.equal(made.told.length, 0);
    const second = page.getByRole("button", { name: "Record it" });
    const there = await second.boundingBox();
    assert.ok(there.y + there.height < at.y, "the second press is somewhere else");
    await second.click();
    await page.locator(".done").waitFor();
    assert.equal(made.told[0].mass, "942 kg");
    assert.equal(made.told[0].kind, "harvest");
  });
});

/* Keys as a scanner sends them: all at once. The page's own clock stamps them. */
async function scan(page, code) {
  const client = await page.context().newCDPSession(page);
  const timestamp = Date.now() / 1000;
  for (const [i, key] of [...code, "Enter"].entries()) {
    const more = key === "Enter" ? { key, code: "Enter", windowsVirtualKeyCode: 13, text: "\r" } : { key, text: key };
    await client.send("Input.dispatchKeyEvent", { type: "keyDown", timestamp: timestamp + i * 0.004, ...more });
  }
  await client.detach();
}

test("a scan goes to the question that asks for it, and what was typed stays", async () => {
  await withMade(async (made, context) => {
    made.person = 5;
    const page = await context.newPage();
    await page.goto(`${made.url}/record/harvest`);
    await settle(page);
    const mass = page.getByLabel("Mass", { exact: true });
    await mass.click();
    await page.keyboard.type("12", { delay: 90 });
    await scan(page, "C-14");
    await page.getByText("C-14 put under Chamber.").waitFor();
    assert.equal(await mass.inputValue(), "12");
    assert.equal(await page.getByLabel("Chamber", { exact: true }).inputValue(), "C-14");
    await page.keyboard.type("34", { delay: 90 });
    assert.equal(await mass.inputValue(), "1234");
  });
});

test("on a station a person steps up by PIN, is shown in large letters, and again without the server", async () => {
  await withMade(async (made, context) => {
    made.station = "WEIGH-1";
    const page = await context.newPage();
    await page.goto(made.url);
    const enter = async (keys) => {
      for (const key of keys) await page.locator(".pad").getByRole("button", { name: key, exact: true }).click();
    };
    await page.locator(".pad").waitFor();
    const stop = page.locator(".idle-stop-what").first();
    assert.equal(await stop.textContent(), "The water of W-2 is stopped. Use none of it.");
    assert.ok(await stop.evaluate((e) => parseFloat(getComputedStyle(e).fontSize)) >= 26);
    assert.equal(await page.locator(".idle-stops").getByText(/Hilum|Cotyledon/).count(), 0);
    await enter("5");
    await page.getByRole("button", { name: "Next" }).click();
    await enter("1111");
    await page.getByRole("button", { name: "Step up" }).click();
    await page.getByText("This PIN is wrong").waitFor();
    await enter("2468");
    await page.getByRole("button", { name: "Step up" }).click();
    await page.locator(".who-station").waitFor();
    const size = await page.locator(".who-name").evaluate((e) => parseFloat(getComputedStyle(e).fontSize));
    assert.ok(size >= 26, `${size} px`);
    await settle(page);
    await page.goto(`${made.url}/record/water`);
    await settle(page);
    await ready(page);
    await page.getByRole("button", { name: "Leave" }).click();
    await page.locator(".pad").waitFor();
    const { port } = made;
    await made.stop();
    await page.reload();
    await page.getByRole("button", { name: "Cotyledon 5" }).click();
    await enter("2468");
    await page.getByRole("button", { name: "Step up" }).click();
    await page.getByText("checked on this device only").waitFor({ timeout: 20000 });
    await water(page, 900);
    assert.match(await page.locator(".done h2").textContent(), /not sent yet/);
    made.person = null;
    await restart(made, port);
    await page.waitForFunction(() => !document.querySelector(".banner")?.textContent.includes("not sent yet"), null, { timeout: 30000 });
    assert.deepEqual(made.late, made.told.map((c) => c.uuid));
    assert.equal(made.told[0].person, 5);
  });
});

test("a correction is first shown with its three lists, then signed with one's own password", async () => {
  await withMade(async (made, context) => {
    made.person = 1;
    const page = await context.newPage();
    await page.goto(`${made.url}/daybook/3150`);
    await settle(page);
    await page.getByRole("button", { name: "Correct" }).click();
    const dialog = page.locator("dialog");
    await dialog.getByLabel("mass").fill("815.20 kg");
    await dialog.getByLabel("Reason").fill("read the wrong line");
    await dialog.getByRole("button", { name: "Show what it would do" }).click();
    await dialog.getByText("it will be held").waitFor();
    await dialog.getByText("1 release stays as it is").waitFor();
    assert.equal(made.told.length, 0);
    await dialog.getByLabel("Password of Hilum 1").fill("wrong");
    await dialog.getByRole("button", { name: "Sign the correction" }).click();
    await dialog.getByText("This is not your password.").waitFor();
    await dialog.getByLabel("Password of Hilum 1").fill("seedbed");
    await dialog.getByRole("button", { name: "Sign the correction" }).click();
    await dialog.waitFor({ state: "detached" });
    assert.equal(made.told[0].kind, "strike");
    assert.equal(made.told[0].replace.mass, "815.20 kg");
    assert.equal(made.told[0].reason, "read the wrong line");
  });
});

test("the ribbon is stepped by arrow keys, and a band says which day is shown", async () => {
  await withMade(async (made, context) => {
    made.person = 1;
    const page = await context.newPage();
    await page.goto(made.url);
    await settle(page);
    await page.locator('.day-name[aria-pressed="true"]').focus();
    await page.keyboard.press("ArrowLeft");
    await page.getByText("Tuesday 10 March 2026").first().waitFor();
    assert.match(await page.locator(".day-band").textContent(), /What you record counts for now/);
    await page.keyboard.press("Home");
    await page.locator(".day-band").waitFor({ state: "detached" });
  });
});

test("on the safety board what is broken stands before what is in order", async () => {
  await withMade(async (made, context) => {
    made.person = 1;
    const page = await context.newPage();
    await page.goto(`${made.url}/safety`);
    await settle(page);
    assert.equal(await page.locator("main section[id]").first().getAttribute("id"), "blocks");
    const { blocks } = board;
    board.blocks = [];
    try {
      await page.reload();
      await settle(page);
      const order = await page.locator("main section[id]").evaluateAll((all) => all.map((s) => s.id));
      assert.deepEqual([order[0], order.indexOf("blocks") > order.indexOf("deviations")], ["deviations", true]);
    } finally {
      board.blocks = blocks;
    }
  });
});

test("a number can be asked how it is known", async () => {
  await withMade(async (made, context) => {
    made.person = 1;
    const page = await context.newPage();
    await page.goto(`${made.url}/chambers/C-14`);
    await settle(page);
    await page.getByRole("button", { name: /Expected harvest/ }).click();
    const dialog = page.locator("dialog");
    await dialog.getByText("F = S * Y").waitFor();
    await dialog.getByText("mass_chain_expansion").waitFor();
    await dialog.getByText("common practice").first().waitFor();
    await page.keyboard.press("Escape");
    await dialog.waitFor({ state: "detached" });
    assert.match(await page.evaluate(() => document.activeElement.textContent), /kg/);
  });
});

test("the figures of a sentence on Today are asked beside it, and lead to what they rest on", async () => {
  await withMade(async (made, context) => {
    made.person = 1;
    const page = await context.newPage();
    await page.goto(made.url);
    await settle(page);
    const lines = page.locator(".line");
    await lines.filter({ hasText: "Chamber C-14 is ready" }).getByRole("button", { name: /^Ask its figures/ }).click();
    const dialog = page.locator("dialog");
    await dialog.getByText("F = S * Y").waitFor();
    assert.deepEqual(await dialog.locator("ul.facts").first().locator("li").allTextContents(), ["940 kg"]);
    await dialog.getByRole("link", { name: "Line 3150" }).waitFor();
    await page.keyboard.press("Escape");
    await dialog.waitFor({ state: "detached" });
    /* What rests on more than one thing leads to the page where they stand. */
    await lines.filter({ hasText: "wait for a review" }).getByRole("button", { name: /^Ask its figures/ }).click();
    assert.equal(await dialog.getByRole("link", { name: "What it rests on stands here" }).getAttribute("href"), "/safety#review");
  });
});

test("contact that is not known is not shown as none", async () => {
  await withMade(async (made, context) => {
    made.person = 1;
    const page = await context.newPage();
    await page.goto(`${made.url}/safety/water`);
    await settle(page);
    const loop = (place) => page.locator(".loop").filter({ has: page.getByRole("heading", { name: place }) });
    await loop("W-4").getByText("not known", { exact: true }).waitFor();
    assert.equal(await loop("W-2").locator(".ct-bar").count(), 2);
    assert.equal(await loop("W-4").locator(".ct-bar").count(), 0);
  });
});

test("the picture of a trace fits the width; buttons and keys bring it closer", async () => {
  await withMade(async (made, context) => {
    made.person = 1;
    const page = await context.newPage();
    await page.setViewportSize({ width: 700, height: 800 });
    await page.goto(`${made.url}/trace?code=M250-20781-03&direction=back`);
    await page.locator(".trace-svg").waitFor();
    const size = () => page.evaluate(() => {
      const box = document.querySelector(".trace-scroll");
      return { over: box.scrollWidth - box.clientWidth, width: document.querySelector(".trace-svg").getBoundingClientRect().width };
    });
    await page.waitForFunction(() => document.querySelector(".trace-scroll").scrollWidth <= document.querySelector(".trace-scroll").clientWidth);
    const fit = await size();
    assert.ok(fit.over <= 0);
    await page.getByRole("button", { name: "Closer: +" }).click();
    const closer = await size();
    assert.ok(closer.width > fit.width * 1.2 && closer.over > 0);
    await page.locator(".trace-scroll").focus();
    await page.keyboard.press("+");
    assert.ok((await size()).width > closer.width * 1.2);
    await page.keyboard.press("-");
    assert.ok(Math.abs((await size()).width - closer.width) < 2);
    await page.keyboard.press("0");
    assert.equal((await size()).width, fit.width);
    await page.emulateMedia({ media: "print" });
    assert.ok((await size()).width <= 700);
    await page.close();
  });
});

test("before pieces are counted the form says which inspection applies and how many", async () => {
  await withMade(async (made, context) => {
    made.person = 1;
    const page = await context.newPage();
    await page.goto(`${made.url}/record/seal-check?lot=M250-20781-03`);
    await page.locator(".inspection").waitFor();
    const said = await page.locator(".inspection").textContent();
    assert.match(said, /tightened inspection: M250 of P-1/);
    assert.match(said, /Look at 20 of 1200\. Up to 0 bad: accepted\. 1 or more: not accepted\./);
    await page.goto(`${made.url}/record/harvest`);
    await page.locator(".record-fields").waitFor();
    await settle(page);
    assert.equal(await page.locator(".inspection").count(), 0);
  });
});
