/* HiGHS, somebody else's solver, on our LP text: highs.mjs FILE [SECONDS [GAP]]
 * Prints its log, then "status S" and "objective X". Installs what package-lock.json names when it
 * has changed. */
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { spawnSync } from "node:child_process";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const HERE = dirname(fileURLToPath(import.meta.url));
const LOCK = join(HERE, "package-lock.json");
const STAMP = join(HERE, "node_modules", ".installed-lock.json");

const wanted = readFileSync(LOCK);
if (!existsSync(STAMP) || !readFileSync(STAMP).equals(wanted)) {
  const done = spawnSync("npm", ["ci", "--ignore-scripts", "--no-audit", "--no-fund"], { cwd: HERE, encoding: "utf8" });
  if (done.status !== 0) {
    console.error(`highs.mjs: npm ci failed:\n${done.stdout}${done.stderr}`);
    process.exit(1);
  }
  writeFileSync(STAMP, wanted);
}

const [file, seconds, gap] = process.argv.slice(2);
const load = createRequire(import.meta.url)("highs");
const solver = await load({ print: (line) => console.log(line) });
const answer = solver.solve(readFileSync(file, "utf8"), {
  time_limit: Number(seconds ?? 60), mip_rel_gap: Number(gap ?? 0), mip_abs_gap: 0, random_seed: 1,
});
console.log(`status ${answer.Status}`);
console.log(`objective ${answer.ObjectiveValue}`);
