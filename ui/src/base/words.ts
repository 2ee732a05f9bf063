/* All text a page shows of its own comes from the catalogue of the reader's language. */
import { signal } from "@preact/signals";

export type Words = Record<string, string>;
export type Values = Record<string, string | number>;

/* "xx" is a made-up language: English, stretched and accented, to find text outside the catalogue. */
export const language = signal<string>("en");
const words = signal<Words>({});

const LETTERS = "aeioucnsyzAEIOUCNSYZ";
const ACCENTS = "àéîöüçñšÿžÀÉÎÖÜÇÑŠŸŽ";

export function stretch(text: string): string {
  let out = "";
  let inside = 0;
  for (const letter of text) {
    if (letter === "{") inside++;
    if (letter === "}") inside--;
    const at = LETTERS.indexOf(letter);
    out += inside === 0 && at >= 0 ? ACCENTS[at] : letter;
  }
  const more = Math.ceil(text.length * 0.3);
  return `⟦${out}${"·".repeat(more)}⟧`;
}

export function stretchAll(from: Words): Words {
  const out: Words = {};
  for (const [key, text] of Object.entries(from)) out[key] = stretch(text);
  return out;
}

export async function loadWords(wanted: string): Promise<void> {
  const file = wanted === "xx" ? "en" : wanted;
  const answer = await fetch(`/words/${file}.json`);
  const read = (await answer.json()) as Words;
  words.value = wanted === "xx" ? stretchAll(read) : read;
  language.value = wanted;
  document.documentElement.lang = file;
}

export function setWords(of: string, catalogue: Words): void {
  words.value = catalogue;
  language.value = of;
}

/* {0} is the first of the values, {1} the second: their names at the call say what they are. */
export function fill(text: string, values?: Values): string {
  if (!values) return text;
  const list = Object.values(values);
  return text.replace(/\{(\d)\}/g, (whole, at: string) => {
    const value = list[Number(at)];
    return value === undefined ? whole : String(value);
  });
}

/* The text of a key; a key that is missing shows itself, so that it is seen and mended. */
export function t(key: string, values?: Values): string {
  return fill(words.value[key] ?? key, values);
}

/* The same for a count: the keys end in ".one" and ".other". */
export function tn(key: string, n: number, values?: Values): string {
  return t(`${key}.${n === 1 ? "one" : "other"}`, { n, ...values });
}

/* A word for a code of the record; the code itself where the catalogue has none. */
export function word(group: string, code: string): string {
  return words.value[`ui.${group}.${code}`] ?? code;
}
