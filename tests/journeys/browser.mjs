// Chromium with the screen of a phone, and a watch that notes everything that must not happen:
// errors, breaches of the page's policy, requests to anyone else. Knows nothing of tests.

import { accessSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { chromium } from 'playwright-core';

const FLAGS = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

/** The screen every view is made for first. */
export const PHONE = {
  viewport: { width: 360, height: 740 },
  deviceScaleFactor: 3,
  isMobile: true,
  hasTouch: true,
  acceptDownloads: true,
  locale: 'en-GB',
};

/** Chromium's path: the one `cargo dev` has checked, else the first on PATH. */
function chromiumPath() {
  if (process.env.CHROMIUM) return process.env.CHROMIUM;
  for (const name of ['chromium', 'chromium-browser', 'google-chrome']) {
    for (const folder of (process.env.PATH ?? '').split(delimiter)) {
      try {
        const path = join(folder, name);
        accessSync(path);
        return path;
      } catch {
        // Not here; look further.
      }
    }
  }
  throw new Error('Chromium is needed on PATH.');
}

/** Starts the browser. */
export function launch() {
  return chromium.launch({ executablePath: chromiumPath(), args: FLAGS });
}

/** How long an act may take to be seen, in ms: a page that runs no script never says so. */
const SEEN_MS = 2000;

/** Runs in every page: counts the clicks that have reached it. */
function count() {
  globalThis.__clicks = 0;
  addEventListener('click', () => (globalThis.__clicks += 1), true);
}

/** Runs in a page: waits for a click after so many, then until all that is still to come has been drawn. */
async function seen(clicks) {
  // A page behind another one is given no frames.
  const frame = () =>
    new Promise((done) => {
      requestAnimationFrame(() => setTimeout(done));
      setTimeout(done, 100);
    });
  // A tap that no click follows: a finger that only rests, a button that cannot be pressed.
  for (let i = 0; i < 12 && globalThis.__clicks <= clicks; i += 1) await frame();
  do await frame();
  while (document.documentElement.hasAttribute('data-later'));
}

/**
 * Lets every tap, key and word be answered before the journey looks: the browser makes a click of a tap some time after
 * the fingers have left, and the page draws what it calls for in the frame after its first answer.
 */
function patient(page) {
  const rest = (ms) => new Promise((done) => setTimeout(done, ms).unref());
  // A page that is left or that dies has nothing more to show.
  const shown = (page, clicks) => Promise.race([page.evaluate(seen, clicks).catch(() => null), rest(SEEN_MS)]);
  const press = page.keyboard.press.bind(page.keyboard);
  page.keyboard.press = async (...words) => {
    await press(...words);
    await shown(page, -1);
  };
  const prototype = Object.getPrototypeOf(page.locator('body'));
  if (prototype.isPatient) return;
  prototype.isPatient = true;
  for (const name of ['tap', 'click', 'dispatchEvent', 'press', 'fill', 'blur', 'check', 'uncheck', 'selectOption']) {
    const act = prototype[name];
    const waits = ['tap', 'click', 'dispatchEvent'].includes(name);
    prototype[name] = async function (...words) {
      const page = this.page();
      const asked = page.evaluate(() => globalThis.__clicks).catch(() => null);
      const before = waits ? await Promise.race([asked, rest(SEEN_MS)]) : null;
      const result = await act.apply(this, words);
      await shown(page, before ?? -1);
      return result;
    };
  }
}

/**
 * Opens a context with the phone's screen and a watch on it.
 * `watch.troubles` are sentences; `watch.requests` are `{ url, afterLoad }` of every request.
 */
export async function openPhone(browser, origin, options = {}) {
  // The service worker fetches the whole page once more: only the journeys that are about it let it.
  const context = await browser.newContext({ serviceWorkers: 'block', ...PHONE, ...options });
  const watch = { troubles: [], requests: [] };
  const loaded = new WeakSet();
  const note = (text) => watch.troubles.push(text);

  await context.addInitScript(count);
  await context.exposeBinding('__policyBreach', (_, text) => note(`policy: ${text}`));
  await context.addInitScript(() => {
    document.addEventListener('securitypolicyviolation', (event) => {
      globalThis.__policyBreach(`${event.effectiveDirective} refused ${event.blockedURI}`);
    });
  });
  context.on('request', (request) => {
    const url = new URL(request.url());
    let page = null;
    try {
      page = request.frame().page();
    } catch {
      // A service worker's own request, or one before its frame exists, belongs to no page.
    }
    watch.requests.push({ url: request.url(), afterLoad: page !== null && loaded.has(page) });
    const local = ['data:', 'blob:', 'about:'].includes(url.protocol);
    if (!local && url.origin !== origin) note(`request to another origin: ${url.origin}`);
  });
  context.on('requestfailed', (request) => {
    // Leaving a page cancels what it still loads; that is no fault of the page.
    const reason = request.failure()?.errorText ?? '';
    if (reason !== 'net::ERR_ABORTED') note(`request failed: ${request.url()} ${reason}`);
  });
  context.on('page', (page) => {
    patient(page);
    page.on('console', (message) => {
      if (message.text().includes('registration blocked by Playwright')) return;
      if (['error', 'warning'].includes(message.type())) {
        note(`console ${message.type()}: ${message.text()}`);
      }
    });
    page.on('pageerror', (error) => note(`uncaught: ${error.message}`));
    page.on('crash', () => note('the page crashed'));
    page.on('load', () => loaded.add(page));
  });
  return { context, page: await context.newPage(), watch };
}

/** The troubles that none of the announced patterns covers. */
export function unannounced(troubles, allow = []) {
  return troubles.filter((text) => !allow.some((pattern) => pattern.test(text)));
}
