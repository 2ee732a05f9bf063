/* Every page of the made-up plant: no overflow at 320 px, targets, languages, print. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { PAGES } from "./made/pages.mjs";
import { settle, withMade } from "./helpers.mjs";
import { as, open } from "./open.mjs";

test("no page is wider than a screen of 320 px, which is also 640 px at 200 %", async () => {
  await withMade(async (made, context) => {
    const found = [];
    for (const at of PAGES) {
      const { page } = await open(made, context, at, { size: { width: 320, height: 640 } });
      const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
      if (wide > 0) found.push(`${at.name} is ${wide} px too wide`);
      await page.close();
    }
    assert.deepEqual(found, []);
  });
});

test("what is pressed is at least 48 px high, 64 px where one records, and no text is tiny", async () => {
  await withMade(async (made, context) => {
    for (const at of PAGES) {
      const { page } = await open(made, context, at, { size: { width: 390, height: 844 } });
      const least = at.name.startsWith("record") ? 64 : 48;
      const small = await page.evaluate((px) => [...document.querySelectorAll("main button, main select, main input:not([type=checkbox]), main .act, main .button, .bottom a, .pad-key")]
        .filter((e) => !e.matches(".plain, .story-sentence .num") && e.getBoundingClientRect().height > 0)
        .filter((e) => e.getBoundingClientRect().height < (e.matches(".bottom a") ? 48 : px) - 0.5)
        .map((e) => `${e.className} ${e.textContent?.slice(0, 20)} ${e.getBoundingClientRect().height}`), least);
      assert.deepEqual(small, [], at.name);
      const tiny = await page.evaluate(() => [...document.querySelectorAll("body *")]
        .filter((e) => [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim() !== ""))
        .filter((e) => e.getBoundingClientRect().height > 0 && parseFloat(getComputedStyle(e).fontSize) < 13)
        .map((e) => e.textContent.slice(0, 20)));
      assert.deepEqual(tiny, [], at.name);
      await page.close();
    }
  });
});

/* Texts of the pages stretch; what is left as it was came from the server, or is no text at all. */
test("every text of the pages comes from the catalogue", async () => {
  await withMade(async (made, context) => {
    const found = {};
    for (const at of PAGES) {
      const said = [];
      const page = await context.newPage();
      as(made, at);
      page.on("response", async (r) => {
        if (r.url().includes("/api/")) said.push(await r.text().catch(() => ""));
      });
      await page.goto(`${made.url}${at.path}${at.path.includes("?") ? "&" : "?"}words=xx`);
      await settle(page);
      const texts = await page.evaluate(() => {
        const walker = document.createTreeWalker(document.getElementById("app"), NodeFilter.SHOW_TEXT);
        const out = [];
        while (walker.nextNode()) out.push(walker.currentNode.textContent.trim());
        return out;
      });
      const heard = said.join("\n");
      const dates = /^[\d\s.,:–−+·×%°/-]*((Mon|Tue|Wed|Thu|Fri|Sat|Sun)\w*|[MTWFS])?[\d\s]*((Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)\w*)?[\d\s.,:–−+·×%°/-]*(kg|g|t|mg|mL|L|s|C)?$/;
      const strange = texts.filter((s) => /[A-Za-z]{2}/.test(s) && !s.includes("⟦") && !s.includes("⟧"))
        .filter((s) => !heard.includes(JSON.stringify(s).slice(1, -1)) && !dates.test(s) && !["English", "Español", "plumule"].includes(s))
        .filter((s) => !s.split(/[\s,·;–=&?#:()→…\u202f]+/).every((w) => heard.includes(w) || dates.test(w)));
      if (strange.length > 0) found[at.name] = strange;
      await page.close();
    }
    assert.deepEqual(found, {});
  });
});

test("the pages speak Spanish to who reads Spanish", async () => {
  await withMade(async (made, context) => {
    as(made, {});
    const page = await context.newPage();
    await page.goto(`${made.url}/me`);
    await settle(page);
    await page.getByRole("button", { name: "Español" }).click();
    await page.getByRole("heading", { name: "Idioma" }).waitFor();
    assert.equal(await page.locator(".margin a").first().textContent(), "Hoy");
    assert.equal(made.language, "es");
    assert.equal(await page.evaluate(() => document.documentElement.lang), "es");
  });
});

test("pages print without what is only pressed", async () => {
  await withMade(async (made, context) => {
    for (const path of ["/recall/M250-20781-03", "/lots/M250-20781-03", "/plan", "/plan/day"]) {
      const { page } = await open(made, context, { path });
      await page.emulateMedia({ media: "print" });
      for (const gone of [".top", ".margin", ".actions"]) {
        assert.equal(await page.locator(gone).locator("visible=true").count(), 0, `${path} ${gone}`);
      }
      assert.ok((await page.locator("h1").boundingBox()).height > 0);
      await page.close();
    }
  });
});
