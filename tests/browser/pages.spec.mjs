/* Every page of the made-up plant: axe, a keyboard walk. What else holds on all of them: pages_shape. */
import assert from "node:assert/strict";
import { before, test } from "node:test";
import { PAGES } from "./made/pages.mjs";
import { axe, walk, withMade } from "./helpers.mjs";
import { open } from "./open.mjs";

const seen = {}; /* by axe, and the page's own faults */
const reached = {}; /* by the keyboard */

/* Each page is opened once for both: axe only looks. */
before(async () => {
  await withMade(async (made, context) => {
    for (const at of PAGES) {
      const { page, faults } = await open(made, context, at);
      for (const scheme of ["dark", "light"]) {
        await page.emulateMedia({ colorScheme: scheme });
        seen[`${at.name} ${scheme}`] = [...await axe(page), ...faults];
      }
      reached[at.name] = { ...await walk(page), least: at.act ? 1 : 3 };
      await page.close();
    }
  });
});

test("axe finds nothing on any page, light or dark, and the page itself no fault", () => {
  assert.equal(Object.keys(seen).length, 2 * PAGES.length);
  assert.deepEqual(Object.entries(seen).filter(([, found]) => found.length > 0), []);
});

test("the keyboard reaches everything on every page, and what has the focus is seen", () => {
  assert.equal(Object.keys(reached).length, PAGES.length);
  assert.deepEqual(Object.entries(reached).filter(([, { faults, stops, least }]) => faults.length > 0 || stops < least), []);
});
