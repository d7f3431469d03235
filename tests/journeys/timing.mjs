// Times a first visit on a slow phone: slow 4G (1.6 Mb/s down, 150 ms) and a quarter of this
// machine's speed, five visits with nothing cached. The page is usable when `data-usable` appears.

import { launch, PHONE } from './browser.mjs';
import { serve } from './serve.mjs';

const VISITS = 5;
const TARGET_MS = 2000;
const GIVE_UP_MS = 20_000;

/** One first visit; times in ms since the start of the navigation, sizes in bytes. */
async function visit(browser, url) {
  const context = await browser.newContext(PHONE);
  try {
    const page = await context.newPage();
    const tools = await context.newCDPSession(page);
    await tools.send('Network.enable');
    await tools.send('Network.emulateNetworkConditions', {
      offline: false,
      latency: 150,
      downloadThroughput: 1.6e6 / 8,
      uploadThroughput: 0.75e6 / 8,
    });
    await tools.send('Emulation.setCPUThrottlingRate', { rate: 4 });
    let bytes = 0;
    tools.on('Network.loadingFinished', (event) => (bytes += event.encodedDataLength));
    await page.addInitScript(() => {
      // Noted inside the page: asking from outside would add its own delay.
      new MutationObserver((_, observer) => {
        if (document.querySelector('[data-usable]')) {
          observer.disconnect();
          // Usable means seen as well: frames wait for the style sheets.
          requestAnimationFrame(() =>
            requestAnimationFrame(() => (globalThis.__readyAt = performance.now())),
          );
        }
      }).observe(document, { subtree: true, childList: true, attributeFilter: ['data-usable'] });
    });
    await page.goto(url);
    const ready = await page
      .waitForFunction(() => globalThis.__readyAt, null, { timeout: GIVE_UP_MS })
      .then((handle) => handle.jsonValue(), () => null);
    const paint = await page.evaluate(
      () => performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? null,
    );
    return { paint, ready, bytes };
  } finally {
    await context.close();
  }
}

function shown(value, width) {
  return (value === null ? 'never' : value.toFixed(0)).padStart(width);
}

function median(values) {
  const known = values.filter((value) => value !== null).sort((a, b) => a - b);
  return known.length === 0 ? null : known[Math.floor(known.length / 2)];
}

const browser = await launch();
const site = await serve();
try {
  console.log('\nFirst visit, slow 4G (1.6 Mb/s, 150 ms), CPU at a quarter of its speed');
  console.log('visit   first paint ms   usable ms   bytes received');
  const visits = [];
  for (let i = 1; i <= VISITS; i += 1) {
    const one = await visit(browser, site.url);
    visits.push(one);
    console.log(`${i}`.padStart(5) + shown(one.paint, 17) + shown(one.ready, 12) + shown(one.bytes, 17));
    if (one.ready === null) break;
  }
  const ready = visits.some((one) => one.ready === null) ? null : median(visits.map((one) => one.ready));
  const paint = median(visits.map((one) => one.paint));
  console.log('median'.padStart(6) + shown(paint, 16) + shown(ready, 12));
  if (ready === null) {
    console.log(`The page did not set data-usable within ${GIVE_UP_MS / 1000} s.`);
    process.exitCode = 1;
  } else {
    console.log(`usable after ${ready.toFixed(0)} ms; target ${TARGET_MS} ms: ${ready <= TARGET_MS ? 'met' : 'missed'}`);
  }
} finally {
  await browser.close();
  await site.close();
}
