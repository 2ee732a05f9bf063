/* The contrast of the tokens as WCAG 2.2 defines it (relative luminance, 1.4.3 and 1.4.6). */
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";

declare const SOURCE_ROOT: string;
const css = readFileSync(`${SOURCE_ROOT}/ui/style.css`, "utf8");

function tokens(block: string): Map<string, string> {
  const out = new Map<string, string>();
  for (const m of block.matchAll(/--([a-z0-9-]+):\s*(#[0-9a-f]{6})/g)) out.set(m[1] as string, m[2] as string);
  return out;
}

function luminance(hex: string): number {
  const part = (at: number) => {
    const c = parseInt(hex.slice(at, at + 2), 16) / 255;
    return c <= 0.03928 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  };
  return 0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5);
}

function contrast(a: string, b: string): number {
  const [x, y] = [luminance(a), luminance(b)];
  return (Math.max(x, y) + 0.05) / (Math.min(x, y) + 0.05);
}

const darkAt = css.indexOf("@media (prefers-color-scheme: dark)");
const light = tokens(css.slice(0, darkAt));
const themes = { light, dark: new Map([...light, ...tokens(css.slice(darkAt))]) };
const TONES = ["due", "waiting", "stopped", "done"];

function pairs(): [string, string, number, string][] {
  const out: [string, string, number, string][] = [
    ["on-press", "press", 7, "what is pressed"],
    ["link", "sheet", 4.5, "links"], ["link", "ground", 4.5, "links"],
    ["ink-2", "ground", 4.5, "what stands beside"], ["ink-2", "sheet", 4.5, "what stands beside"], ["ink-2", "well", 4.5, "what stands beside"],
    ["focus", "sheet", 3, "the focus ring"], ["focus", "ground", 3, "the focus ring"],
    ["rule-strong", "sheet", 3, "edges of fields"],
    ["limit", "sheet", 4.5, "names of limits"],
    ["sheet", "done", 7, "the second press"],
  ];
  for (const ground of ["ground", "sheet", "well", ...TONES.map((x) => `${x}-tint`)]) out.push(["ink", ground, 7, "figures"]);
  for (const tone of TONES) {
    out.push([tone, "sheet", 7, "the word of a state"], [tone, `${tone}-tint`, 7, "the word of a state"], [tone, "ground", 7, "the word of a state"]);
    out.push([`${tone}-mark`, "sheet", 3, "the shape of a state"], [`${tone}-mark`, `${tone}-tint`, 3, "the shape of a state"]);
  }
  for (const line of ["ink", "blue", "orange", "purple", "green"]) out.push([`line-${line}`, "sheet", 3, "a line of a chart"]);
  return out;
}

test("the formula gives the values that are known", () => {
  assert.equal(contrast("#000000", "#ffffff"), 21);
  assert.equal(contrast("#767676", "#ffffff").toFixed(2), "4.54"); /* published (seen): WCAG understanding 1.4.3 */
});

for (const [name, theme] of Object.entries(themes)) {
  for (const [front, back, least, what] of pairs()) {
    test(`${name}: ${what}, ${front} on ${back}`, () => {
      const f = theme.get(front);
      const b = theme.get(back);
      assert.ok(f && b, `${front} or ${back} is no token`);
      const c = contrast(f, b);
      assert.ok(c >= least, `${c.toFixed(2)} is less than ${least}`);
    });
  }
}

/* How the marks look to people who lack one kind of cone: Machado, Oliveira and Fernandes 2009,
 * severity 1 (from memory: their published matrices for linear RGB). */
const BLIND: Record<string, number[]> = {
  protan: [0.152286, 1.052583, -0.204868, 0.114503, 0.786281, 0.099216, -0.003882, -0.048116, 1.051998],
  deutan: [0.367322, 0.860646, -0.227968, 0.280085, 0.672501, 0.047413, -0.01182, 0.04294, 0.968881],
};

function seen(hex: string, m: number[]): number[] {
  const rgb = [1, 3, 5].map((at) => {
    const c = parseInt(hex.slice(at, at + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  });
  return [0, 3, 6].map((row) => [0, 1, 2].reduce((s, i) => s + (m[row + i] as number) * (rgb[i] as number), 0));
}

for (const [name, theme] of Object.entries(themes)) {
  for (const [kind, matrix] of Object.entries(BLIND)) {
    test(`${name}: waiting and stopped differ for ${kind} eyes`, () => {
      const a = seen(theme.get("waiting-mark") as string, matrix);
      const b = seen(theme.get("stopped-mark") as string, matrix);
      const far = Math.hypot(...a.map((x, i) => x - (b[i] as number)));
      assert.ok(far > 0.15, `only ${far.toFixed(3)} apart`);
    });
  }
}
