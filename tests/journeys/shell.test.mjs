// The page around the program: it starts under its strict policy, at any path, and says so in plain
// words when it cannot.

import assert from 'node:assert/strict';
import { journey, openPhone, unannounced } from './phone.mjs';
import { serve } from './serve.mjs';

// Workers from a blob: their script is in the page's memory, so that none is asked for after load (`boot.js`).
const POLICY =
  "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; " +
  "img-src 'self' data: blob:; connect-src 'self'; manifest-src 'self'; worker-src 'self' blob:; " +
  "base-uri 'none'; form-action 'none'";

/** Opens the page and waits until the program itself has arrived. */
async function open(page, url) {
  const program = page.waitForResponse((response) => response.url().endsWith('.wasm'));
  await page.goto(url);
  const response = await program;
  assert.equal(response.status(), 200);
  assert.equal(response.headers()['content-type'], 'application/wasm');
  await page.waitForLoadState('networkidle');
}

journey('the page opens without a complaint', async ({ page, site, watch }) => {
  await open(page, site.url);
  assert.match(await page.title(), /^Loomwright/);
  assert.equal(await page.getByText('could not start').count(), 0);
  const policy = page.locator('meta[http-equiv="Content-Security-Policy"]');
  assert.equal(await policy.getAttribute('content'), POLICY);
  assert.ok(watch.requests.length >= 4, 'page, style, glue and program are requested');
});

journey('the page works under any path of a host', async ({ browser }) => {
  const site = await serve({ base: '/some/where/' });
  const { context, page, watch } = await openPhone(browser, site.origin);
  try {
    await open(page, site.url);
    assert.deepEqual(unannounced(watch.troubles), []);
    assert.deepEqual(site.requests.filter((path) => !path.startsWith('/some/where/')), []);
  } finally {
    await context.close();
    await site.close();
  }
});

journey(
  'the policy stops inline script and foreign requests, and the watch sees it',
  { allow: [/^policy: /, /^console error: .*Content Security Policy/, /^request failed: .*CSP/] },
  async ({ page, site, watch }) => {
    await open(page, site.url);
    const result = await page.evaluate(async () => {
      const script = document.createElement('script');
      script.textContent = 'globalThis.planted = true';
      document.head.append(script);
      const sent = await fetch('http://127.0.0.1:9/').then(() => true, () => false);
      return { ran: globalThis.planted === true, sent };
    });
    assert.deepEqual(result, { ran: false, sent: false });
    await page.waitForTimeout(50);
    const policy = watch.troubles.filter((text) => text.startsWith('policy: '));
    assert.ok(policy.some((text) => text.includes('script-src')), `${watch.troubles}`);
    assert.ok(policy.some((text) => text.includes('connect-src')), `${watch.troubles}`);
  },
);

journey(
  'a program that does not arrive is said in plain words',
  { allow: [/^console error: /, /^request failed: .*\.wasm /, /^console warning: .*wasm/] },
  async ({ page, site }) => {
    await page.route('**/*.wasm', (route) => route.abort('failed'));
    await page.goto(site.url);
    const alert = page.getByRole('alert');
    await alert.waitFor();
    assert.match(await alert.textContent(), /could not start.*Load the page again/);
  },
);

journey(
  'without JavaScript the page says what it needs',
  // Chromium also refuses the preload of a script that it will not run.
  { context: { javaScriptEnabled: false }, allow: [/^request failed: .*\.js csp$/] },
  async ({ page, site }) => {
    await page.goto(site.url);
    const text = page.locator('noscript p').first();
    assert.ok(await text.isVisible());
    assert.match(await text.innerText(), /switch JavaScript on/);
  },
);
