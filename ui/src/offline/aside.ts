/* What a device tells the house about a command of its queue that was refused for good. */
import type { Command, Problem } from "../api/types";

/* As ledger/decide_aside.c takes them: bytes of the command, values and their length. */
const COMMAND_MAX = 8192;
const VALUES_MAX = 3;
const VALUE_MAX = 119;

export interface Refused {
  seq: number;
  uuid: string;
  command: Command;
  person: number;
  problem: Problem;
}

function bytes(text: string): number {
  return new TextEncoder().encode(text).length;
}

/* JSON with the names of each object in order. */
export function canonical(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(canonical).join(",")}]`;
  if (typeof value !== "object" || value === null) return JSON.stringify(value ?? null);
  const names = Object.entries(value).filter(([, v]) => v !== undefined).map(([k]) => k).sort();
  return `{${names.map((k) => `${JSON.stringify(k)}:${canonical((value as Record<string, unknown>)[k])}`).join(",")}}`;
}

/* The same number for the same command, whoever works it out and however often: version 8 of RFC 9562, which
 * leaves the bits to us (from memory), where the queue's own are of another version. */
export function asideUuid(uuid: string): string {
  return `${uuid.slice(0, 14)}8${uuid.slice(15)}`;
}

/* The command as text, without its longest parts where the house would not take all of it. */
export function keepable(command: Command): { text: string; leftOut: string[] } {
  const kept: Command = { ...command };
  const leftOut: string[] = [];
  let text = canonical(kept);
  while (bytes(text) > COMMAND_MAX) {
    const sizes = Object.entries(kept).filter(([k]) => k !== "kind" && k !== "uuid");
    const longest = sizes.sort(([, a], [, b]) => canonical(b).length - canonical(a).length)[0]?.[0];
    if (longest === undefined) break;
    delete kept[longest];
    leftOut.push(longest);
    text = canonical(kept);
  }
  return { text, leftOut };
}

/* No time of its own: sent twice it is the same command. */
export function asideOf(item: Refused): Command {
  const { text, leftOut } = keepable(item.command);
  const values = (item.problem.values ?? []).slice(0, VALUES_MAX).map((v) => (bytes(v) <= VALUE_MAX ? v : ""));
  while (values[values.length - 1] === "") values.pop();
  const device = item.command["device"];
  return {
    kind: "set-aside", uuid: asideUuid(item.uuid), person: item.person, number: item.seq, told: text, code: item.problem.code,
    ...(device ? { device } : {}), ...(item.problem.field ? { field: item.problem.field } : {}), values,
    ...(leftOut.length > 0 ? { left_out: leftOut } : {}),
  };
}
