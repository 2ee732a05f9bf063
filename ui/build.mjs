/* Makes the pages: build.mjs OUT [--depfile FILE]
 * Installs what package-lock.json names when it has changed, checks types, bundles. */
import { createHash } from "node:crypto";
import { copyFileSync, existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { spawnSync } from "node:child_process";
import { gzipSync } from "node:zlib";
import { basename, dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";

const HERE = dirname(fileURLToPath(import.meta.url));
const SIZE_MAX = 150 * 1000; /* bytes, gzipped, all files together */
const SCRIPTS = ["app.js", "rest.js", "chunk.js"]; /* the shell with Today, the other pages, what both need */
const SHELL = ["/", ...SCRIPTS.map((name) => `/${name}`), "/app.css", "/manifest.webmanifest", "/icon.svg", "/words/en.json", "/words/es.json"];
const AS_IT_IS = ["index.html", "manifest.webmanifest", "icon.svg"];
const WORDS = ["en.json", "es.json"].map((name) => join(HERE, "..", "words", name));
const LOCK = join(HERE, "package-lock.json");
const STAMP = join(HERE, "node_modules", ".installed-lock.json");

function fail(text) {
  console.error(`build.mjs: ${text}`);
  process.exit(1);
}

function run(what, command, args) {
  const done = spawnSync(command, args, { cwd: HERE, encoding: "utf8" });
  if (done.error) fail(`${what} could not be started: ${done.error.message}`);
  if (done.status !== 0) fail(`${what} failed:\n${done.stdout}${done.stderr}`);
}

function install() {
  const wanted = readFileSync(LOCK);
  if (existsSync(STAMP) && readFileSync(STAMP).equals(wanted)) return;
  run("npm ci", "npm", ["ci", "--ignore-scripts", "--no-audit", "--no-fund"]);
  writeFileSync(STAMP, wanted);
}

async function bundle(out) {
  const { build } = await import("esbuild");
  const common = {
    bundle: true, minify: true, target: "es2021", legalComments: "none", logLevel: "warning",
    absWorkingDir: HERE, metafile: true, outdir: out,
  };
  const app = await build({
    ...common, entryPoints: { app: "src/main.tsx" }, jsx: "automatic", jsxImportSource: "preact",
    format: "esm", splitting: true, chunkNames: "[name]",
  });
  const made = Object.keys(app.metafile.outputs).map((path) => basename(path)).sort();
  if (made.join() !== [...SCRIPTS].sort().join()) fail(`the bundler made ${made.join(", ")}, not ${SCRIPTS.join(", ")}`);
  const style = await build({ ...common, entryPoints: { app: "style.css" } });
  for (const name of AS_IT_IS) copyFileSync(join(HERE, name), join(out, name));
  const digest = createHash("sha256");
  for (const name of [...SCRIPTS, "app.css", ...AS_IT_IS]) digest.update(readFileSync(join(out, name)));
  for (const path of WORDS) digest.update(readFileSync(path));
  const worker = await build({
    ...common, entryPoints: { sw: "src/sw.ts" }, format: "iife",
    define: { CONTENT: JSON.stringify(digest.digest("hex").slice(0, 16)), SHELL: JSON.stringify(SHELL) },
  });
  return [app, style, worker].flatMap((b) => Object.keys(b.metafile.inputs).filter((path) => !path.startsWith("define:")).map((path) => join(HERE, path)));
}

const [, , folder, flag, depfile] = process.argv;
if (!folder) fail("say where to: build.mjs OUT [--depfile FILE]");
const out = resolve(folder);
mkdirSync(out, { recursive: true });
install();
run("the type checker", process.execPath, [join(HERE, "node_modules", "typescript", "bin", "tsc"), "-p", HERE]);
const inputs = await bundle(out);
const size = [...SCRIPTS, "app.css", "sw.js", ...AS_IT_IS].reduce((sum, name) => sum + gzipSync(readFileSync(join(out, name))).length, 0);
if (size > SIZE_MAX) fail(`the pages have ${size} bytes gzipped, more than ${SIZE_MAX}`);
console.log(`pages: ${size} bytes gzipped`);
if (flag === "--depfile" && depfile) {
  const all = [...inputs, ...AS_IT_IS.map((name) => join(HERE, name)), ...WORDS, LOCK, join(HERE, "tsconfig.json")];
  writeFileSync(depfile, `ui/app.js: ${[...new Set(all)].map((path) => path.replace(/ /g, "\\ ")).join(" ")}\n`);
}
