import assert from "node:assert/strict";
import { createHash, generateKeyPairSync, sign } from "node:crypto";
import { test } from "node:test";
import { headBytes, isIncluded, isSigned } from "../../../ui/src/base/proof";

const sha = (...parts: Uint8Array[]) => {
  const h = createHash("sha256");
  for (const p of parts) h.update(p);
  return h.digest();
};
const leafOf = (text: string) => sha(Buffer.from([0]), Buffer.from(text));
const node = (a: Buffer, b: Buffer) => sha(Buffer.from([1]), a, b);

/* RFC 6962, 2.1 and 2.1.1 as they are written: the largest power of two smaller than n splits. */
function split(n: number): number {
  let k = 1;
  while (2 * k < n) k *= 2;
  return k;
}

function root(leaves: Buffer[]): Buffer {
  if (leaves.length === 1) return leaves[0] as Buffer;
  const k = split(leaves.length);
  return node(root(leaves.slice(0, k)), root(leaves.slice(k)));
}

function path(at: number, leaves: Buffer[]): Buffer[] {
  if (leaves.length === 1) return [];
  const k = split(leaves.length);
  return at < k
    ? [...path(at, leaves.slice(0, k)), root(leaves.slice(k))]
    : [...path(at - k, leaves.slice(k)), root(leaves.slice(0, k))];
}

function proofOf(size: number, index: number) {
  const leaves = Array.from({ length: size }, (_, i) => leafOf(`entry ${i}`));
  return {
    leaf: (leaves[index] as Buffer).toString("hex"), index, size, root: root(leaves).toString("hex"),
    path: path(index, leaves).map((p) => p.toString("hex")),
  };
}

test("every leaf of every tree up to 20 leads to its root", async () => {
  for (let size = 1; size <= 20; size++) {
    for (let index = 0; index < size; index++) {
      assert.equal(await isIncluded(proofOf(size, index)), true, `${index} of ${size}`);
    }
  }
});

test("a changed leaf, step, index or size does not", async () => {
  const p = proofOf(11, 6);
  assert.equal(await isIncluded({ ...p, leaf: leafOf("another").toString("hex") }), false);
  assert.equal(await isIncluded({ ...p, path: p.path.map((s, i) => (i === 1 ? leafOf("x").toString("hex") : s)) }), false);
  assert.equal(await isIncluded({ ...p, index: 5 }), false);
  assert.equal(await isIncluded({ ...p, index: 11 }), false);
  assert.equal(await isIncluded({ ...p, size: 3 }), false);
  assert.equal(await isIncluded({ ...p, path: p.path.slice(0, -1) }), false);
  assert.equal(await isIncluded({ ...p, path: [...p.path, p.leaf] }), false);
});

test("the signature of a head covers its size, its time and its root", async () => {
  const { privateKey, publicKey } = generateKeyPairSync("ed25519");
  const raw = publicKey.export({ type: "spki", format: "der" }).subarray(-32);
  const head = { size: 3169, signed_ms: 1795513020000, root: "ab".repeat(32) };
  const signature = sign(null, headBytes(head.size, head.signed_ms, head.root), privateKey).toString("hex");
  const whole = { ...head, public_key: raw.toString("hex"), signature };
  assert.equal(await isSigned(whole), true);
  assert.equal(await isSigned({ ...whole, size: 3170 }), false);
  assert.equal(await isSigned({ ...whole, signed_ms: head.signed_ms + 1 }), false);
  assert.equal(await isSigned({ ...whole, root: "ac".repeat(32) }), false);
});
