// Makes the PNG icons of static/ from static/icon.svg with Chromium: `node tests/icons/make.mjs`. They are committed,
// since a build should need no browser. Sixteen colours in a palette are enough for a drawing in three: a fifth of the
// bytes that a browser's own PNG has.

import { readFile, writeFile } from 'node:fs/promises';
import { deflateSync } from 'node:zlib';
import { launch } from '../journeys/browser.mjs';

const folder = new URL('../../static/', import.meta.url);
const svg = await readFile(new URL('icon.svg', folder), 'utf8');

/** File, size in pixels, and the share of it that the drawing takes; below 1 the ground is filled to the edge. */
const ICONS = [
  ['icon-192.png', 192, 1],
  ['icon-512.png', 512, 1],
  // A mask may take away all but the inner 80 %.
  ['icon-maskable-512.png', 512, 0.8],
  ['icon-apple-180.png', 180, 0.92],
];

/** Paints the drawing and returns its RGBA bytes. Runs in the page. */
async function paint([source, size, share]) {
  const image = new Image();
  image.src = `data:image/svg+xml,${encodeURIComponent(source)}`;
  await image.decode();
  const canvas = new OffscreenCanvas(size, size).getContext('2d');
  if (share < 1) {
    canvas.fillStyle = '#ffffff';
    canvas.fillRect(0, 0, size, size);
  }
  const [inner, edge] = [size * share, (size * (1 - share)) / 2];
  canvas.drawImage(image, edge, edge, inner, inner);
  return [...canvas.getImageData(0, 0, size, size).data];
}

/** The sixteen colours used most that are not too near to each other, and the place of the nearest for each pixel. */
function palette(pixels) {
  const counts = new Map();
  for (let at = 0; at < pixels.length; at += 4) {
    const key = pixels.slice(at, at + 4).join();
    counts.set(key, (counts.get(key) ?? 0) + 1);
  }
  const far = (a, b) => Math.hypot(...a.map((value, i) => value - b[i]));
  const colours = [];
  const byUse = [...counts].sort((a, b) => b[1] - a[1]).map(([key]) => key.split(',').map(Number));
  for (const colour of byUse) {
    if (colours.length < 16 && colours.every((other) => far(colour, other) > 38)) colours.push(colour);
  }
  const nearest = new Map();
  for (const colour of byUse) {
    const order = colours.map((other, i) => [far(colour, other), i]).sort((a, b) => a[0] - b[0]);
    nearest.set(colour.join(), order[0][1]);
  }
  return { colours, place: (at) => nearest.get(pixels.slice(at, at + 4).join()) };
}

/** CRC-32 as the PNG specification defines it. */
function crc(bytes) {
  let sum = ~0;
  for (const byte of bytes) {
    sum ^= byte;
    for (let bit = 0; bit < 8; bit += 1) sum = (sum >>> 1) ^ (0xedb88320 & -(sum & 1));
  }
  return ~sum >>> 0;
}

function chunk(name, data) {
  const body = Buffer.concat([Buffer.from(name), Buffer.from(data)]);
  const [length, sum] = [Buffer.alloc(4), Buffer.alloc(4)];
  length.writeUInt32BE(data.length);
  sum.writeUInt32BE(crc(body));
  return Buffer.concat([length, body, sum]);
}

function png(pixels, size) {
  const { colours, place } = palette(pixels);
  const head = Buffer.alloc(13);
  head.writeUInt32BE(size, 0);
  head.writeUInt32BE(size, 4);
  head.set([4, 3, 0, 0, 0], 8);
  const rows = [];
  for (let y = 0; y < size; y += 1) {
    rows.push(0);
    for (let x = 0; x < size; x += 2) {
      const at = 4 * (y * size + x);
      rows.push((place(at) << 4) | place(at + 4));
    }
  }
  return Buffer.concat([
    Buffer.from([137, 80, 78, 71, 13, 10, 26, 10]),
    chunk('IHDR', head),
    chunk('PLTE', colours.flatMap((colour) => colour.slice(0, 3))),
    chunk('tRNS', colours.map((colour) => colour[3])),
    chunk('IDAT', deflateSync(Buffer.from(rows), { level: 9 })),
    chunk('IEND', []),
  ]);
}

const browser = await launch();
const page = await browser.newPage();
for (const [name, size, share] of ICONS) {
  const bytes = png(await page.evaluate(paint, [svg, size, share]), size);
  await writeFile(new URL(name, folder), bytes);
  console.log(`${name}: ${bytes.length} bytes`);
}
await browser.close();
