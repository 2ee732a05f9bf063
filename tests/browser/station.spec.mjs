/* A tablet bolted to the weigher: over https from another address, with badge and PIN, without the server,
 * and beside another device that tells something else. */
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { createHash, X509Certificate } from "node:crypto";
import { request } from "node:http";
import { after, before, test } from "node:test";
import { join } from "node:path";
import { Devices, record } from "./acts.mjs";
import { SIZES } from "./browser.mjs";
import { axe, go, PASSWORD, Plant, PROGRAM, settle, signIn } from "./helpers.mjs";

const ADDRESS = "127.0.0.2";
const NAME = "plumule-house.example";
const MANAGER = 1, QUALITY = 2, GROWER = 4, LINE = 6;
const PIN = "4711";
const BADGE = "BADGE:HYPOCOTYL-6";

/* The plant, served to other devices too. */
class House extends Plant {
  async start(port = 0, httpsPort = 0) {
    this.child = spawn(PROGRAM, ["--plant", join(this.folder, "p"), "--json", "serve", "--port", String(port), "--bind", ADDRESS, "--https-port", String(httpsPort), "--name", NAME], { stdio: ["ignore", "pipe", "inherit"] });
    const told = await new Promise((done, fail) => {
      let out = "";
      this.child.stdout.on("data", (d) => {
        out += d;
        if (out.includes("\n")) done(JSON.parse(out.split("\n")[0]));
      });
      this.child.on("exit", () => fail(new Error(`serve ended: ${out}`)));
    });
    this.port = told.port;
    this.url = told.addresses.find((a) => new URL(a).hostname === NAME).replace(/\/$/, "");
    this.httpsPort = Number(new URL(this.url).port);
    return this;
  }
}

let house;
let devices;
let tablet;

/* What a phone is asked to trust, as Chromium wants it named. */
async function pinOfKey() {
  const answer = await fetch(`http://127.0.0.1:${house.port}/trust/house.crt`);
  const cert = new X509Certificate(Buffer.from(await answer.arrayBuffer()));
  return createHash("sha256").update(cert.publicKey.export({ type: "spki", format: "der" })).digest("base64");
}

before(async () => {
  house = await (await new House().make()).start();
  devices = await new Devices().open([`--host-resolver-rules=MAP ${NAME} ${ADDRESS}`, `--ignore-certificate-errors-spki-list=${await pinOfKey()}`]);
  tablet = await devices.device();
});

after(async () => {
  await devices?.close();
  await house?.stop();
  house?.remove();
});

async function press(page, keys) {
  for (const key of keys) await page.locator(".pad").getByRole("button", { name: key, exact: true }).click();
}

async function stepUp(page, pin) {
  await page.locator(".pad").waitFor();
  await press(page, String(LINE));
  await page.getByRole("button", { name: "Next" }).click();
  await press(page, pin);
  await page.getByRole("button", { name: "Step up" }).click();
}

async function leave(page) {
  await page.getByRole("button", { name: "Leave" }).first().click();
  await page.locator(".step-up").waitFor();
}

/* Keys as a scanner sends them: all at once. */
async function scan(page, code) {
  const client = await page.context().newCDPSession(page);
  const timestamp = Date.now() / 1000;
  for (const [i, key] of [...code, "Enter"].entries()) {
    const more = key === "Enter" ? { key, code: "Enter", windowsVirtualKeyCode: 13, text: "\r" } : { key, text: key };
    await client.send("Input.dispatchKeyEvent", { type: "keyDown", timestamp: timestamp + i * 0.004, ...more });
  }
  await client.detach();
}

/* What a plain http request ends with: the status, or the code of the error. */
function plain(port) {
  return new Promise((done) => {
    const asked = request({ host: ADDRESS, port, path: "/api/v1/me", timeout: 5000 }, (r) => done(r.statusCode));
    asked.on("error", (error) => done(error.code));
    asked.on("timeout", () => asked.destroy());
    asked.end();
  });
}

test("plain http is refused on the address that other devices reach", async () => {
  assert.equal(await plain(house.port), "ECONNREFUSED");
  assert.match(String(await plain(house.httpsPort)), /^(ECONNRESET|EPIPE|HPE_\w+)$/);
});

test("a manager makes the tablet a station and gives a badge; its person keeps a PIN", async () => {
  await signIn(tablet, house.url, MANAGER);
  assert.match(tablet.url(), /^https:/);
  await go(tablet, "/people");
  await tablet.getByLabel("Code of this device").fill("WEIGH-1");
  await tablet.getByRole("button", { name: "Make this device a station" }).click();
  await tablet.getByText("WEIGH-1").first().waitFor();
  const row = tablet.locator(".rows li").filter({ hasText: "Plumule 6" });
  await row.getByRole("button", { name: "Give a badge" }).click();
  const dialog = tablet.locator("dialog");
  await dialog.getByLabel("Code of the badge").fill(BADGE);
  await dialog.getByLabel("Your own password").fill(PASSWORD);
  await dialog.getByRole("button", { name: "Sign" }).click();
  await dialog.waitFor({ state: "detached" });
  const cookies = await tablet.context().cookies();
  assert.ok(cookies.length >= 2);
  for (const c of cookies) {
    assert.ok(c.name.startsWith("__Host-") && c.secure && c.httpOnly && c.sameSite === "Strict", `${c.name}`);
  }
  /* The person signs in once with the password and keeps a PIN. */
  await tablet.reload();
  await settle(tablet);
  await leave(tablet);
  await tablet.getByRole("button", { name: "Use a password" }).click();
  await tablet.getByLabel("Your number").fill(String(LINE));
  await tablet.getByLabel("Password", { exact: true }).fill(PASSWORD);
  await tablet.getByRole("button", { name: "Sign in" }).click();
  await tablet.locator(".ribbon").waitFor();
  await go(tablet, "/me");
  await tablet.getByLabel(/New PIN/).fill(PIN);
  await tablet.getByLabel("Password", { exact: true }).fill(PASSWORD);
  await tablet.getByRole("button", { name: "Keep this PIN" }).click();
  await tablet.getByText("The PIN is kept.").waitFor();
  await leave(tablet);
});

test("a person steps up by large keys and by a badge, and the name stands in large letters", async () => {
  const key = await tablet.locator(".pad-key").first().boundingBox();
  assert.ok(key.width >= 64 && key.height >= 64, `${key.width} by ${key.height} px`);
  await stepUp(tablet, PIN);
  await tablet.locator(".who-station").waitFor();
  assert.equal(await tablet.locator(".who-name").textContent(), "Plumule 6");
  const letters = await tablet.locator(".who-name").evaluate((e) => parseFloat(getComputedStyle(e).fontSize));
  assert.ok(letters >= 26, `${letters} px`);
  await leave(tablet);
  await scan(tablet, BADGE);
  await tablet.locator(".who-station").waitFor();
  assert.equal(await tablet.locator(".who-name").textContent(), "Plumule 6");
});

test("who scans while the one before is still leaving stays signed in", async () => {
  let held = 0;
  const slow = async (route) => {
    if (route.request().method() === "DELETE") {
      held++;
      await new Promise((go_on) => setTimeout(go_on, 1500));
    }
    await route.continue();
  };
  await tablet.context().route("**/api/v1/session*", slow);
  await leave(tablet);
  await scan(tablet, BADGE);
  await tablet.locator(".who-station").waitFor();
  assert.equal(held, 1);
  await tablet.context().unroute("**/api/v1/session*", slow);
  const me = await tablet.evaluate(async () => (await fetch("/api/v1/me")).json());
  assert.equal(me.person, LINE);
});

/* The lines of today's daybook of one kind that say such a thing. */
async function lines(page, kind, words) {
  const entries = await page.evaluate(async () => (await (await fetch("/api/v1/daybook?limit=200")).json()).entries);
  return entries.filter((e) => e.kind === kind && words.test(e.sentence));
}

test("what is recorded while the server is stopped is booked once, under who stepped up on the device", async () => {
  await tablet.evaluate(() => navigator.serviceWorker.ready);
  await tablet.waitForFunction(async () => (await caches.keys()).length > 0 && navigator.serviceWorker.controller !== null);
  await go(tablet, "/record/cold-check");
  await tablet.locator(".question").first().waitFor();
  await leave(tablet);
  const { port, httpsPort } = house;
  await house.stop();
  await tablet.reload();
  await tablet.getByRole("button", { name: "Plumule 6" }).click();
  await press(tablet, "9999");
  await tablet.getByRole("button", { name: "Step up" }).click();
  await tablet.getByText("this device does not know this PIN").waitFor({ timeout: 40000 });
  await press(tablet, PIN);
  await tablet.getByRole("button", { name: "Step up" }).click();
  await tablet.getByText("checked on this device only").waitFor({ timeout: 40000 });
  await go(tablet, "/record/cold-check");
  await tablet.locator("#l-temp").waitFor();
  await tablet.getByRole("textbox", { name: /Temperature/ }).fill("3.7");
  await tablet.getByRole("button", { name: "Read it back" }).click();
  await tablet.getByRole("button", { name: "Record it" }).click();
  await tablet.getByRole("heading", { name: "Kept here, not sent yet" }).waitFor({ timeout: 40000 });
  await tablet.getByRole("button", { name: "Look" }).click();
  await tablet.locator("dialog").getByText(/pressed .* ago, number \d+ of this device/).waitFor();
  await tablet.locator("dialog").getByRole("button", { name: "Close" }).click();
  await tablet.reload();
  await tablet.getByText("1 recording is not sent yet.").waitFor();
  await house.start(port, httpsPort);
  await tablet.waitForFunction(() => !document.querySelector(".banner")?.textContent.includes("not sent yet"), null, { timeout: 60000 });
  await stepUp(tablet, PIN);
  await tablet.locator(".who-station").waitFor();
  const booked = await lines(tablet, "cold-check", /3\.7/);
  assert.equal(booked.length, 1);
  assert.equal(booked[0].by, LINE);
  await go(tablet, "/daybook");
  assert.equal(await tablet.locator(".entry-row").filter({ hasText: booked[0].sentence }).count(), 1);
});

/* A harvest without the network: read back from the device, pressed twice, kept. */
async function tellOffline(page, { chamber, mass }) {
  await page.locator("#f-chamber").selectOption(chamber);
  await page.locator("#f-mass").fill(mass);
  for (const [field, choice] of [["instrument", "SC-1"], ["place", "W-1"]]) {
    await page.getByRole("group", { name: new RegExp(field === "place" ? "Goes to" : "Instrument") }).getByRole("button", { name: choice }).click();
  }
  await page.getByRole("button", { name: "Read it back" }).click();
  assert.match(await page.locator(".confirm-sentence").textContent(), new RegExp(`${chamber}.*${mass} kg`));
  await page.getByRole("button", { name: "That is right" }).click();
  await page.getByRole("button", { name: "Record it" }).click();
  await page.getByRole("heading", { name: "Kept here, not sent yet" }).waitFor({ timeout: 40000 });
}

/* What the house says on Today of what was told and not booked. */
function asideLines(page) {
  return page.locator("main .line").filter({ hasText: "It is not booked" });
}

async function sent(page) {
  await page.waitForFunction(() => !document.querySelector(".banner")?.textContent.includes("not sent yet"), null, { timeout: 60000 });
}

test("two devices without the server tell different things about one chamber: both are kept, and everybody sees it", async () => {
  const other = await devices.device();
  await signIn(other, house.url, GROWER);
  for (const page of [other, tablet]) {
    await go(page, "/record/harvest");
    await page.locator("#l-place").waitFor();
  }
  const { port, httpsPort } = house;
  await tablet.context().setOffline(true); /* comes back later than the other */
  await house.stop();
  await tellOffline(other, { chamber: "C-08", mass: "820" });
  await tellOffline(tablet, { chamber: "C-08", mass: "790" });
  await house.start(port, httpsPort);
  await signIn(other, house.url, GROWER);
  await sent(other);
  await tablet.context().setOffline(false);
  /* Nobody has stepped up: the tablet sends for who pressed, and tells the house what was refused. */
  await tablet.locator(".banner").getByText("1 recording needs you.").waitFor({ timeout: 60000 });
  await go(other, "/");
  await asideLines(other).first().waitFor();
  const booked = await lines(other, "harvest", /C-08/);
  assert.equal(booked.length, 1);
  assert.match(booked[0].sentence, /820 kg/);
  const kept = await lines(other, "set-aside", /790 kg/);
  assert.equal(kept.length, 1);
  assert.match(kept[0].sentence, /^Not booked: Harvest C-08: 790 kg .*nothing grows in chamber C-08/);
  assert.deepEqual([kept[0].by, kept[0].place], [LINE, "C-08"]);
  await other.context().close();
});

test("the device keeps what was refused and says that the house knows; loaded anew it sends nothing twice", async () => {
  for (let i = 0; i < 2; i++) {
    await tablet.reload();
    await stepUp(tablet, PIN);
    await tablet.locator(".who-station").waitFor();
    await go(tablet, "/");
    await tablet.getByText("1 recording needs you.").waitFor();
    if (i === 0) await leave(tablet);
  }
  assert.match(await tablet.locator("main .line-text").allTextContents().then((all) => all.join("\n")), /1 recording of this device could not be placed.*The house knows of it too: line \d+/);
  await tablet.getByRole("button", { name: "Look", exact: true }).first().click();
  const item = tablet.locator("dialog .rows li");
  await item.getByText("The house knows of it too:").waitFor();
  assert.match(await item.innerText(), /790 kg[\s\S]*nothing grows in chamber C-08/);
  await tablet.locator("dialog").getByRole("button", { name: "Send now" }).click();
  await tablet.locator("dialog").getByRole("button", { name: "Close" }).click();
  assert.equal((await lines(tablet, "set-aside", /./)).length, 1);
});

test("a third person sees it on Today, settles it, and it is gone everywhere", async () => {
  const third = await devices.device();
  await signIn(third, house.url, QUALITY);
  await go(third, "/");
  assert.equal(await asideLines(third).count(), 1);
  const line = asideLines(third).first();
  assert.match(await line.innerText(), /Plumule 6 told at \d\d:\d\d, \d+ min ago: Harvest C-08: 790 kg.*nothing grows in chamber C-08/);
  assert.deepEqual(await axe(third), []);
  await third.setViewportSize(SIZES.phone);
  assert.equal(await third.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth), 0);
  await third.setViewportSize(SIZES.desk);
  await line.getByRole("link", { name: "Settle" }).click();
  await settle(third);
  await third.getByText("not booked", { exact: true }).waitFor();
  await third.getByRole("heading", { name: "What is not booked" }).waitFor();
  assert.deepEqual(await axe(third), []);
  await third.getByRole("link", { name: "Settle it" }).click();
  await third.locator(".question").first().waitFor();
  await third.getByRole("button", { name: "it was not so" }).click();
  await third.getByRole("textbox", { name: "Reason" }).fill("C-07 was meant, told there");
  await third.getByRole("button", { name: "Read it back" }).click();
  await third.locator(".confirm-sentence").filter({ hasText: /^Settle entry \d+: it was not so; C-07 was meant, told there$/ }).waitFor();
  await third.getByRole("button", { name: "Record it" }).click();
  await third.getByRole("heading", { name: "Recorded" }).waitFor();
  await go(third, "/");
  assert.equal(await asideLines(third).count(), 0);
  await third.context().close();
  /* On the device that told it the house's word stands beside it, and it can be given up. */
  await tablet.getByRole("button", { name: "Look", exact: true }).first().click();
  await tablet.locator("dialog").getByText("Settled in the house:").waitFor();
  await tablet.locator("dialog").getByRole("button", { name: "Give it up" }).click();
  await tablet.locator("dialog").getByText("Everything is sent.").waitFor();
  await tablet.locator("dialog").getByRole("button", { name: "Close" }).click();
  assert.equal((await lines(tablet, "set-aside", /./)).length, 1);
});

test("tried again once the way is free, it is booked and settled in one go", async () => {
  const quality = await devices.device();
  await signIn(quality, house.url, QUALITY);
  await go(tablet, "/record/harvest");
  await tablet.locator("#l-place").waitFor();
  await tablet.context().setOffline(true);
  await tellOffline(tablet, { chamber: "C-09", mass: "780" });
  const grower = await devices.device();
  await signIn(grower, house.url, GROWER);
  const first = await record(grower, "harvest", { chamber: "C-09", mass: "810", instrument: "SC-1", place: "W-1" }, { twice: true });
  await grower.context().close();
  await tablet.context().setOffline(false);
  await tablet.locator(".banner").getByText("1 recording needs you.").waitFor({ timeout: 60000 });
  await asideLines(quality).first().waitFor(); /* it comes by itself */
  const struck = await quality.evaluate(async ([entry, person, password]) => {
    const command = { kind: "strike", uuid: crypto.randomUUID(), person, entry, reason: "C-08 was emptied" };
    const headers = { "Content-Type": "application/json", "X-Plumule": "1" };
    return (await fetch("/api/v1/entries", { method: "POST", headers, body: JSON.stringify({ command, password }) })).status;
  }, [first.entry, QUALITY, PASSWORD]);
  assert.equal(struck, 200);
  await tablet.getByRole("button", { name: "Look", exact: true }).first().click();
  await tablet.locator("dialog").getByText("The house knows of it too:").waitFor();
  await tablet.locator("dialog").getByRole("button", { name: "Try again" }).click();
  await tablet.locator("dialog").getByText("Everything is sent.").waitFor();
  await tablet.locator("dialog").getByRole("button", { name: "Close" }).click();
  const [booked] = await lines(quality, "harvest", /C-09: 780 kg/);
  const [settled] = await lines(quality, "settle", /told again/);
  assert.match(settled.sentence, new RegExp(`told again \\(entry ${booked.entry}\\)`));
  await asideLines(quality).first().waitFor({ state: "detached" });
  await quality.context().close();
});

test("five wrong PINs lock the PIN, and one's own password opens it again", async () => {
  await leave(tablet);
  for (let i = 0; i < 5; i++) {
    await tablet.locator(".pad").waitFor();
    if (i === 0) {
      await press(tablet, String(LINE));
      await tablet.getByRole("button", { name: "Next" }).click();
    }
    await press(tablet, "1111");
    await tablet.getByRole("button", { name: "Step up" }).click();
    await tablet.locator(".note-stopped").waitFor();
  }
  await press(tablet, PIN);
  await tablet.getByRole("button", { name: "Step up" }).click();
  await tablet.locator(".note-stopped").filter({ hasText: /locked/i }).waitFor();
  assert.equal(await tablet.locator(".who-station").count(), 0);
  await tablet.getByRole("button", { name: "Use a password" }).click();
  await tablet.getByLabel("Your number").fill(String(LINE));
  await tablet.getByLabel("Password", { exact: true }).fill(PASSWORD);
  await tablet.getByRole("button", { name: "Sign in" }).click();
  await tablet.locator(".who-station").waitFor();
  await leave(tablet);
  await tablet.reload();
  await stepUp(tablet, PIN);
  await tablet.locator(".who-station").waitFor();
  assert.deepEqual(devices.faults, []);
});
