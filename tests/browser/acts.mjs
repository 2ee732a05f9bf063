/* What people do on the pages, step by step: answer a form's questions, have it read back, press twice. */
import assert from "node:assert/strict";
import { launch } from "./browser.mjs";
import { deviceOf, go, PASSWORD, settle, signIn } from "./helpers.mjs";

const PATIENCE_MS = 12000;

/* One browser with as many devices as wanted, each with a store of its own. */
export class Devices {
  constructor() {
    this.pages = new Map();
    this.faults = [];
  }

  async open(more = []) {
    this.browser = await launch(more);
    return this;
  }

  async device(options = {}) {
    const context = await deviceOf(this.browser, options);
    const page = await context.newPage();
    page.setDefaultTimeout(PATIENCE_MS);
    page.on("pageerror", (error) => this.faults.push(error.message));
    return page;
  }

  /* The page of a person, who signs in once; options of their device. */
  async of(url, person, options = {}) {
    if (!this.pages.has(person)) {
      const page = await this.device(options);
      await signIn(page, url, person);
      this.pages.set(person, page);
    }
    return this.pages.get(person);
  }

  async close() {
    await this.browser?.close();
  }
}

/* A time as the field of a page wants it, so many minutes ago, by the house's clock. */
export function minutesAgo(n) {
  const text = new Date(Date.now() - n * 60000).toLocaleString("sv-SE", { timeZone: "Europe/Vienna" });
  return text.replace(" ", "T");
}

async function answerLegs(page, question, legs) {
  for (const [i, leg] of legs.entries()) {
    if (await question.locator(".leg").count() <= i) await question.getByRole("button", { name: "One more" }).click();
    const row = question.locator(".leg").nth(i);
    if (leg.role) await row.locator("select").selectOption(leg.role);
    if (leg.lot) await row.getByLabel("Lot", { exact: true }).fill(leg.lot);
    if (leg.mass) await row.getByLabel(/^Mass/).fill(leg.mass);
  }
}

/* One question: a press on a large choice, a choice from a list, or what is typed. */
async function answer(page, name, value) {
  const question = page.locator(".question").filter({ has: page.locator(`#l-${name}`) });
  await question.waitFor();
  if (Array.isArray(value)) {
    await answerLegs(page, question, value);
    return;
  }
  if (value.file) {
    await question.locator("input").setInputFiles(value.file);
    return;
  }
  if (typeof value === "object") {
    for (const [label, text] of Object.entries(value)) await question.getByLabel(label, { exact: true }).fill(text);
    return;
  }
  await question.locator(".choices-big, select, input, .suggest button").first().waitFor();
  if (await question.locator(".choices-big").count() > 0) {
    const choice = question.locator(".choices-big button").filter({ has: page.locator("b", { hasText: new RegExp(`^${value.replace(/[.*+?^${}()|[\]\\]/g, "\\$&")}$`) }) });
    if (await choice.getAttribute("aria-pressed") !== "true") await choice.click();
  } else if (name === "papers" || name === "report") {
    await question.locator(".suggest button").filter({ hasText: value }).first().click();
  } else if (await question.locator("select").count() > 0) {
    await question.locator("select").selectOption(value);
  } else {
    await question.locator("input").fill(value);
  }
}

/* Fills a form at a desk and has it read back: the sentence. */
export async function readBack(page, form, answers, more = {}) {
  await go(page, "/record");
  await go(page, `/record/${form}`);
  await page.locator(".question").first().waitFor();
  for (const [name, value] of Object.entries(answers)) await answer(page, name, value);
  if (Object.keys(more).length > 0) {
    await page.getByRole("button", { name: /more things? may be said/ }).click();
    for (const [name, value] of Object.entries(more)) await answer(page, name, value);
  }
  const dry = page.waitForResponse(/\/entries\/dry/).catch(() => null); /* what the record says to it beforehand */
  await page.getByRole("button", { name: "Read it back" }).click();
  await page.locator(".confirm-sentence, .field-wrong, .note-stopped").first().waitFor();
  if (await page.locator(".confirm-sentence").count() > 0) await dry;
  await settle(page);
  const wrong = await page.locator(".field-wrong, .note-stopped").allTextContents();
  assert.deepEqual(wrong, [], `${form} is read back`);
  return page.locator(".confirm-sentence").textContent();
}

/* Which entry the page says was made. */
async function entryOf(page, form) {
  await page.locator(".done, .field-wrong, .note-stopped").first().waitFor({ timeout: 20000 });
  assert.deepEqual(await page.locator(".field-wrong, .note-stopped").allTextContents(), [], `${form} is taken`);
  assert.equal(await page.locator(".done h2").textContent(), "Recorded");
  const link = page.getByRole("link", { name: /^line \d+/ });
  return Number((await link.getAttribute("href")).split("/").pop());
}

async function size(page) {
  return page.evaluate(async () => (await (await fetch("/api/v1/me")).json()).size);
}

/* Records a step. twice: it moves mass, so that nothing is booked after the first press. */
export async function record(page, form, answers, { more, twice = false, sign = false, sentence } = {}) {
  const read = await readBack(page, form, answers, more);
  if (sentence) assert.match(read, sentence);
  if (twice) {
    const before = await size(page);
    assert.equal(await page.getByRole("button", { name: "Record it" }).count(), 0, `${form} waits for a first press`);
    const first = page.getByRole("button", { name: "That is right" });
    const from = await first.boundingBox();
    await first.click();
    const second = page.getByRole("button", { name: "Record it" });
    const to = await second.boundingBox();
    assert.ok(to.y + to.height <= from.y || to.y >= from.y + from.height, `${form}: the second press is somewhere else`);
    assert.equal(await size(page), before, `${form}: nothing is booked by the first press`);
    await second.click();
  } else {
    await page.getByRole("button", { name: "Record it" }).click();
  }
  if (sign) {
    const dialog = page.locator("dialog");
    await dialog.getByLabel(/^Password of/).fill(PASSWORD);
    await dialog.getByRole("button", { name: "Sign" }).click();
  }
  const entry = await entryOf(page, form);
  const lot = await page.locator(".done-lot a").count() > 0 ? await page.locator(".done-lot a").textContent() : null;
  return { entry, lot, sentence: read };
}
