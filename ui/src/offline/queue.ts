/* Commands that were pressed and have not reached the server. They go in order; one that the server
 * refuses is told to the house as it is and waits for a person, and the rest go on. */
import type { Answer, Command, Problem } from "../api/types";

/* Does the house know of one that was refused? settle: the uuid under which it will be settled. */
export interface Aside {
  state: "unsent" | "known" | "refused";
  entry: number | null;
  settle: string;
}

export interface Queued {
  seq: number; /* of this device, rising */
  uuid: string;
  command: Command;
  sentence: string; /* what was read back when it was pressed */
  person: number;
  pressed_ms: number;
  state: "waiting" | "needs-you";
  problem: Problem | null;
  aside?: Aside; /* of one that was refused after it had waited */
}

/* Refused, and the house does not know of it yet. */
export function isUntold(item: Queued): boolean {
  return item.state === "needs-you" && (item.aside === undefined || item.aside.state === "unsent");
}

export type Sent =
  | { kind: "taken"; answer: Answer }
  | { kind: "refused"; problem: Problem }
  | { kind: "unreached" }
  | { kind: "later" }; /* not by whoever is here now */

export interface QueueStore {
  all(): Promise<Queued[]>;
  put(item: Queued): Promise<void>;
  remove(seq: number): Promise<void>;
  nextSeq(): Promise<number>;
}

export class Queue {
  private busy: Promise<void> | null = null;

  constructor(
    private readonly store: QueueStore,
    private readonly send: (item: Queued, isLate: boolean) => Promise<Sent>,
    private readonly setAside: (item: Queued) => Promise<Sent>,
    private readonly newUuid: () => string,
    private readonly changed: (items: Queued[]) => void,
  ) {}

  async load(): Promise<void> {
    const items = await this.store.all();
    items.sort((a, b) => a.seq - b.seq);
    this.changed(items);
  }

  /* Keeps the command first and sends it then: a device that dies in between loses nothing.
   * What the server refuses at once is told to whoever pressed, and is not kept. */
  async tell(
    told: Omit<Queued, "seq" | "state" | "problem" | "aside">,
  ): Promise<Sent> {
    const seq = await this.store.nextSeq();
    const item: Queued = {
      ...told, seq, state: "waiting", problem: null,
      command: { ...told.command, uuid: told.uuid },
    };
    await this.store.put(item);
    await this.load();
    await this.flush(seq);
    const still = (await this.store.all()).find((x) => x.seq === seq);
    if (!still) return this.last.get(seq) ?? { kind: "unreached" };
    if (still.state === "waiting") return { kind: "unreached" };
    await this.drop(seq);
    return { kind: "refused", problem: still.problem as Problem };
  }

  private readonly last = new Map<number, Sent>();

  /* Sends what waits, oldest first, until the server can't be reached. fresh: the seq just pressed. */
  async flush(fresh = -1): Promise<void> {
    while (this.busy) await this.busy;
    this.busy = this.sendAll(fresh).finally(() => {
      this.busy = null;
    });
    await this.busy;
  }

  private async sendAll(fresh: number): Promise<void> {
    const items = (await this.store.all()).sort((a, b) => a.seq - b.seq);
    for (const item of items) {
      if (item.state !== "waiting") continue;
      const sent = await this.send(item, item.seq !== fresh);
      if (sent.kind === "unreached") return this.load();
      if (sent.kind === "later") continue;
      if (sent.kind === "taken") {
        await this.store.remove(item.seq);
        if (item.seq === fresh) this.last.set(item.seq, sent);
      } else {
        await this.store.put({ ...item, state: "needs-you", problem: sent.problem });
      }
    }
    await this.load();
    await this.tellOfRefused(fresh);
    await this.load();
  }

  /* Whoever pressed the fresh one is told on the spot; the others would stay unheard of. */
  private async tellOfRefused(fresh: number): Promise<void> {
    for (const item of (await this.store.all()).sort((a, b) => a.seq - b.seq)) {
      if (!isUntold(item) || item.seq === fresh) continue;
      const sent = await this.setAside(item);
      if (sent.kind === "unreached") return;
      if (sent.kind === "later") continue;
      const now = (await this.store.all()).find((x) => x.seq === item.seq);
      if (now === undefined || !isUntold(now)) continue; /* given up, or tried again meanwhile */
      const entry = sent.kind === "taken" ? Number(sent.answer["entry"] ?? 0) || null : null;
      await this.store.put({ ...now, aside: { state: sent.kind === "taken" ? "known" : "refused", entry, settle: this.newUuid() } });
    }
  }

  /* A person looked at it and gives it up. */
  async drop(seq: number): Promise<void> {
    await this.store.remove(seq);
    await this.load();
  }

  /* A person wants it tried again, under its own uuid: a server that took it answers the same. */
  async again(seq: number): Promise<void> {
    const item = (await this.store.all()).find((x) => x.seq === seq);
    if (!item) return;
    await this.store.put({ ...item, state: "waiting", problem: null });
    await this.flush();
  }
}
