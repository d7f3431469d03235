// Makes PNGs small: 8 bits of palette for each point. Reads what Chromium writes, truecolour without interlace.

import { deflateSync, inflateSync } from 'node:zlib';

const SIGNATURE = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
const COLOURS = 256;

const TABLE = Uint32Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let k = 0; k < 8; k += 1) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  return c;
});

function crc(bytes) {
  let c = 0xffffffff;
  for (const byte of bytes) c = TABLE[(c ^ byte) & 0xff] ^ (c >>> 8);
  return (c ^ 0xffffffff) >>> 0;
}

function chunk(type, data) {
  const body = Buffer.concat([Buffer.from(type, 'latin1'), data]);
  const out = Buffer.alloc(body.length + 8);
  out.writeUInt32BE(data.length, 0);
  body.copy(out, 4);
  out.writeUInt32BE(crc(body), body.length + 4);
  return out;
}

/** Width, height and the points of a picture, three bytes each. */
function read(png) {
  const data = [];
  let head;
  for (let at = 8; at < png.length; ) {
    const length = png.readUInt32BE(at);
    const type = png.toString('latin1', at + 4, at + 8);
    const body = png.subarray(at + 8, at + 8 + length);
    if (type === 'IHDR') head = body;
    if (type === 'IDAT') data.push(body);
    at += length + 12;
  }
  const [width, height, size] = [head.readUInt32BE(0), head.readUInt32BE(4), head[9] === 6 ? 4 : 3];
  const raw = inflateSync(Buffer.concat(data));
  const line = width * size;
  const points = Buffer.alloc(width * height * 3);
  let above = Buffer.alloc(line);
  for (let y = 0; y < height; y += 1) {
    const filter = raw[y * (line + 1)];
    const now = Buffer.from(raw.subarray(y * (line + 1) + 1, (y + 1) * (line + 1)));
    for (let i = 0; i < line; i += 1) {
      const [a, b, c] = [i < size ? 0 : now[i - size], above[i], i < size ? 0 : above[i - size]];
      const p = a + b - c;
      const [pa, pb, pc] = [Math.abs(p - a), Math.abs(p - b), Math.abs(p - c)];
      const paeth = pa <= pb && pa <= pc ? a : pb <= pc ? b : c;
      now[i] += [0, a, b, (a + b) >> 1, paeth][filter];
    }
    for (let x = 0; x < width; x += 1) now.copy(points, (y * width + x) * 3, x * size, x * size + 3);
    above = now;
  }
  return { width, height, points };
}

/** The same picture in its most frequent colours; all others become the nearest of them. */
export function small(png) {
  const { width, height, points } = read(png);
  const count = new Map();
  // Five bits a channel are enough to tell letters and wires.
  const coarse = (at) => ((points[at] & 0xf8) << 16) | ((points[at + 1] & 0xf8) << 8) | (points[at + 2] & 0xf8);
  for (let at = 0; at < points.length; at += 3) count.set(coarse(at), (count.get(coarse(at)) ?? 0) + 1);
  const kept = [...count].sort((a, b) => b[1] - a[1] || a[0] - b[0]).slice(0, COLOURS).map(([colour]) => colour);
  const index = new Map(kept.map((colour, i) => [colour, i]));
  const channels = (c) => [c >> 16, (c >> 8) & 0xff, c & 0xff];
  const nearest = (colour) => {
    const [r, g, b] = channels(colour);
    const away = kept.map((other) => channels(other)).map(([x, y, z]) => (r - x) ** 2 + (g - y) ** 2 + (b - z) ** 2);
    return away.indexOf(Math.min(...away));
  };
  const raw = Buffer.alloc((width + 1) * height);
  for (let y = 0; y < height; y += 1) {
    for (let x = 0; x < width; x += 1) {
      const colour = coarse((y * width + x) * 3);
      if (!index.has(colour)) index.set(colour, nearest(colour));
      raw[y * (width + 1) + 1 + x] = index.get(colour);
    }
  }
  const head = Buffer.from([0, 0, 0, 0, 0, 0, 0, 0, 8, 3, 0, 0, 0]);
  head.writeUInt32BE(width, 0);
  head.writeUInt32BE(height, 4);
  // Full white stays white.
  const full = (channel) => (channel === 0xf8 ? 0xff : channel);
  const palette = Buffer.from(kept.flatMap((colour) => channels(colour).map(full)));
  return Buffer.concat([
    SIGNATURE,
    chunk('IHDR', head),
    chunk('PLTE', palette),
    chunk('IDAT', deflateSync(raw, { level: 9, memLevel: 9 })),
    chunk('IEND', Buffer.alloc(0)),
  ]);
}
