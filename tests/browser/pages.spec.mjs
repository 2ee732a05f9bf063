/* Every page of the made-up plant: axe, a keyboard walk. What else holds on all of them: pages_shape. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { PAGES } from "./made/pages.mjs";
import { axe, walk, withMade } from "./helpers.mjs";
import { open } from "./open.mjs";

test("axe finds nothing on any page, light or dark, and the page itself no fault", async () => {
  await withMade(async (made, context) => {
    const found = {};
    for (const at of PAGES) {
      const { page, faults } = await open(made, context, at);
      for (const scheme of ["light", "dark"]) {
        await page.emulateMedia({ colorScheme: scheme });
        const all = [...await axe(page), ...faults];
        if (all.length > 0) found[`${at.name} ${scheme}`] = all;
      }
      await page.close();
    }
    assert.deepEqual(found, {});
  });
});

test("the keyboard reaches everything on every page, and what has the focus is seen", async () => {
  await withMade(async (made, context) => {
    const found = {};
    for (const at of PAGES) {
      const { page } = await open(made, context, at);
      const { faults, stops } = await walk(page);
      if (faults.length > 0 || stops < (at.act ? 1 : 3)) found[at.name] = [...faults, `${stops} stops`];
      await page.close();
    }
    assert.deepEqual(found, {});
  });
});
