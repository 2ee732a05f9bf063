/* Opens a page of the made-up plant as who it is for. */
import { settle } from "./helpers.mjs";

export function as(made, at) {
  made.person = at.person === undefined ? 1 : at.person;
  made.station = at.station ?? null;
  made.chambers = at.chambers ?? 24;
  made.fruit = at.fruit ?? null;
  made.language = "en";
}

export async function open(made, context, at, more = {}) {
  as(made, at);
  const page = await context.newPage();
  const faults = [];
  page.on("pageerror", (error) => faults.push(error.message));
  /* Nobody is signed in, or the page shows what a refusal looks like. */
  const isMeant = (text) => text.includes("401") || (at.refuses !== undefined && text.includes(String(at.refuses)));
  page.on("console", (m) => m.type() === "error" && !isMeant(m.text()) && faults.push(m.text()));
  if (more.size) await page.setViewportSize(more.size);
  if (more.scheme) await page.emulateMedia({ colorScheme: more.scheme });
  await page.goto(made.url + at.path + (more.words ? `${at.path.includes("?") ? "&" : "?"}words=${more.words}` : ""));
  await settle(page);
  if (at.act && !more.words) {
    await at.act(page);
    await settle(page);
  }
  return { page, faults };
}
