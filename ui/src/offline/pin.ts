/* Who used this device before can step up with a PIN or a badge while the server can't be reached.
 * What is kept is PBKDF2 of either; the server asks again when it is back. */
import type { Me } from "../api/types";
import { fromHex, toHex } from "../base/uuid";

export const PIN_ROUNDS = 310000; /* common practice for PBKDF2-SHA-256 */
export const PIN_TRIES = 5;

export interface KnownPerson {
  person: number;
  name: string | null;
  salt: string;
  hash: string; /* "": only the badge is known here */
  wrong: number;
  badge?: { salt: string; hash: string };
  me: Me;
}

export async function pinHash(pin: string, salt: string, rounds = PIN_ROUNDS): Promise<string> {
  const key = await crypto.subtle.importKey("raw", new TextEncoder().encode(pin), "PBKDF2", false, ["deriveBits"]);
  const bits = await crypto.subtle.deriveBits(
    { name: "PBKDF2", hash: "SHA-256", salt: fromHex(salt), iterations: rounds }, key, 256);
  return toHex(new Uint8Array(bits));
}

export async function remember(me: Me, pin: string, rounds = PIN_ROUNDS): Promise<KnownPerson> {
  const salt = toHex(crypto.getRandomValues(new Uint8Array(16)));
  return {
    person: me.person as number, name: me.name, salt, hash: await pinHash(pin, salt, rounds), wrong: 0, me,
  };
}

/* The person with one wrong try more, or none; isRight says whether the PIN fits. */
export async function tryPin(
  known: KnownPerson, pin: string, rounds = PIN_ROUNDS,
): Promise<{ isRight: boolean; known: KnownPerson }> {
  if (known.wrong >= PIN_TRIES || known.hash === "") return { isRight: false, known };
  const isRight = (await pinHash(pin, known.salt, rounds)) === known.hash;
  return { isRight, known: { ...known, wrong: isRight ? 0 : known.wrong + 1 } };
}

/* A badge that the server has just taken, beside what is known of the person already. */
export async function rememberBadge(
  me: Me, code: string, before: KnownPerson | undefined, rounds = PIN_ROUNDS,
): Promise<KnownPerson> {
  const salt = toHex(crypto.getRandomValues(new Uint8Array(16)));
  const blank = { person: me.person as number, salt: "", hash: "", wrong: 0 };
  return { ...(before ?? blank), name: me.name, me, badge: { salt, hash: await pinHash(code, salt, rounds) } };
}

/* Whose badge it is, of those whom this device knows; who is locked out by wrong PINs stays so. */
export async function badgeOwner(
  known: KnownPerson[], code: string, rounds = PIN_ROUNDS,
): Promise<KnownPerson | null> {
  for (const one of known) {
    if (!one.badge || one.wrong >= PIN_TRIES) continue;
    if ((await pinHash(code, one.badge.salt, rounds)) === one.badge.hash) return one;
  }
  return null;
}
