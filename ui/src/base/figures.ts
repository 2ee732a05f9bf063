/* A figure of a sentence with what it counts: "668 kg", "2 days"; not a time, a date or a part of a code. */
const FIGURE = /(?<![\p{L}\d:./-])\d[\d.,]*[\u202f\u00a0 ]?(?:%|°C|C(?!\p{L})|NTU|mg\/L|L(?!\p{L})|mL|\p{Ll}+)(?![\p{L}:-])/gu;
const OF_A_DATE = / de$/; /* "23 de noviembre" */

export function figuresOf(sentence: string): string[] {
  return [...new Set([...sentence.matchAll(FIGURE)].map((m) => m[0]).filter((f) => !OF_A_DATE.test(f)))];
}
