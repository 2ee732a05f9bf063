/* Takes pictures of the pages of the made-up plant: look.mjs PAGES WORDS OUT [NAME...] */
import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { openBrowser, SIZES } from "./browser.mjs";
import { Made } from "./made/server.mjs";
import { PAGES } from "./made/pages.mjs";

const [, , pages, words, out, ...names] = process.argv;
mkdirSync(out, { recursive: true });
const made = await new Made(pages, words).start();
const { context, close } = await openBrowser();
for (const page of context.pages()) await page.close();
const only = (process.env.LOOK_SIZES ?? "phone,tablet,desk").split(",");
const schemes = (process.env.LOOK_SCHEMES ?? "light,dark").split(",");
for (const at of PAGES) {
  if (names.length > 0 && !names.includes(at.name)) continue;
  for (const size of only) {
    for (const scheme of schemes) {
      made.person = at.person === undefined ? 1 : at.person;
      made.station = at.station ?? null;
      made.chambers = at.chambers ?? 24;
      made.fruit = at.fruit ?? null;
      const page = await context.newPage();
      await page.setViewportSize(SIZES[size]);
      await page.emulateMedia({ colorScheme: scheme });
      page.on("pageerror", (error) => console.log(`${at.name}: ${error.message}`));
      page.on("console", (m) => m.type() === "error" && console.log(`${at.name}: ${m.text()}`));
      await page.goto(made.url + at.path);
      await page.waitForLoadState("domcontentloaded");
      await page.waitForFunction(() => document.querySelector("h1") && !document.querySelector(".loading"));
      await page.waitForTimeout(900);
      if (at.act) await at.act(page);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
      if (wide > 0) console.log(`${at.name} ${size}: ${wide} px too wide`);
      await page.screenshot({ path: join(out, `${at.name}-${size}-${scheme}.png`), fullPage: at.whole ?? false });
      await page.close();
    }
  }
}
await close();
await made.stop();
