/* Telling the record something: through the device's queue, so that nothing pressed is lost. */
import { signal } from "@preact/signals";
import { ownProblem, Refused, signedOut, Unreached, refresh, send } from "../api/client";
import type { Answer, Command, Problem, ReadBack } from "../api/types";
import { now } from "../base/clock";
import { uuid } from "../base/uuid";
import { t } from "../base/words";
import { asideOf } from "../offline/aside";
import { all, fact, put, remove, setFact } from "../offline/db";
import { isUntold, Queue, type Queued, type Sent } from "../offline/queue";

export const queued = signal<Queued[]>([]);

/* Who is here. Commands of another person wait for that person, unless the device is a station. */
export const here: { person: number | null; station: string | null } = { person: null, station: null };

let device = "";

async function deviceName(): Promise<string> {
  if (device === "") {
    const old = await fact<string>("device");
    device = old ?? `page-${uuid().slice(0, 8)}`;
    if (old === undefined) await setFact("device", device);
  }
  return device;
}

/* Answers about who sends, not about what is sent. */
const WHO = ["person-other", "sign-in-needed", "station-needed", "sign-in-person"];

/* Nobody is signed in, or too many at once: then it waits, it is not wrong. */
function isAboutCommand(problem: Problem): boolean {
  return problem.status !== 401 && problem.status !== 429 && problem.status < 500 && !WHO.includes(problem.code);
}

/* A station sends for everybody who stepped up there; elsewhere the session has to be one's own. */
async function deliver(body: object, person: number, isLate: boolean): Promise<Sent> {
  if (here.station === null && here.person !== person) return { kind: "later" };
  try {
    const headers: Record<string, string> = isLate && here.station !== null ? { "X-Plumule-Queue": "1" } : {};
    const answer = await send<{ answers: Answer[] }>("POST", "/entries", body, headers);
    return { kind: "taken", answer: answer.answers[0] ?? {} };
  } catch (error) {
    if (error instanceof Refused && isAboutCommand(error.problem)) return { kind: "refused", problem: error.problem };
    if (error instanceof Refused && WHO.includes(error.problem.code)) signedOut.call();
    if (error instanceof Refused || error instanceof Unreached) return { kind: "unreached" };
    throw error;
  }
}

/* One that the house has set aside and that is tried again is settled with it, both or neither; where
 * somebody settled it meanwhile it goes alone. */
async function post(item: Queued, isLate: boolean): Promise<Sent> {
  const command = { ...item.command, device_time: new Date().toISOString() };
  if (item.aside?.state === "known" && item.aside.entry !== null) {
    const settle = {
      kind: "settle", uuid: item.aside.settle, person: item.person, device: item.command["device"], aside: item.aside.entry,
      outcome: "told-again", reason: t("ui.queue.settled"),
    };
    const sent = await deliver({ commands: [command, settle] }, item.person, isLate);
    if (sent.kind !== "refused" || sent.problem.code !== "aside-unknown") return sent;
  }
  return deliver(command, item.person, isLate);
}

/* Under another number already, from another window or by another name of the device: then it is known. */
async function setAside(item: Queued): Promise<Sent> {
  const { problem } = item;
  if (problem === null) return { kind: "later" };
  const sent = await deliver(asideOf({ ...item, problem }), item.person, true);
  if (sent.kind !== "refused" || sent.problem.code !== "uuid-reused") return sent;
  return { kind: "taken", answer: { entry: Number(sent.problem.values?.[1] ?? 0) } };
}

const queue = new Queue(
  {
    all: () => all<Queued>("queue"),
    put: (item) => put("queue", item),
    remove: (seq) => remove("queue", seq),
    nextSeq: async () => {
      const next = ((await fact<number>("seq")) ?? 0) + 1;
      await setFact("seq", next);
      return next;
    },
  },
  post,
  setAside,
  uuid,
  (items) => {
    queued.value = items;
  },
);

export function loadQueue(): Promise<void> {
  return queue.load();
}

/* One window at a time sends; the others see the result in the shared store. */
export async function flushQueue(): Promise<void> {
  const open = () => queued.value.filter((x) => x.state === "waiting" || isUntold(x)).length;
  const before = open();
  if (before === 0) return;
  if ("locks" in navigator) await navigator.locks.request("plumule-queue", () => queue.flush());
  else await queue.flush();
  if (open() < before) refresh();
}

export function dropQueued(seq: number): Promise<void> {
  return queue.drop(seq);
}

export function sendAgain(seq: number): Promise<void> {
  return queue.again(seq);
}

/* The command as it goes out: whoever presses, the device and the moment of the press belong to it. */
export async function tell(command: Command, person: number, sentence: string, id: string): Promise<Sent> {
  const sent = await queue.tell({
    uuid: id, person, sentence, pressed_ms: now(),
    command: { at: new Date(now()).toISOString(), ...command, person, device: await deviceName() },
  });
  if (sent.kind === "taken") refresh();
  return sent;
}

/* What signs goes straight to the server: a password is never kept on a device. */
export async function sign(commands: Command[], person: number, password: string, id: string): Promise<Answer[]> {
  const named = commands.map((c, i) => ({
    ...c, person, device: device || "page", uuid: i === 0 ? id : uuid(),
  }));
  const body = named.length === 1 ? { command: named[0], password } : { commands: named, password };
  const answer = await send<{ answers: Answer[] }>("POST", "/entries", body);
  refresh();
  return answer.answers;
}

/* Taken and rolled back by the server: what it would do, and what it says in the record's own words. */
export async function tryOut(command: Command, person: number): Promise<{ answer: Answer; read: ReadBack | null }> {
  const body = await send<{ answers: Answer[]; read: ReadBack[] }>("POST", "/entries/dry", { ...command, person, uuid: uuid() });
  return { answer: body.answers[0] ?? {}, read: body.read[0] ?? null };
}

export function asProblem(error: unknown): Problem {
  if (error instanceof Refused) return error.problem;
  return ownProblem("unreached", error instanceof Error ? error.message : String(error));
}
