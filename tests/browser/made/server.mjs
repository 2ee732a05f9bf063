/* A small server of the made-up plant: the built pages, and answers under /api/v1. It can be stopped and
 * started again, as a server in a plant is. */
import { createServer } from "node:http";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import * as plant from "./plant.mjs";
import * as received from "./received.mjs";
import { dayline } from "./dayline.mjs";
import * as house from "./house.mjs";
import * as safety from "./safety.mjs";

const TYPES = { html: "text/html; charset=utf-8", js: "text/javascript", css: "text/css", svg: "image/svg+xml", json: "application/json", webmanifest: "application/manifest+json" };
export const CSP = "default-src 'self'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; frame-ancestors 'none'; base-uri 'none'; form-action 'self'";

export class Made {
  constructor(pages, words) {
    this.pages = pages;
    this.words = words;
    this.person = null;
    this.station = null;
    this.language = "en";
    this.chambers = 24;
    this.fruit = null; /* "new" or "taken": the house receives, with or without a plan not taken yet */
    this.told = []; /* every command that was taken, once a uuid */
    this.late = []; /* uuids that came with the queue's header */
    this.refuse = null; /* (command) => problem or null */
    this.streams = new Set();
  }

  async start(port = 0) {
    this.server = createServer((request, answer) => this.serve(request, answer));
    await new Promise((done) => this.server.listen(port, "127.0.0.1", done));
    this.port = this.server.address().port;
    this.url = `http://127.0.0.1:${this.port}`;
    return this;
  }

  async stop() {
    for (const stream of this.streams) stream.destroy();
    this.streams.clear();
    this.server.closeAllConnections();
    await new Promise((done) => this.server.close(done));
  }

  serve(request, answer) {
    answer.setHeader("Date", new Date(plant.clock()).toUTCString());
    const url = new URL(request.url, "http://x");
    const chunks = [];
    request.on("data", (c) => chunks.push(c));
    request.on("end", () => {
      const body = chunks.length > 0 ? JSON.parse(Buffer.concat(chunks).toString()) : null;
      if (url.pathname.startsWith("/api/v1/")) this.api(request, url, body, answer);
      else this.file(url.pathname, answer);
    });
  }

  file(path, answer) {
    const name = path.startsWith("/words/") ? join(this.words, path.slice(7)) : join(this.pages, path.includes(".") ? path.slice(1) : "index.html");
    try {
      const bytes = readFileSync(name);
      answer.writeHead(200, { "Content-Type": TYPES[name.split(".").pop()], "Content-Security-Policy": CSP });
      answer.end(bytes);
    } catch {
      answer.writeHead(404).end();
    }
  }

  json(answer, body, status = 200) {
    answer.writeHead(status, { "Content-Type": status < 400 ? "application/json" : "application/problem+json" });
    answer.end(JSON.stringify(body));
  }

  problem(answer, status, code, detail, field = null) {
    this.json(answer, { type: "about:blank", title: code, status, detail, code, field, values: ["", "", ""], line: null, column: null }, status);
  }

  api(request, url, body, answer) {
    const path = url.pathname.slice("/api/v1".length);
    if (path === "/events") {
      answer.writeHead(200, { "Content-Type": "text/event-stream" });
      answer.write(": here\n\n");
      this.streams.add(answer);
      request.on("close", () => this.streams.delete(answer));
      return;
    }
    if (request.method === "GET") this.read(path, url.searchParams, answer);
    else if (request.headers["x-plumule"] !== "1") this.problem(answer, 403, "csrf", "The header X-Plumule is missing.");
    else this.write(request, path, body, answer);
  }

  read(path, q, answer) {
    const [, first, code, second] = path.split("/").map(decodeURIComponent);
    if (path === "/me") return this.json(answer, plant.me(this.person, this.station, this.language, this.fruit !== null));
    if (this.person === null) return this.problem(answer, 401, "not-signed-in", "Sign in first.");
    const fixed = {
      "/today": () => plant.today(q.get("day")), "/days": () => plant.days(q.get("from"), q.get("to")), "/chambers": () => plant.chambers(this.chambers),
      "/lots": () => plant.lots(q), "/house": () => house.house, "/forms": () => ({ forms: house.forms }), "/people": () => house.people, "/stations": () => house.stations,
      "/limits": () => house.limits, "/balance": () => house.balance, "/calc": () => house.calc, "/plan": () => (this.fruit ? received.taken(this.fruit === "new") : house.taken), "/plan/floor": () => house.floor, "/plan/day": () => dayline(q.get("day")), "/health": () => plant.health,
      "/safety": () => safety.board, "/schedule": () => safety.schedule(Number(q.get("per_round") ?? 5)), "/samples/calendar": () => safety.calendar, "/waters": () => safety.waters,
      "/registers": () => safety.registers, "/complaints": () => safety.complaints,
      "/inspection": () => safety.inspection(q),
      "/mappings": () => house.mappings, "/orders": () => house.orders(q.get("from"), q.get("to")), "/orders/line": () => house.order(q.get("key")), "/profile.json": () => house.profile,
      "/samples": () => house.samples, "/holds": () => ({ holds: plant.holds }), "/review": () => ({ batches: [{ batch: "MUNG-20521-C04", entries: [3150, 3151, 3152].map(plant.entryRow) }] }),
      "/trace": () => plant.trace(q.get("code"), q.get("direction")), "/trace/why": () => ({ steps: [{ parent: "L20771-3", child: "MUNG-20772-C03", entry: 1240, mg: 108e6 }] }),
      "/ask": () => plant.ask(q), "/packing": () => house.packing, "/keeping": () => house.keeping, "/recall": () => plant.recall(q.get("code")), "/find": () => ({ kind: /^C-\d+$/.test(q.get("code")) ? "place" : /^(M|L|S)/.test(q.get("code")) ? "lot" : null, code: q.get("code") }),
      "/daybook": () => ({ entries: Array.from({ length: 20 }, (_, i) => plant.entryRow(3169 - i)), next: null }),
    }[path];
    if (fixed) return this.json(answer, fixed());
    if (first === "plan" && second && this.fruit) return this.json(answer, received.jobOf(second));
    if (first === "plan" && second) return this.json(answer, { id: second, trial: second === "t1", keep: "balance", service_ppm: 980000, service_of_profile: false, changes: [], state: "done", share_ppm: 1000000, plan: house.plan(this.chambers), received: null, problem: null });
    if (first === "treatments") return this.json(answer, safety.treatment(code));
    if (first === "chambers") return this.found(answer, plant.chamber(code, this.chambers));
    if (first === "lots" && second === "parts") return this.json(answer, plant.parts(code));
    if (first === "lots") return this.json(answer, plant.lot(code));
    if (first === "daybook") return this.json(answer, plant.entry(Number(code)));
    return this.problem(answer, 404, "route-unknown", `There is no ${path}.`);
  }

  found(answer, body) {
    if (body === null) this.problem(answer, 404, "unknown", "There is no such thing.");
    else this.json(answer, body);
  }

  write(request, path, body, answer) {
    if (path === "/session" && request.method === "POST") {
      if (!plant.ROLES[body.person] || body.password !== "seedbed") return this.problem(answer, 401, "password-wrong", "Number and password do not belong together.");
      this.person = body.person;
      return this.json(answer, plant.me(this.person, this.station, this.language, this.fruit !== null));
    }
    if (path === "/session") {
      this.person = null;
      return this.json(answer, {});
    }
    if (path === "/step-up") {
      if (body.badge === undefined && body.pin !== "2468") return this.problem(answer, 401, "pin-wrong", "This PIN is wrong. Four tries are left.");
      this.person = body.person ?? 5;
      return this.json(answer, plant.me(this.person, this.station, this.language, this.fruit !== null));
    }
    if (/^\/people\/\d+\/language$/.test(path)) {
      this.language = body.language;
      return this.json(answer, {});
    }
    if (path.startsWith("/files/")) return this.fileIn(path.slice(7), body, answer);
    if (/^\/people\/\d+\/(unlock|erase)$/.test(path)) {
      if (body.password !== "seedbed") return this.problem(answer, 403, "password-wrong", "This is not your password.", "password");
      this.told.push({ kind: path.split("/")[3], number: Number(path.split("/")[2]) });
      return this.json(answer, {});
    }
    if (path.endsWith("/sweep")) return this.json(answer, house.sweep(path.split("/")[2], body));
    if (path.startsWith("/calc/")) return this.json(answer, house.calcAnswer(path.slice(6), body));
    if (path === "/plan") return this.json(answer, { job: "j1" }, 202);
    if (path.startsWith("/entries")) return this.entries(request, path, body, answer);
    return this.json(answer, {});
  }

  fileIn(kind, body, answer) {
    const { report, problem } = house.fileIn(kind, body, this.told.some((c) => c.kind === "file"));
    if (problem) return this.json(answer, { type: "about:blank", title: problem.code, status: 422, values: [], ...problem }, 422);
    if (!body.try) this.told.push({ kind: "file", for: kind, ...body });
    return this.json(answer, report);
  }

  entries(request, path, body, answer) {
    const commands = body.commands ?? [body.command ?? body];
    const [command] = commands;
    if (body.command && body.password !== "seedbed") return this.problem(answer, 401, "password-wrong", "This is not your password.", "password");
    const problem = commands.map((c) => this.refuse?.(c)).find(Boolean);
    if (problem) return this.problem(answer, 422, problem.code, problem.detail, problem.field);
    const done = { entry: 3170 + this.told.length, kind: command.kind, lot: "MUNG-20782-C14-H" };
    if (path.endsWith("/dry")) {
      const lists = command.kind === "strike" ? { struck: [{ entry: command.entry, kind: "metal-check" }], unchanged: [{ lot: "S200-20780-01" }], held: [{ lot: "M250-20781-03" }], recall: [] } : {};
      if (command.kind === "profile") Object.assign(done, { profile: JSON.parse(command.text).name, digest: "5c".repeat(32) });
      const words = Object.entries(command).filter(([k]) => !["kind", "person", "uuid"].includes(k)).map(([, v]) => (typeof v === "string" ? v : JSON.stringify(v)));
      return this.json(answer, { answers: [{ ...done, ...lists }], read: [{ title: command.kind, sentence: `${command.kind}: ${words.join(", ")}.`, warnings: [] }] });
    }
    const answers = commands.map((c, i) => ({ ...done, entry: done.entry + i, kind: c.kind }));
    for (const c of commands) if (!this.told.some((t) => t.uuid === c.uuid)) this.told.push(c);
    if (request.headers["x-plumule-queue"]) this.late.push(...commands.map((c) => c.uuid));
    return this.json(answer, { answers });
  }
}
