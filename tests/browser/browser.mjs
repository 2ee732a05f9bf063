/* Debian's Chromium, driven by playwright-core. */
import { mkdtempSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";

export const ui = createRequire(new URL("../../ui/package.json", import.meta.url));
const { chromium } = ui("playwright-core");

const FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"];

const HOW = { executablePath: process.env.PLUMULE_CHROMIUM ?? "/usr/bin/chromium", headless: true };

export const SIZES = { phone: { width: 390, height: 844 }, tablet: { width: 1024, height: 768 }, desk: { width: 1440, height: 900 } };

const DEVICE = { viewport: SIZES.desk, locale: "en-GB", timezoneId: "Europe/Vienna", reducedMotion: "reduce" };

/* A browser for several devices; each has a store of its own. */
export function launch(more = []) {
  return chromium.launch({ ...HOW, args: [...FLAGS, ...more] });
}

export function deviceOf(browser, options = {}) {
  return browser.newContext({ ...DEVICE, ...options });
}

/* A browser with a profile of its own, thrown away at the end. */
export async function openBrowser(options = {}) {
  const folder = mkdtempSync(join(tmpdir(), "plumule-browser-"));
  const context = await chromium.launchPersistentContext(folder, { ...HOW, args: FLAGS, ...DEVICE, ...options });
  return {
    context,
    async close() {
      await context.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
