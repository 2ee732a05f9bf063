/* Checks in the browser that an entry is part of the tree a head was signed for (RFC 6962; RFC 9162 2.1.3.2). */
import { fromHex, toHex } from "./uuid";

export interface Inclusion {
  leaf: string;
  index: number;
  size: number;
  path: string[];
  root: string;
}

async function node(left: Uint8Array, right: Uint8Array): Promise<Uint8Array> {
  const bytes = new Uint8Array(1 + left.length + right.length);
  bytes[0] = 1;
  bytes.set(left, 1);
  bytes.set(right, 1 + left.length);
  return new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
}

/* index counts from 0; division instead of shifts keeps sizes above 2^31 right. */
export async function isIncluded(p: Inclusion): Promise<boolean> {
  if (!(p.index >= 0 && p.index < p.size)) return false;
  let at = p.index;
  let last = p.size - 1;
  let hash: Uint8Array = fromHex(p.leaf);
  for (const step of p.path) {
    if (last === 0) return false;
    const beside = fromHex(step);
    if (at % 2 === 1 || at === last) {
      hash = await node(beside, hash);
      while (at % 2 === 0 && at !== 0) {
        at = Math.floor(at / 2);
        last = Math.floor(last / 2);
      }
    } else {
      hash = await node(hash, beside);
    }
    at = Math.floor(at / 2);
    last = Math.floor(last / 2);
  }
  return last === 0 && toHex(hash) === p.root.toLowerCase();
}

/* The 56 bytes a head's signature covers: size, when, root, and the eight letters. */
export function headBytes(size: number, signed_ms: number, root: string): Uint8Array<ArrayBuffer> {
  const out = new Uint8Array(56);
  const view = new DataView(out.buffer);
  view.setBigUint64(0, BigInt(size));
  view.setBigUint64(8, BigInt(signed_ms));
  out.set(fromHex(root), 16);
  out.set(new TextEncoder().encode("plumule1"), 48);
  return out;
}

/* null: this browser can't check Ed25519. */
export async function isSigned(
  head: { size: number; signed_ms: number; root: string; public_key: string; signature: string },
): Promise<boolean | null> {
  try {
    const key = await crypto.subtle.importKey("raw", fromHex(head.public_key), "Ed25519", false, ["verify"]);
    return await crypto.subtle.verify("Ed25519", key, fromHex(head.signature),
      headBytes(head.size, head.signed_ms, head.root));
  } catch {
    return null;
  }
}
