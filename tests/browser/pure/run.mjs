/* Bundles the tests of the pages' pure parts, which are TypeScript like those, and runs them as one. */
import { mkdtempSync, readdirSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { spawnSync } from "node:child_process";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const HERE = dirname(fileURLToPath(import.meta.url));
const ROOT = join(HERE, "..", "..", "..");
const { build } = createRequire(join(ROOT, "ui", "package.json"))("esbuild");

const names = readdirSync(HERE).filter((name) => name.endsWith(".test.ts"));
const out = mkdtempSync(join(tmpdir(), "plumule-pure-"));
await build({
  stdin: { contents: names.map((name) => `import "./${name}";`).join("\n"), resolveDir: HERE, loader: "ts" },
  outfile: join(out, "all.mjs"), bundle: true, platform: "node", format: "esm", target: "node18",
  define: { SOURCE_ROOT: JSON.stringify(ROOT) }, logLevel: "warning", jsx: "automatic", jsxImportSource: "preact",
  nodePaths: [join(ROOT, "ui", "node_modules")],
});
const run = spawnSync(process.execPath, [join(out, "all.mjs")], { stdio: "inherit" });
rmSync(out, { recursive: true, force: true });
process.exit(run.status ?? 1);
