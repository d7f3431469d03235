// Goes where a first visit goes before the rest of the program is there, in a build whose functions leave marks
// (`cargo dev early`), and prints the places of the functions that ran, as JSON.

import { walk } from './form.mjs';
import { launch, openPhone } from './browser.mjs';
import { serve } from './serve.mjs';

/** What a first visit may do meanwhile. Each ends with the news that the rest does not come. */
const VISITS = [
  async (page) => {
    await walk(page);
    await page.locator('.end-bar .main-button').last().tap();
    await page.locator('.flow-wait').waitFor();
  },
  async (page) => {
    await page.locator('.main-button').first().tap();
    await page.locator('.flow-page .main-button').tap();
    await page.locator('.flow-wait').waitFor();
  },
  async (page) => {
    await walk(page);
    await page.locator('.end-bar .main-button').first().tap();
    await page.locator('.head-back').tap();
    await page.locator('[data-example]').first().tap();
    await page.locator('main [role="status"]').waitFor();
  },
];

/** One visit; the places of the functions that ran. */
async function visit(browser, site, locale, act) {
  const { context, page } = await openPhone(browser, site.origin, { locale });
  try {
    await page.addInitScript(() => {
      const streaming = WebAssembly.instantiateStreaming;
      WebAssembly.instantiateStreaming = async (...given) => {
        const made = await streaming.apply(WebAssembly, given);
        globalThis.__marks = made.instance.exports.marks;
        return made;
      };
      // As if the rest were on its way, until it fails.
      let fail;
      const coming = new Promise((_, failed) => (fail = failed));
      const parts = { compile() {}, lend() {}, isWhole: () => false, rest() {}, whole: () => coming, wholeNow() {} };
      Object.defineProperty(globalThis, 'loomwrightParts', { get: () => parts, set() {} });
      globalThis.__fail = () => fail(new Error('as if the network were gone'));
    });
    await page.goto(site.url);
    await page.locator('body[data-usable]').waitFor();
    await act(page);
    await page.evaluate(() => globalThis.__fail());
    // Two seconds after its start the program notes that it came through.
    await page.waitForTimeout(2500);
    return await page.evaluate(() => {
      const marks = new Uint8Array(globalThis.__marks.buffer);
      return [...marks.keys()].filter((at) => marks[at] === 1);
    });
  } finally {
    await context.close();
  }
}

const browser = await launch();
const site = await serve();
try {
  const all = new Set();
  for (const locale of ['en-GB', 'de-DE']) {
    for (const act of VISITS) {
      for (const at of await visit(browser, site, locale, act)) all.add(at);
    }
  }
  console.log(JSON.stringify([...all].sort((a, b) => a - b)));
} finally {
  await browser.close();
  await site.close();
}
