import assert from "node:assert/strict";
import { test } from "node:test";
import type { Problem } from "../../../ui/src/api/types";
import { isUntold, Queue, type Queued, type Sent } from "../../../ui/src/offline/queue";

const problem: Problem = {
  type: "about:blank", title: "", status: 422, detail: "There is no lot X.", code: "lot-unknown", field: "lot",
  values: null, line: null, column: null,
};

class Device {
  kept = new Map<number, Queued>();
  seq = 0;
  isUp = true;
  refuses = new Set<string>();
  others = new Set<string>();
  got: { uuid: string; isLate: boolean }[] = [];
  aside: string[] = []; /* what the house was told of */
  hears: Sent["kind"] = "taken"; /* how the house answers to that */
  shown: Queued[] = [];
  queue = this.restart();

  restart(): Queue {
    return new Queue(
      {
        all: async () => [...this.kept.values()],
        put: async (item) => void this.kept.set(item.seq, item),
        remove: async (seq) => void this.kept.delete(seq),
        nextSeq: async () => ++this.seq,
      },
      (item, isLate) => this.send(item, isLate),
      (item) => this.setAside(item),
      () => "a-new-uuid",
      (items) => {
        this.shown = items;
      },
    );
  }

  async send(item: Queued, isLate: boolean): Promise<Sent> {
    if (!this.isUp) return { kind: "unreached" };
    if (this.others.has(item.uuid)) return { kind: "later" };
    if (this.refuses.has(item.uuid)) return { kind: "refused", problem };
    this.got.push({ uuid: item.uuid, isLate });
    return { kind: "taken", answer: { entry: this.got.length } };
  }

  async setAside(item: Queued): Promise<Sent> {
    if (this.hears === "taken") this.aside.push(item.uuid);
    return this.hears === "taken" ? { kind: "taken", answer: { entry: 70 + this.aside.length } }
      : this.hears === "refused" ? { kind: "refused", problem } : { kind: this.hears };
  }

  tell(uuid: string): Promise<Sent> {
    return this.queue.tell({ uuid, command: { kind: "water" }, sentence: uuid, person: 5, pressed_ms: 1 });
  }
}

test("what reaches the server is answered and not kept", async () => {
  const d = new Device();
  assert.deepEqual(await d.tell("a"), { kind: "taken", answer: { entry: 1 } });
  assert.equal(d.kept.size, 0);
  assert.deepEqual(d.got, [{ uuid: "a", isLate: false }]);
});

test("without the server commands are kept in order and go out in order, as late ones", async () => {
  const d = new Device();
  d.isUp = false;
  for (const uuid of ["a", "b", "c"]) assert.deepEqual(await d.tell(uuid), { kind: "unreached" });
  assert.deepEqual(d.shown.map((x) => [x.seq, x.uuid, x.state]), [[1, "a", "waiting"], [2, "b", "waiting"], [3, "c", "waiting"]]);
  d.isUp = true;
  await d.queue.flush();
  assert.deepEqual(d.got, ["a", "b", "c"].map((uuid) => ({ uuid, isLate: true })));
  assert.equal(d.kept.size, 0);
});

test("each command carries its own uuid to the server", async () => {
  const d = new Device();
  d.isUp = false;
  await d.tell("a");
  assert.equal([...d.kept.values()][0]?.command["uuid"], "a");
});

test("one that is refused later waits for a person, and the rest go on", async () => {
  const d = new Device();
  d.isUp = false;
  for (const uuid of ["a", "bad", "c"]) await d.tell(uuid);
  d.isUp = true;
  d.refuses.add("bad");
  await d.queue.flush();
  assert.deepEqual(d.got.map((x) => x.uuid), ["a", "c"]);
  assert.deepEqual(d.shown.map((x) => [x.uuid, x.state, x.problem?.detail]), [["bad", "needs-you", "There is no lot X."]]);
});

test("one that is refused at once is told to whoever pressed, and is not kept", async () => {
  const d = new Device();
  d.refuses.add("bad");
  assert.deepEqual(await d.tell("bad"), { kind: "refused", problem });
  assert.equal(d.kept.size, 0);
  assert.deepEqual(d.aside, []); /* who pressed knows */
});

async function refusedLater(): Promise<Device> {
  const d = new Device();
  d.isUp = false;
  for (const uuid of ["bad", "b"]) await d.tell(uuid);
  d.isUp = true;
  d.refuses.add("bad");
  return d;
}

test("the house is told once of one that was refused later, however often the device starts anew", async () => {
  const d = await refusedLater();
  await d.queue.flush();
  assert.deepEqual(d.aside, ["bad"]);
  assert.deepEqual(d.shown.map((x) => x.aside), [{ state: "known", entry: 71, settle: "a-new-uuid" }]);
  for (let i = 0; i < 2; i++) {
    d.queue = d.restart();
    await d.queue.load();
    await d.queue.flush();
  }
  assert.deepEqual(d.aside, ["bad"]);
});

test("what the house could not hear of is told when it can", async () => {
  const d = await refusedLater();
  d.hears = "unreached";
  await d.queue.flush();
  assert.deepEqual(d.shown.map(isUntold), [true]);
  d.hears = "later"; /* whoever is here now is somebody else */
  await d.queue.flush();
  assert.deepEqual(d.shown.map(isUntold), [true]);
  d.hears = "taken";
  await d.queue.flush();
  assert.deepEqual([d.aside, d.shown.map(isUntold)], [["bad"], [false]]);
});

test("what the house cannot keep stays with the device and is not sent for ever", async () => {
  const d = await refusedLater();
  d.hears = "refused";
  await d.queue.flush();
  assert.deepEqual(d.shown.map((x) => [x.state, x.aside?.state]), [["needs-you", "refused"]]);
  d.hears = "taken";
  await d.queue.flush();
  assert.deepEqual(d.aside, []);
});

test("one refused again when it is tried again is told to the house only once", async () => {
  const d = await refusedLater();
  await d.queue.flush();
  await d.queue.again(1);
  assert.deepEqual([d.aside, d.shown.map((x) => [x.state, x.aside?.entry])], [["bad"], [["needs-you", 71]]]);
  d.refuses.delete("bad");
  await d.queue.again(1);
  assert.deepEqual([d.kept.size, d.aside], [0, ["bad"]]);
});

test("a command behind an older one does not overtake it", async () => {
  const d = new Device();
  d.isUp = false;
  await d.tell("a");
  d.isUp = true;
  await d.tell("b");
  assert.deepEqual(d.got, [{ uuid: "a", isLate: true }, { uuid: "b", isLate: false }]);
});

test("the queue survives the device being started anew", async () => {
  const d = new Device();
  d.isUp = false;
  await d.tell("a");
  d.queue = d.restart();
  await d.queue.load();
  assert.deepEqual(d.shown.map((x) => x.uuid), ["a"]);
  d.isUp = true;
  await d.queue.flush();
  assert.deepEqual(d.got.map((x) => x.uuid), ["a"]);
});

test("trying again sends the same uuid, giving up drops it", async () => {
  const d = new Device();
  d.isUp = false;
  await d.tell("bad");
  await d.tell("worse");
  d.isUp = true;
  d.refuses.add("bad").add("worse");
  await d.queue.flush();
  d.refuses.delete("bad");
  await d.queue.again(1);
  assert.deepEqual(d.got, [{ uuid: "bad", isLate: true }]);
  await d.queue.drop(2);
  assert.equal(d.kept.size, 0);
});

test("two flushes at a time send each command once", async () => {
  const d = new Device();
  d.isUp = false;
  for (const uuid of ["a", "b"]) await d.tell(uuid);
  d.isUp = true;
  await Promise.all([d.queue.flush(), d.queue.flush()]);
  assert.deepEqual(d.got.map((x) => x.uuid), ["a", "b"]);
});

test("what another person pressed waits for that person, and the rest go on", async () => {
  const d = new Device();
  d.isUp = false;
  for (const uuid of ["a", "other", "c"]) await d.tell(uuid);
  d.isUp = true;
  d.others.add("other");
  await d.queue.flush();
  assert.deepEqual(d.got.map((x) => x.uuid), ["a", "c"]);
  assert.deepEqual(d.shown.map((x) => [x.uuid, x.state]), [["other", "waiting"]]);
});
