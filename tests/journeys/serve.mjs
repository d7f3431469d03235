// Serves the built page on a free loopback port, as a plain host would: right media types, gzip
// for those who accept it, under any path. Used by the journeys; needs nothing but Node.

import { createServer } from 'node:http';
import { readFile } from 'node:fs/promises';
import { extname, join, normalize, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';

/** The built page. */
export const DIST = fileURLToPath(new URL('../../dist/', import.meta.url));

const TYPES = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.wasm': 'application/wasm',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.json': 'application/json',
  '.webmanifest': 'application/manifest+json',
  '.txt': 'text/plain; charset=utf-8',
};

/**
 * Starts a server of `root` under the path `base` ("/" or "/some/where/").
 * Returns `{ url, origin, requests, swap, close }`; `requests` fills with the paths asked for, `swap` serves another
 * folder from then on.
 */
export async function serve({ root = DIST, base = '/' } = {}) {
  const requests = [];
  let folder = root;
  const server = createServer(async (request, response) => {
    try {
      const path = decodeURIComponent(new URL(request.url, 'http://x/').pathname);
      requests.push(path);
      const inside = path.startsWith(base) ? path.slice(base.length) : null;
      const file = normalize(join(folder, inside === '' ? 'index.html' : (inside ?? '')));
      if (inside === null || !file.startsWith(folder.endsWith(sep) ? folder : folder + sep)) {
        throw new Error('outside');
      }
      let body = await readFile(file);
      const head = {
        'content-type': TYPES[extname(file)] ?? 'application/octet-stream',
        'cache-control': 'no-cache',
        'x-content-type-options': 'nosniff',
      };
      if (/\bgzip\b/.test(request.headers['accept-encoding'] ?? '')) {
        body = gzipSync(body, { level: 9 });
        head['content-encoding'] = 'gzip';
      }
      response.writeHead(200, head).end(body);
    } catch {
      response.writeHead(404, { 'content-type': 'text/plain' }).end('There is no such file.\n');
    }
  });
  await new Promise((done, failed) => server.once('error', failed).listen(0, '127.0.0.1', done));
  const origin = `http://127.0.0.1:${server.address().port}`;
  return {
    origin,
    url: origin + base,
    requests,
    swap(other) {
      folder = other;
    },
    close() {
      server.closeAllConnections();
      return new Promise((done) => server.close(done));
    },
  };
}
