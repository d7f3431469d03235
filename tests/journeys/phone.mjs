// The frame of a journey: a test with a fresh phone.
//
//   import { journey } from './phone.mjs';
//   journey('opens', async ({ page, site }) => { await page.goto(site.url); … });
//
// A journey fails at its end if the watch of browser.mjs has noted anything that it did not
// announce with `allow`.

import assert from 'node:assert/strict';
import test, { after } from 'node:test';
import { launch, openPhone, unannounced } from './browser.mjs';
import { serve } from './serve.mjs';

export { launch, openPhone, PHONE, unannounced } from './browser.mjs';

let shared;

/** One browser and one server for all journeys of a file. */
function sharedParts() {
  shared ??= Promise.all([launch(), serve()]).then(([browser, site]) => ({ browser, site }));
  return shared;
}

after(async () => {
  if (!shared) return;
  const { browser, site } = await shared;
  await browser.close();
  await site.close();
});

/**
 * A test with a fresh phone. The body gets `{ page, context, watch, site, browser }`; the page is
 * still blank: `await page.goto(site.url)`. Options: `allow`, patterns of troubles that this
 * journey provokes on purpose; `context`, more context options; `timeout` in ms.
 */
export function journey(name, ...rest) {
  const body = rest.pop();
  const { allow = [], context: contextOptions, timeout = 60_000 } = rest[0] ?? {};
  test(name, { timeout }, async () => {
    const { browser, site } = await sharedParts();
    const phone = await openPhone(browser, site.origin, contextOptions);
    try {
      await body({ ...phone, site, browser });
      // What the last act set off arrives in the next turns of the page.
      await phone.page.waitForTimeout(50);
      assert.deepEqual(unannounced(phone.watch.troubles, allow), []);
    } finally {
      await phone.context.close();
    }
  });
}
