/* What a proposed profile changes, section by section: entries that are new, gone or told otherwise. */

export interface Difference {
  section: string;
  name: string;
  what: "new" | "gone" | "other";
}

type Entry = Record<string, unknown>;

function isEntry(value: unknown): value is Entry {
  return value !== null && typeof value === "object" && !Array.isArray(value);
}

/* By what an entry of a list is known: the member named like its section, and whom it is for. */
const NAMES = ["limit", "step", "clause", "market", "recipe", "surface", "crop", "source", "id", "name", "code", "item"];
const FOR = ["items", "lots", "places"];

function nameOf(entry: unknown, at: number): string {
  if (!isEntry(entry)) return String(entry);
  const key = NAMES.find((n) => typeof entry[n] === "string");
  const whom = FOR.map((f) => entry[f]).find(Array.isArray) as unknown[] | undefined;
  return [key ? String(entry[key]) : String(at + 1), whom ? `(${whom.join(", ")})` : ""].filter((x) => x !== "").join(" ");
}

function named(section: unknown): Map<string, string> {
  const out = new Map<string, string>();
  const add = (name: string, value: unknown) => {
    let key = name;
    for (let n = 2; out.has(key); n++) key = `${name} ${n}`;
    out.set(key, JSON.stringify(value));
  };
  if (Array.isArray(section)) section.forEach((e, i) => add(nameOf(e, i), e));
  else if (isEntry(section)) for (const [k, v] of Object.entries(section)) add(k, v);
  else add("", section);
  return out;
}

export function differences(now: Entry, next: Entry): Difference[] {
  const out: Difference[] = [];
  for (const section of [...new Set([...Object.keys(now), ...Object.keys(next)])]) {
    const before = section in now ? named(now[section]) : new Map<string, string>();
    const after = section in next ? named(next[section]) : new Map<string, string>();
    for (const [name, text] of after) {
      const old = before.get(name);
      if (old === undefined) out.push({ section, name, what: "new" });
      else if (old !== text) out.push({ section, name, what: "other" });
    }
    for (const name of before.keys()) if (!after.has(name)) out.push({ section, name, what: "gone" });
  }
  return out;
}
