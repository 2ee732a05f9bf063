/* Asking the server. What it said last is kept on the device and shown with its age while it can't be reached. */
import { batch, signal, type Signal } from "@preact/signals";
import { useEffect, useState } from "preact/hooks";
import { heardAt } from "../base/clock";
import { language, t } from "../base/words";
import { get as kept, put } from "../offline/db";
import type { Problem } from "./types";

export const BASE = "/api/v1";
const PATIENCE_MS = 15000;

export class Refused extends Error {
  constructor(readonly problem: Problem) {
    super(problem.detail || problem.title);
  }
}

export class Unreached extends Error {}

/* true while the last try reached the server. */
export const reached = signal(true);
export const reached_ms = signal(Date.now());
/* Called when the server says that nobody is signed in any more. */
export const signedOut: { call: () => void } = { call: () => {} };

export function problemOf(status: number, body: unknown): Problem {
  const p = (body ?? {}) as Partial<Problem>;
  return {
    type: "about:blank", title: p.title ?? t("ui.problem.title"), status,
    detail: p.detail ?? t("ui.problem.unreadable", { status }), code: p.code ?? "unreadable",
    field: p.field ?? "", values: p.values ?? [], line: p.line ?? 0, column: p.column ?? 0,
  };
}

/* What a page itself has to say, in the form of the server's. */
export function ownProblem(code: string, detail: string): Problem {
  return problemOf(0, { code, detail });
}

/* The language of the server's texts. */
export function langOf(): string {
  return language.value === "xx" ? "en" : language.value;
}

function withLanguage(path: string): string {
  return `${BASE}${path}${path.includes("?") ? "&" : "?"}lang=${langOf()}`;
}

async function ask(path: string, options: RequestInit): Promise<Response> {
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), PATIENCE_MS);
  try {
    const answer = await fetch(withLanguage(path), {
      ...options, signal: stop.signal, credentials: "same-origin",
    });
    /* A proxy or a worker in between that can't reach the server. */
    if (answer.status === 502 || answer.status === 504) throw new Unreached();
    const date = Date.parse(answer.headers.get("Date") ?? "");
    if (date && Math.abs(date - Date.now()) > 2000 && options.method === undefined) heardAt(date);
    batch(() => {
      reached.value = true;
      reached_ms.value = Date.now();
    });
    return answer;
  } catch {
    reached.value = false;
    throw new Unreached(t("ui.offline.unreached"));
  } finally {
    clearTimeout(timer);
  }
}

async function bodyOf(answer: Response): Promise<unknown> {
  try {
    return await answer.json();
  } catch {
    return null;
  }
}

function refuse(answer: Response, body: unknown): never {
  const problem = problemOf(answer.status, body);
  const wait = Number(answer.headers.get("Retry-After"));
  if (answer.status === 429 && wait > 0) {
    problem.detail += ` ${t("ui.problem.retry", { n: Math.ceil(wait / 60) })}`;
  }
  if (answer.status === 401 && problem.code !== "password-wrong") signedOut.call();
  throw new Refused(problem);
}

/* A state-changing request. Throws Refused or Unreached. */
export async function send<T>(
  method: "POST" | "DELETE", path: string, body?: unknown, headers?: Record<string, string>,
): Promise<T> {
  const answer = await ask(path, {
    method,
    headers: { "Content-Type": "application/json", "X-Plumule": "1", ...headers },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  });
  const read = await bodyOf(answer);
  if (!answer.ok) refuse(answer, read);
  return read as T;
}

export interface Read<T> {
  data: T | null;
  at_ms: number;
  isOld: boolean; /* from the device, the server could not be reached */
  isWaiting: boolean;
  problem: Problem | null;
}

interface Kept {
  key: string;
  at_ms: number;
  etag: string | null;
  data: unknown;
}

interface Held {
  state: Signal<Read<unknown>>;
  etag: string | null;
  users: number;
  asking: boolean;
}

const reads = new Map<string, Held>();

function keyOf(path: string): string {
  return `${langOf()} ${path}`;
}

/* One read, past any memory of it. */
export async function fetchOnce<T>(path: string): Promise<T> {
  const answer = await ask(path, { headers: { Accept: "application/json" } });
  const body = await bodyOf(answer);
  if (!answer.ok) refuse(answer, body);
  return body as T;
}

async function load(path: string): Promise<void> {
  const entry = reads.get(path);
  if (!entry || entry.asking) return;
  entry.asking = true;
  await askFor(path, entry);
  entry.asking = false;
}

async function askFor(path: string, entry: Held): Promise<void> {
  const key = keyOf(path);
  try {
    const answer = await ask(path, {
      headers: { Accept: "application/json", ...(entry.etag ? { "If-None-Match": entry.etag } : {}) },
    });
    if (answer.status === 304) {
      entry.state.value = { ...entry.state.value, at_ms: Date.now(), isOld: false, isWaiting: false, problem: null };
      return;
    }
    const body = await bodyOf(answer);
    if (!answer.ok) refuse(answer, body);
    entry.etag = answer.headers.get("ETag");
    entry.state.value = { data: body, at_ms: Date.now(), isOld: false, isWaiting: false, problem: null };
    const row: Kept = { key, at_ms: Date.now(), etag: entry.etag, data: body };
    put("answers", row).catch(() => {});
  } catch (error) {
    if (error instanceof Refused) {
      entry.state.value = { ...entry.state.value, isWaiting: false, problem: error.problem };
      return;
    }
    if (entry.state.value.data !== null) {
      entry.state.value = { ...entry.state.value, isOld: true, isWaiting: false };
      return;
    }
    const old = await kept<Kept>("answers", key).catch(() => undefined);
    entry.state.value = old
      ? { data: old.data, at_ms: old.at_ms, isOld: true, isWaiting: false, problem: null }
      : { data: null, at_ms: 0, isOld: true, isWaiting: false, problem: null };
  }
}

function entryFor(path: string): Held {
  let entry = reads.get(path);
  if (!entry) {
    entry = {
      state: signal<Read<unknown>>({ data: null, at_ms: 0, isOld: false, isWaiting: true, problem: null }),
      etag: null, users: 0, asking: false,
    };
    reads.set(path, entry);
  }
  return entry;
}

/* What the server says under a path; asks anew when the record grows. null asks nothing. */
export function useRead<T>(path: string | null): Read<T> {
  const drawn = entryFor(path ?? "");
  const [, drawAgain] = useState(0);
  useEffect(() => {
    if (path === null) return undefined;
    /* A refresh between drawing and here may have forgotten it, and somebody else asked anew. */
    if (!reads.has(path)) reads.set(path, drawn);
    const entry = entryFor(path);
    if (entry !== drawn) drawAgain((n) => n + 1);
    entry.users++;
    void load(path);
    return () => {
      entry.users--;
    };
  }, [path]);
  return drawn.state.value as Read<T>;
}

/* Everything on the page is asked once more; what nobody looks at is forgotten. */
export function refresh(): void {
  for (const [path, entry] of reads) {
    if (path === "") continue;
    if (entry.users > 0) void load(path);
    else reads.delete(path);
  }
}
