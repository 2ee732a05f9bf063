import assert from "node:assert/strict";
import { pbkdf2Sync } from "node:crypto";
import { test } from "node:test";
import type { Me } from "../../../ui/src/api/types";
import { badgeOwner, PIN_TRIES, pinHash, remember, rememberBadge, tryPin } from "../../../ui/src/offline/pin";

const ROUNDS = 1000; /* as many as a test can wait for */
const me = { person: 5, name: "Cotyledon 5" } as Me;

test("the hash is PBKDF2 with SHA-256, as another library has it", async () => {
  const salt = "00112233445566778899aabbccddeeff";
  const other = pbkdf2Sync("2468", Buffer.from(salt, "hex"), ROUNDS, 32, "sha256").toString("hex");
  assert.equal(await pinHash("2468", salt, ROUNDS), other);
});

test("the right PIN fits, a wrong one counts, the right one sets the count back", async () => {
  const known = await remember(me, "2468", ROUNDS);
  const wrong = await tryPin(known, "1111", ROUNDS);
  assert.equal(wrong.isRight, false);
  assert.equal(wrong.known.wrong, 1);
  const right = await tryPin(wrong.known, "2468", ROUNDS);
  assert.equal(right.isRight, true);
  assert.equal(right.known.wrong, 0);
});

test("after five wrong ones even the right PIN is refused", async () => {
  let known = await remember(me, "2468", ROUNDS);
  for (let i = 0; i < PIN_TRIES; i++) known = (await tryPin(known, "0000", ROUNDS)).known;
  assert.equal((await tryPin(known, "2468", ROUNDS)).isRight, false);
});

test("two people with one PIN have different hashes", async () => {
  const [a, b] = [await remember(me, "2468", ROUNDS), await remember(me, "2468", ROUNDS)];
  assert.notEqual(a.hash, b.hash);
});

test("a badge finds whose it is, and nobody by another; a lock by PINs holds for it too", async () => {
  const known = await rememberBadge(me, "B-0005", await remember(me, "2468", ROUNDS), ROUNDS);
  const other = await rememberBadge({ person: 6, name: "Radicle 6" } as Me, "B-0006", undefined, ROUNDS);
  assert.equal((await badgeOwner([other, known], "B-0005", ROUNDS))?.person, 5);
  assert.equal((await badgeOwner([other, known], "B-0006", ROUNDS))?.person, 6);
  assert.equal(await badgeOwner([other, known], "B-0007", ROUNDS), null);
  assert.equal((await tryPin(known, "2468", ROUNDS)).isRight, true); /* the PIN still fits */
  assert.equal((await tryPin(other, "", ROUNDS)).isRight, false); /* no PIN is known of them */
  assert.equal(await badgeOwner([{ ...known, wrong: PIN_TRIES }], "B-0005", ROUNDS), null);
});
