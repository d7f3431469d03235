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
