/* Cases of a lot by their numbers: "1-12, 40" stands for thirteen of them. */

/* The number at the end of a case's code; null where the code is not built on the lot's. */
export function caseNumber(code: string, lot: string): number | null {
  const rest = code.startsWith(`${lot}-`) ? code.slice(lot.length + 1) : "";
  return /^\d{1,9}$/.test(rest) ? Number(rest) : null;
}

/* null where it can't be read, or names more than the most. */
export function readRanges(text: string, most = 4000): number[] | null {
  const found = new Set<number>();
  for (const part of text.split(/[,;]/)) {
    if (part.trim() === "") continue;
    const range = /^\s*(\d{1,9})(?:\s*(?:-|–|\.\.)\s*(\d{1,9}))?\s*$/.exec(part);
    if (!range) return null;
    const from = Number(range[1]);
    const to = Number(range[2] ?? range[1]);
    if (to < from || to - from >= most) return null;
    for (let n = from; n <= to; n++) found.add(n);
  }
  return found.size > most ? null : [...found].sort((a, b) => a - b);
}

/* Each stretch of numbers that follow one another: its first and last. */
function stretches(numbers: number[]): [number, number][] {
  const out: [number, number][] = [];
  for (const n of [...numbers].sort((a, b) => a - b)) {
    const last = out[out.length - 1];
    if (last && n === last[1] + 1) last[1] = n;
    else out.push([n, n]);
  }
  return out;
}

export function writeRanges(numbers: number[]): string {
  return stretches(numbers).map(([from, to]) => (from === to ? String(from) : `${from}-${to}`)).join(", ");
}

/* As a command names them: "X-0001..X-0012", "X-0040". code: of a number that is there. */
export function toldCases(numbers: number[], code: (n: number) => string): string[] {
  return stretches(numbers).map(([from, to]) => (from === to ? code(from) : `${code(from)}..${code(to)}`));
}
