/* The lines of a day: what is late is said, the picture is walked by keys, all of it fits on one sheet. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { settle, withMade } from "./helpers.mjs";
import { SIZES } from "./browser.mjs";

async function lines(made, context, size = SIZES.desk) {
  made.person = 1;
  const page = await context.newPage();
  await page.setViewportSize(size);
  await page.goto(`${made.url}/plan/day`);
  await settle(page);
  await page.locator(".day-svg .day-bar").first().waitFor();
  return page;
}

test("a late truck is told in words, in the picture and in the list", async () => {
  await withMade(async (made, context) => {
    const page = await lines(made, context);
    assert.match(await page.locator("h1").textContent(), /Lines, Wednesday 11 March 2026/);
    const late = page.locator(".day-truck-late");
    assert.match(await late.textContent(), /retail 10:30 · 25 min late/);
    assert.equal(await late.locator(".day-cross").count(), 1);
    assert.equal(await page.locator(".day-truck-tight .day-cross").count(), 0);
    const row = page.locator("li", { hasText: "Truck retail" });
    assert.match(await row.textContent(), /Late.*Pack binds.*−25/s);
    assert.equal(await page.locator(".day-truck").count(), 3); /* one has nothing to wait for */
    assert.match(await page.locator(".note-waiting").textContent(), /another order/);
    assert.equal(await page.locator(".day-bar.day-clean").count(), 3);
    assert.equal(await page.getByRole("link", { name: "Lines" }).getAttribute("aria-current"), "page");
    assert.equal(await page.locator(".margin").getByRole("link", { name: "Plan" }).getAttribute("aria-current"), null);
  });
});

test("keys go along a line and between lines, and what a bar says can be asked", async () => {
  await withMade(async (made, context) => {
    const page = await lines(made, context);
    const focused = () => page.evaluate(() => document.activeElement.getAttribute("aria-label"));
    await page.locator('.day-bar[tabindex="0"]').focus();
    assert.match(await focused(), /C-03 MUNG, Harvest: 06:00 to 06:20/);
    for (const [key, says] of [["ArrowDown", /C-03 MUNG, Wash W-1/], ["ArrowRight", /C-14 MUNG, Wash W-1/], ["ArrowRight", /C-20 URD, Wash W-1/], ["ArrowRight", /Clean, Wash W-1/], ["ArrowUp", /C-09 SOY, Harvest/]]) {
      await page.keyboard.press(key);
      await page.waitForTimeout(100);
      assert.match(await focused(), says);
    }
    await page.keyboard.press("Enter");
    await page.locator("dialog").waitFor();
    assert.match(await page.locator("dialog").textContent(), /C-09 SOY, Harvest.*07:00.07:20/s);
  });
});

test("a day prints on one sheet, and a narrow screen begins at now", async () => {
  await withMade(async (made, context) => {
    const page = await lines(made, context);
    await page.emulateMedia({ media: "print" });
    const pdf = await page.pdf({ format: "A4", preferCSSPageSize: true });
    assert.equal(pdf.toString("latin1").match(/\/Type\s*\/Page[^s]/g).length, 1);
    const phone = await lines(made, context, SIZES.phone);
    assert.ok(await phone.locator(".plan-scroll").evaluate((e) => e.scrollLeft) > 100);
    const now = await phone.locator(".day-now text").boundingBox();
    assert.ok(now.x > 0 && now.x < 390);
  });
});

test("a day without chambers says so, and the sheet is among the papers", async () => {
  await withMade(async (made, context) => {
    const page = await lines(made, context);
    await page.getByRole("button", { name: /Thu 12/ }).first().click();
    await page.locator(".empty").waitFor();
    assert.match(await page.locator(".empty").textContent(), /Nothing is to be harvested or packed/);
    assert.match(await page.getByRole("link", { name: "Day's sequence" }).getAttribute("href"), /sheets\/day\.pdf\?day=2026-03-12$/);
    await page.goto(`${made.url}/papers`);
    await settle(page);
    assert.equal(await page.getByRole("link", { name: "Day's sequence" }).first().getAttribute("href"), "/api/v1/sheets/day.pdf?day=2026-03-11");
  });
});

test("what leads from the plan to the lines says what they are called there, in both languages", async () => {
  await withMade(async (made, context) => {
    for (const [language, says] of [["en", "Lines"], ["es", "Líneas"]]) {
      made.language = language;
      made.person = 1;
      const page = await context.newPage();
      await page.goto(`${made.url}/plan`);
      await settle(page);
      const way = page.locator('.plan-ways a[href="/plan/day"]');
      assert.equal(await way.textContent(), says);
      assert.equal(await page.locator('.margin a[href="/plan/day"]').textContent(), says);
      await way.click();
      await settle(page);
      assert.ok((await page.locator("h1").textContent()).startsWith(`${says}, `));
      await page.close();
    }
  });
});
