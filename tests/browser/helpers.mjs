/* What the specs share: the pages as built, a made-up server or the program itself, a browser. */
import { spawn } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after } from "node:test";
import * as bare from "./browser.mjs";
import { launch, ui } from "./browser.mjs";
import { Made } from "./made/server.mjs";

export const ROOT = new URL("../..", import.meta.url).pathname;
export const PAGES = process.env.PLUMULE_PAGES ?? join(ROOT, "build", "ui");
export const PROGRAM = process.env.PLUMULE_PROGRAM ?? join(ROOT, "build", "plumule");
export const PASSWORD = "radicle-and-plumule"; /* of the invented people, see demo/demo.h */
const QUIET_MS = 100;
const AXE = readFileSync(ui.resolve("axe-core/axe.min.js"), "utf8");

/* Runs in each page ahead of its scripts: how many questions of its are not answered yet, and when it changed last. */
function watch() {
  const ask = window.fetch;
  window.settling = { asked: 0, changed_ms: 0 };
  const touch = () => (window.settling.changed_ms = performance.now());
  window.fetch = (...of) => {
    window.settling.asked++;
    const answered = ask(...of);
    answered.then((answer) => answer.clone().arrayBuffer()).catch(() => undefined).finally(() => {
      window.settling.asked--;
      touch();
    });
    return answered;
  };
  new MutationObserver(touch).observe(document, { subtree: true, childList: true, attributes: true, characterData: true });
  addEventListener("popstate", touch);
}

/* A device of its own in a browser. */
export async function deviceOf(of, options = {}) {
  const context = await bare.deviceOf(of, options);
  await context.addInitScript(watch);
  return context;
}

/* A browser of its own. */
export async function openBrowser(options = {}) {
  const opened = await bare.openBrowser(options);
  await opened.context.addInitScript(watch);
  return opened;
}

let browser = null; /* one for all tests of a file, each on a device of its own */

after(() => browser?.close());

export async function withMade(act, options = {}) {
  const made = await new Made(PAGES, join(ROOT, "words")).start();
  browser ??= await launch();
  const context = await deviceOf(browser, options);
  try {
    await act(made, context);
  } finally {
    await context.close();
    await made.stop();
  }
}

export function run(args, input = "") {
  return new Promise((done, fail) => {
    const child = spawn(PROGRAM, args, { stdio: ["pipe", "pipe", "pipe"], cwd: ROOT });
    child.stdin.end(input);
    let out = "";
    child.stdout.on("data", (d) => (out += d));
    child.stderr.on("data", (d) => (out += d));
    child.on("error", fail);
    child.on("exit", (code) => (code === 0 ? done(out) : fail(new Error(`${args.join(" ")}: ${out}`))));
  });
}

/* The invented plant in a folder of its own, served by the program. */
export class Plant {
  async make(weeks = 3, chambers = 24) {
    this.folder = mkdtempSync(join(tmpdir(), "plumule-plant-"));
    await run(["demo", "--folder", join(this.folder, "p"), "--weeks", String(weeks), "--chambers", String(chambers)]);
    return this;
  }

  async start(port = 0) {
    this.child = spawn(PROGRAM, ["--plant", join(this.folder, "p"), "--json", "serve", "--port", String(port)], { stdio: ["ignore", "pipe", "inherit"] });
    const line = await new Promise((done, fail) => {
      let out = "";
      this.child.stdout.on("data", (d) => {
        out += d;
        if (out.includes("\n")) done(out);
      });
      this.child.on("exit", () => fail(new Error(`serve ended: ${out}`)));
    });
    this.port = JSON.parse(line.split("\n")[0]).port;
    this.url = `http://127.0.0.1:${this.port}`;
    return this;
  }

  async stop() {
    const ended = new Promise((done) => this.child.on("exit", done));
    this.child.kill("SIGTERM");
    await ended;
  }

  remove() {
    rmSync(this.folder, { recursive: true, force: true });
  }
}

/* Waits until the page has its answers and has drawn them: nothing is asked, and nothing changed for a while.
 * Looking at each picture drawn would have pictures drawn. */
export async function settle(page) {
  await page.waitForFunction((quiet_ms) => {
    const at = window.settling;
    at.from_ms ??= performance.now(); /* what was just done to the page may be drawn a little later */
    const isDone = document.querySelector("h1") !== null && document.querySelector(".loading") === null && at.asked === 0
      && performance.now() - Math.max(at.changed_ms, at.from_ms) > quiet_ms;
    if (isDone) at.from_ms = undefined;
    return isDone;
  }, QUIET_MS, { timeout: 20000, polling: QUIET_MS / 2 });
}

export async function signIn(page, url, number = 1) {
  await page.goto(url);
  await page.getByLabel("Your number").fill(String(number));
  await page.getByLabel("Password", { exact: true }).fill(PASSWORD);
  await page.getByRole("button", { name: "Sign in" }).click();
  await page.locator(".ribbon").waitFor();
  await settle(page);
}

/* Within the pages, without loading anew: as a person goes on. */
export async function go(page, path) {
  await page.evaluate((to) => {
    history.pushState(null, "", to);
    dispatchEvent(new PopStateEvent("popstate"));
  }, path);
  await settle(page);
}

/* What axe finds on the page, as lines. */
export async function axe(page) {
  if (!await page.evaluate(() => "axe" in window)) await page.evaluate(AXE); /* through the debugger, which the page's policy does not concern */
  const found = await page.evaluate(() => window.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }));
  return found.violations.flatMap((v) => v.nodes.map((n) => `${v.id}: ${n.target.join(" ")} – ${n.failureSummary?.split("\n")[1]?.trim() ?? v.help}`));
}

/* Walks with Tab through the page: each stop must be seen, in view, and have a name. */
export async function walk(page, most = 90) {
  const faults = [];
  const seen = new Set();
  await page.evaluate(() => {
    document.activeElement?.blur();
    window.scrollTo(0, 0);
  });
  let ends = 0; /* Tab may begin in the middle: it goes past the end of the page once */
  for (let i = 0; i < most; i++) {
    await page.keyboard.press("Tab");
    const at = await page.evaluate(() => {
      const e = document.activeElement;
      if (!e || e === document.body) return null;
      const r = e.getBoundingClientRect();
      const s = getComputedStyle(e);
      const name = e.getAttribute("aria-label") ?? e.textContent?.trim() ?? "";
      const labelled = e.labels?.length > 0 || e.getAttribute("aria-labelledby");
      window.stops ??= new Map();
      if (!window.stops.has(e)) window.stops.set(e, window.stops.size);
      return {
        id: window.stops.get(e), what: `${e.tagName.toLowerCase()}.${e.className?.baseVal ?? e.className} "${name.slice(0, 30)}"`,
        isNamed: name !== "" || Boolean(labelled), isVisible: r.width > 0 && r.height > 0,
        isInView: r.bottom > 0 && r.right > 0 && r.top < innerHeight && r.left < innerWidth,
        hasRing: s.outlineStyle !== "none" || e.matches("svg g") || s.stroke !== "none",
      };
    });
    if (at === null && ends++ === 0) continue;
    if (at === null || seen.has(at.id)) break;
    seen.add(at.id);
    if (!at.isVisible || !at.isInView) faults.push(`not in view: ${at.what}`);
    if (!at.isNamed) faults.push(`no name: ${at.what}`);
    if (!at.hasRing) faults.push(`no focus ring: ${at.what}`);
  }
  return { faults, stops: seen.size };
}
