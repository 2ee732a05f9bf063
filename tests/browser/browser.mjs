/* Debian's Chromium, driven by playwright-core. */
import { mkdtempSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";

export const ui = createRequire(new URL("../../ui/package.json", import.meta.url));
const { chromium } = ui("playwright-core");

const FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"];

export const SIZES = { phone: { width: 390, height: 844 }, tablet: { width: 1024, height: 768 }, desk: { width: 1440, height: 900 } };

/* A browser with a profile of its own, thrown away at the end. */
export async function openBrowser(options = {}) {
  const folder = mkdtempSync(join(tmpdir(), "plumule-browser-"));
  const context = await chromium.launchPersistentContext(folder, {
    executablePath: process.env.PLUMULE_CHROMIUM ?? "/usr/bin/chromium", headless: true, args: FLAGS, viewport: SIZES.desk, locale: "en-GB", timezoneId: "Europe/Vienna", reducedMotion: "reduce", ...options,
  });
  return {
    context,
    async close() {
      await context.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
