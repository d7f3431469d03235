// The program comes in two parts: what a first visit can do before the rest is there, and what happens if it does not come.

import assert from 'node:assert/strict';
import { walk } from './form.mjs';
import { journey } from './phone.mjs';

const REST = '**/*_rest.wasm';

/** Opens the page with the rest of its program held back; returns how to let it through, and what the page noted. */
async function early(page, site) {
  const noted = [];
  page.on('console', (message) => noted.push(message.text()));
  let release;
  const held = new Promise((done) => (release = done));
  await page.route(REST, async (route) => {
    await held;
    await route.continue();
  });
  await page.goto(site.url);
  await page.locator('body[data-usable]').waitFor();
  return { release, noted };
}

const isReady = (page) => page.locator('body[data-ready]').count().then((count) => count === 1);

for (const locale of ['en-GB', 'de-DE']) {
  const name = `every page of the form answers before the rest of the program has come (${locale})`;
  journey(name, { context: { locale }, timeout: 120_000 }, async ({ page, site }) => {
    const { release, noted } = await early(page, site);
    await walk(page);
    await page.locator('.end-bar .main-button').last().tap();
    await page.locator('.flow-wait[role="status"]').waitFor();
    assert.equal(await isReady(page), false);
    // If this fails after a change of the form: `cargo dev early` finds out again what belongs to the first part.
    assert.deepEqual(noted.filter((text) => text.includes('needed early')), []);
    release();
    await page.locator('.answers').waitFor();
    assert.deepEqual(noted.filter((text) => text.includes('needed early')), []);
  });
}

journey('an example asked for early opens when the rest has come', async ({ page, site }) => {
  const { release } = await early(page, site);
  await page.getByRole('button', { name: /Parade wagon/ }).tap();
  await page.getByText('Loading the rest of Loomwright…').waitFor();
  release();
  await page.locator('.drawing').waitFor();
});

const CUT_OFF = { allow: [/_rest\.wasm.*ERR_FAILED/, /ERR_FAILED/] };

journey('a rest that does not come is told, and the next try brings it', CUT_OFF, async ({ page, site }) => {
  await page.route(REST, (route) => route.abort());
  await page.goto(site.url);
  await page.locator('body[data-loaded]').waitFor();
  await page.getByRole('button', { name: /Parade wagon/ }).tap();
  await page.getByText(/could not be loaded/).waitFor();
  await page.unroute(REST);
  await page.getByRole('link', { name: 'To the start' }).tap();
  await page.getByRole('button', { name: /Parade wagon/ }).tap();
  await page.locator('.drawing').waitFor();
});

journey('answers are kept when the rest does not come at their end', CUT_OFF, async ({ page, site }) => {
  await page.route(REST, (route) => route.abort());
  await page.goto(site.url);
  await page.locator('body[data-loaded]').waitFor();
  await page.getByRole('button', { name: 'Plan my own' }).tap();
  await page.getByText('24 V', { exact: false }).first().tap();
  await page.getByRole('button', { name: 'Take all usual answers' }).tap();
  await page.getByText(/could not be loaded/).waitFor();
  await page.unroute(REST);
  await page.getByRole('button', { name: 'Load the page again' }).tap();
  await page.locator('.answers').waitFor();
  assert.match(await page.locator('.answers').innerText(), /24 V/);
});

const STOPPED = { allow: [...CUT_OFF.allow, /uncaught/] };

journey('what nobody expected early waits for the rest and then works', STOPPED, async ({ page, site }) => {
  const noted = [];
  page.on('console', (message) => noted.push(message.text()));
  await page.route(REST, (route) => route.abort());
  await page.goto(site.url);
  await page.locator('body[data-loaded]').waitFor();
  await page.unroute(REST);
  // The rescue page is in no one's plan for a first visit.
  await page.evaluate(() => dispatchEvent(new ErrorEvent('error', { message: 'made up' })));
  await page.getByRole('heading', { name: 'Loomwright stopped' }).waitFor();
  assert.ok(noted.some((text) => text.includes('needed early')));
});
