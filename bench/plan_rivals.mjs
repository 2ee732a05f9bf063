/* CBC, GLPK and HiGHS on the LP text of plan_bench, by the processor's time:
 * plan_rivals.mjs OUT.csv SECONDS FILE.lp...   (FILE: days-types-chambers-seed.lp)
 * Appends a line for each better plan a solver tells of and one, without a cost, with its bound at
 * the end; says when and on what in OUT.txt. A run ends when its process has used the seconds.
 * PLAN_RIVALS=highs,cbc measures only those named. */
import { appendFileSync, existsSync, readFileSync, writeFileSync } from "node:fs";
import { spawn } from "node:child_process";
import { createInterface } from "node:readline";
import { cpus, loadavg } from "node:os";
import { basename, dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const HERE = dirname(fileURLToPath(import.meta.url));
const HEAD = "solver,days,types,chambers,seed,seconds,cost,bound\n";
const FOREVER = "100000";
const TICKS = 100; /* a second, in /proc */

const NUMBER = "([-+0-9.]+(?:e[-+]?[0-9]+)?)";
const SOLVERS = {
  highs: {
    command: (file) => [process.execPath, [join(HERE, "..", "tests", "highs", "highs.mjs"), file, FOREVER, "0"]],
    read: (line) => {
      const row = line.match(new RegExp(`%\\s+${NUMBER}\\s+${NUMBER}\\s+(?:Large|[0-9.]+%)`));
      const first = line.match(new RegExp(`%\\s+-inf\\s+${NUMBER}\\s+Large`));
      return row ? { bound: +row[1], cost: +row[2] } : first ? { cost: +first[1] } : {};
    },
  },
  cbc: {
    command: (file) => ["stdbuf", ["-oL", "cbc", file, "-solve"]],
    read: (line) => {
      const cost = line.match(new RegExp(`Integer solution of ${NUMBER} found`));
      const bound = line.match(new RegExp(`best possible ${NUMBER}`)) ?? line.match(new RegExp(`Cbc0031I .* improved objective from .* to ${NUMBER}`));
      return { cost: cost ? +cost[1] : undefined, bound: bound ? +bound[1] : undefined };
    },
  },
  glpk: {
    command: (file) => ["stdbuf", ["-oL", "glpsol", "--lp", file, "--cuts"]],
    read: (line) => {
      const row = line.match(new RegExp(`mip =\\s+(?:not found yet|${NUMBER}) >=\\s+${NUMBER}`));
      return row ? { cost: row[1] ? +row[1] : undefined, bound: +row[2] } : {};
    },
  },
};

/* Of the process alone: stdbuf becomes the program it starts. */
function usedSeconds(pid) {
  try {
    const stat = readFileSync(`/proc/${pid}/stat`, "latin1");
    const fields = stat.slice(stat.lastIndexOf(")") + 2).split(" ");
    return (Number(fields[11]) + Number(fields[12])) / TICKS;
  } catch {
    return null;
  }
}

function run(name, file, seconds, tell) {
  const [command, args] = SOLVERS[name].command(file);
  return new Promise((done) => {
    const child = spawn(command, args, { stdio: ["ignore", "pipe", "ignore"] });
    let best = Infinity, bound = -Infinity, used = 0;
    const watch = setInterval(() => {
      used = usedSeconds(child.pid) ?? used;
      if (used >= seconds) child.kill("SIGKILL");
    }, 50);
    createInterface({ input: child.stdout }).on("line", (line) => {
      const now = usedSeconds(child.pid) ?? used;
      used = now;
      const read = SOLVERS[name].read(line);
      if (read.bound !== undefined && read.bound > bound && read.bound < 1e30) bound = read.bound;
      if (read.cost === undefined || !(read.cost < best - 1e-9)) return;
      best = read.cost;
      if (now <= seconds) tell(now, best, "");
    });
    child.on("close", () => {
      clearInterval(watch);
      tell(Math.min(used, seconds), "", Number.isFinite(bound) ? bound : "");
      done();
    });
  });
}

const [out, seconds, ...files] = process.argv.slice(2);
const names = (process.env.PLAN_RIVALS ?? Object.keys(SOLVERS).join()).split(",");
if (!existsSync(out)) writeFileSync(out, HEAD);
writeFileSync(out.replace(/\.csv$/, ".txt"),
  `${new Date().toISOString().slice(0, 10)}: ${names.join(", ")}, ${seconds} s of the processor each, ` +
  `${cpus().length} x ${cpus()[0].model}, load ${loadavg()[0].toFixed(1)} when it began\n`);
for (const file of files)
  for (const name of names) {
    const size = basename(file, ".lp").split("-").join();
    await run(name, file, Number(seconds), (at, cost, bound) =>
      appendFileSync(out, `${name},${size},${at.toFixed(2)},${cost},${bound}\n`));
  }
