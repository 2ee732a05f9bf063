/* Makes a picture of a page smaller: its colours rounded to a palette, its rows packed well. */
import { deflateSync, inflateSync } from "node:zlib";

const SIGNATURE = Buffer.from([137, 80, 78, 71, 13, 10, 26, 10]); /* PNG, W3C recommendation, 5.2 (from memory) */

function crc(bytes) {
  let c = ~0;
  for (const b of bytes) {
    c ^= b;
    for (let k = 0; k < 8; k++) c = c & 1 ? (c >>> 1) ^ 0xedb88320 : c >>> 1;
  }
  return ~c >>> 0;
}

function chunk(type, data) {
  const body = Buffer.concat([Buffer.from(type, "latin1"), data]);
  const out = Buffer.alloc(body.length + 8);
  out.writeUInt32BE(data.length, 0);
  body.copy(out, 4);
  out.writeUInt32BE(crc(body), body.length + 4);
  return out;
}

function chunks(png) {
  const out = [];
  for (let at = SIGNATURE.length; at < png.length;) {
    const length = png.readUInt32BE(at);
    out.push({ type: png.toString("latin1", at + 4, at + 8), data: png.subarray(at + 8, at + 8 + length) });
    at += length + 12;
  }
  return out;
}

function paeth(a, b, c) {
  const p = a + b - c, pa = Math.abs(p - a), pb = Math.abs(p - b), pc = Math.abs(p - c);
  return pa <= pb && pa <= pc ? a : pb <= pc ? b : c;
}

/* The bytes of eight-bit rows, their filters undone. */
function unfiltered(raw, width, height, depth) {
  const row = width * depth;
  const out = Buffer.alloc(row * height);
  for (let y = 0; y < height; y++) {
    const filter = raw[y * (row + 1)];
    for (let x = 0; x < row; x++) {
      const a = x >= depth ? out[y * row + x - depth] : 0;
      const b = y > 0 ? out[(y - 1) * row + x] : 0;
      const c = x >= depth && y > 0 ? out[(y - 1) * row + x - depth] : 0;
      const add = filter === 0 ? 0 : filter === 1 ? a : filter === 2 ? b : filter === 3 ? (a + b) >> 1 : paeth(a, b, c);
      out[y * row + x] = (raw[y * (row + 1) + 1 + x] + add) & 255;
    }
  }
  return out;
}

/* The most used colours, and for each other one the nearest of them. */
function paletteOf(colours) {
  const counts = new Map();
  for (const c of colours) counts.set(c, (counts.get(c) ?? 0) + 1);
  const palette = [...counts].sort((a, b) => b[1] - a[1]).slice(0, 256).map(([c]) => c);
  const far = (a, b) => ((a >> 16) - (b >> 16)) ** 2 + (((a >> 8) & 255) - ((b >> 8) & 255)) ** 2 + ((a & 255) - (b & 255)) ** 2;
  const index = new Map(palette.map((c, i) => [c, i]));
  for (const c of counts.keys()) {
    if (!index.has(c)) index.set(c, palette.reduce((best, p, i) => (far(p, c) < far(palette[best], c) ? i : best), 0));
  }
  return { palette, index };
}

/* An RGB or RGBA screenshot as a picture of at most 256 colours. */
export function smaller(png) {
  const parts = chunks(png);
  const head = parts.find((p) => p.type === "IHDR").data;
  const width = head.readUInt32BE(0), height = head.readUInt32BE(4), depth = head[9] === 6 ? 4 : 3;
  const pixels = unfiltered(inflateSync(Buffer.concat(parts.filter((p) => p.type === "IDAT").map((p) => p.data))), width, height, depth);
  const colours = new Uint32Array(width * height);
  for (let i = 0; i < colours.length; i++) colours[i] = (pixels[i * depth] << 16) | (pixels[i * depth + 1] << 8) | pixels[i * depth + 2];
  const { palette, index } = paletteOf(colours);
  const rows = Buffer.alloc((width + 1) * height);
  for (let y = 0; y < height; y++) for (let x = 0; x < width; x++) rows[y * (width + 1) + 1 + x] = index.get(colours[y * width + x]);
  const header = Buffer.from(head);
  header[9] = 3; /* by palette */
  const table = Buffer.from(palette.flatMap((c) => [c >> 16, (c >> 8) & 255, c & 255]));
  return Buffer.concat([SIGNATURE, chunk("IHDR", header), chunk("PLTE", table), chunk("IDAT", deflateSync(rows, { level: 9 })), chunk("IEND", Buffer.alloc(0))]);
}
