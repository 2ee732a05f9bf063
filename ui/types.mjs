/* Makes src/api/document.ts from the program's own description: plumule serve --openapi > FILE; types.mjs FILE > src/api/document.ts */
import { readFileSync } from "node:fs";
import openapi, { astToString } from "openapi-typescript";

const HEAD = "/* Made by types.mjs from the program's own description of its interface; do not edit. */\n";

export async function typesOf(document) {
  /* The pages name shapes, not routes. */
  return HEAD + astToString(await openapi({ ...document, paths: {} }));
}

if (process.argv[1] === new URL(import.meta.url).pathname) {
  process.stdout.write(await typesOf(JSON.parse(readFileSync(process.argv[2], "utf8"))));
}
