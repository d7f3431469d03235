// The whole page kept in the browser: one cache for each build, filled with every file of it before that build may take
// over. The build writes the version and the list of files with their SHA-256 sums in here; a file that arrives from
// another build does not fit its sum, so no cache is ever mixed.

const VERSION = '@VERSION@';
const FILES = [
  // @FILES@
];

const OWN = `loomwright ${registration.scope} `;
const CACHE = OWN + VERSION;

addEventListener('install', (event) => event.waitUntil(fill()));
addEventListener('activate', (event) => event.waitUntil(forget()));
addEventListener('message', (event) => {
  // Sent when the user has tapped the update; without it this build waits until no page of the old one is open.
  if (event.data === 'take over') skipWaiting();
});
addEventListener('fetch', (event) => {
  const { request } = event;
  if (request.method === 'GET' && request.url.startsWith(registration.scope)) event.respondWith(answer(request));
});

async function fill() {
  const cache = await caches.open(CACHE);
  try {
    await Promise.all(
      FILES.map(async ([path, integrity]) => {
        const url = new URL(path, registration.scope);
        // Asked again even where the browser has it: names say nothing about contents.
        const response = await fetch(url, { cache: 'no-cache', integrity });
        if (!response.ok) throw new Error(`${path}: ${response.status}`);
        await cache.put(url, response);
      }),
    );
  } catch (error) {
    await caches.delete(CACHE);
    throw error;
  }
}

async function forget() {
  const names = await caches.keys();
  const old = names.filter((name) => name.startsWith(OWN) && name !== CACHE);
  await Promise.all(old.map((name) => caches.delete(name)));
}

/** From the cache of this build; a navigation to any address of the page is the page itself. */
async function answer(request) {
  const cache = await caches.open(CACHE);
  const wanted = request.mode === 'navigate' ? registration.scope : request;
  return (await cache.match(wanted, { ignoreSearch: true })) ?? fetch(request);
}
