// Offline: after one visit the page needs no server; a new build takes over only when the user taps, and keeps what was
// typed; nothing is asked of anyone meanwhile.

import assert from 'node:assert/strict';
import { cp, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createHash } from 'node:crypto';
import { journey, openPhone, unannounced } from './phone.mjs';
import { DIST, serve } from './serve.mjs';

const OFFLINE = { serviceWorkers: 'allow' };

/** Waits until the worker holds every file. */
async function kept(page) {
  await page.locator('body[data-ready]').waitFor();
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => true));
}

const show = (page, name) => page.getByRole('button', { name, exact: true }).tap();

/** Goes through every screen of an example and changes something. */
async function walk(page) {
  await page.getByRole('button', { name: /Ferry-slip tractor/ }).tap();
  for (const name of ['Behaviour', 'Checks', 'Build', 'Paths']) await show(page, name);
  await show(page, 'Build');
  await page.getByRole('button', { name: 'Places' }).tap();
  await page.getByRole('button', { name: 'Add a place' }).tap();
  await page.getByRole('button', { name: 'Done' }).tap();
  await page.getByRole('button', { name: 'Back to all plans' }).tap();
  await page.locator('.kept').first().waitFor();
}

journey('everything works in airplane mode after one visit', { context: OFFLINE }, async ({ page, context, site, watch }) => {
  await page.goto(site.url);
  await kept(page);
  await context.setOffline(true);
  await page.reload();
  await page.locator('body[data-ready]').waitFor();
  await walk(page);
  await page.reload();
  await page.locator('.kept').first().waitFor();
  // A page that never was loaded opens as well.
  await page.goto(`${site.url}index.html?from=home#there`);
  await page.locator('body[data-ready]').waitFor();
  watch.troubles.splice(0, watch.troubles.length, ...unannounced(watch.troubles, [/ERR_INTERNET_DISCONNECTED/]));
});

journey('no request leaves the page after it has loaded', { context: OFFLINE }, async ({ page, site, watch }) => {
  await page.goto(site.url);
  await kept(page);
  await page.reload();
  await kept(page);
  await page.waitForLoadState('networkidle');
  const before = [site.requests.length, watch.requests.length];
  await walk(page);
  await page.getByRole('button', { name: 'Plan my own' }).tap();
  await page.getByRole('button', { name: 'Next' }).tap();
  await page.waitForTimeout(300);
  const own = watch.requests.slice(before[1]).filter(({ url }) => !/^(data|blob):/.test(url));
  assert.deepEqual(own.map(({ url }) => url), []);
  // After a navigation the browser itself looks, some time later, whether there is another build.
  assert.deepEqual(site.requests.slice(before[0]).filter((path) => path !== '/sw.js'), []);
});

journey('nor on the very first visit, with a cure worked out', async ({ page, site, watch }) => {
  // No service worker here that could answer: whatever the page asks for goes to the server.
  await page.goto(site.url);
  await page.locator('body[data-ready]').waitFor();
  await page.waitForLoadState('networkidle');
  const before = [site.requests.length, watch.requests.length];
  await walk(page);
  const buffer = await readFile(new URL('../fixtures/tractor-without-diodes.json', import.meta.url));
  await page.locator('#open-file').setInputFiles({ name: 'a.json', mimeType: 'application/json', buffer });
  await page.locator('.drawing').waitFor();
  const started = [];
  page.on('worker', (worker) => started.push(worker.url()));
  await show(page, 'Checks');
  await page.getByRole('button', { name: 'Work out a cure' }).tap();
  await page.locator('.cure-item').first().waitFor();
  assert.equal(started.length, 1, 'a worker did it');
  await show(page, 'Keep and share');
  await page.getByRole('heading', { name: 'Earlier versions' }).waitFor();
  await page.getByRole('button', { name: 'Back to all plans' }).tap();
  await page.waitForTimeout(300);
  const own = watch.requests.slice(before[1]).filter(({ url }) => !/^(data|blob):/.test(url));
  assert.deepEqual(own.map(({ url }) => url), []);
  assert.deepEqual(site.requests.slice(before[0]), []);
});

/** The built page as another build: one style rule more, and the worker that belongs to it. */
async function anotherBuild(mark) {
  const folder = await mkdtemp(join(tmpdir(), 'lw-build-'));
  await cp(DIST, folder, { recursive: true });
  const page = join(folder, 'index.html');
  const html = (await readFile(page, 'utf8')).replace('<body>', `<body data-build="${mark}">`);
  await writeFile(page, html);
  const sum = createHash('sha256').update(html).digest('base64');
  const worker = join(folder, 'sw.js');
  const text = await readFile(worker, 'utf8');
  const other = text
    .replace(/VERSION = '\w+'/, `VERSION = '${mark}'`)
    .replace(/(\['\.\/', 'sha256-)[^']+/, `$1${sum}`);
  assert.notEqual(other, text);
  await writeFile(worker, other);
  return folder;
}

/** One address that first serves one build, then another, then nothing. */
async function host(first) {
  const site = await serve({ root: `${first}/` });
  return site;
}

journey('a new build takes over only on a tap, keeps the answers, and works with the server stopped', async ({ browser }) => {
  const [one, two] = [await anotherBuild('one'), await anotherBuild('two')];
  const site = await host(one);
  const { context, page, watch } = await openPhone(browser, site.origin, OFFLINE);
  try {
    await page.goto(site.url);
    await kept(page);
    await page.reload();
    assert.equal(await page.locator('body').getAttribute('data-build'), 'one');
    // Answers half given.
    await page.getByRole('button', { name: 'Plan my own' }).tap();
    await page.getByRole('radio', { name: /24/ }).check();
    await page.getByRole('button', { name: 'Next' }).tap();
    site.swap(`${two}/`);
    await page.reload();
    assert.equal(await page.locator('body').getAttribute('data-build'), 'one', 'the old build until the tap');
    await page.locator('body[data-update="ready"]').waitFor({ state: 'attached' });
    await page.getByRole('button', { name: /Back|Leave/ }).first().tap();
    await page.getByRole('button', { name: 'Go on with my answers' }).waitFor();
    // Everything of the new build is here already.
    await site.close();
    await page.getByRole('button', { name: 'Update now' }).tap();
    await page.locator('body[data-build="two"][data-ready]').waitFor();
    await page.getByRole('button', { name: 'Go on with my answers' }).tap();
    await page.getByText('24').first().waitFor();
    const caches = await page.evaluate(() => caches.keys());
    assert.equal(caches.length, 1, `one cache for each build: ${caches}`);
    await page.reload();
    assert.equal(await page.locator('body').getAttribute('data-build'), 'two');
    assert.deepEqual(unannounced(watch.troubles, [/ERR_CONNECTION_REFUSED/, /service worker.*script/i]), []);
  } finally {
    await context.close();
    await site.close().catch(() => {});
    await Promise.all([one, two].map((folder) => rm(folder, { recursive: true })));
  }
});

journey('a build that arrives mixed with another is not taken', async ({ browser }) => {
  const [one, two] = [await anotherBuild('one'), await anotherBuild('two')];
  // The page of the first build beside the worker of the second.
  await cp(join(one, 'index.html'), join(two, 'index.html'));
  const site = await host(one);
  const { context, page } = await openPhone(browser, site.origin, OFFLINE);
  try {
    await page.goto(site.url);
    await kept(page);
    site.swap(`${two}/`);
    await page.reload();
    await page.waitForTimeout(1500);
    // What was begun is taken away again, on a slow machine some time later.
    await page.waitForFunction(async () => (await caches.keys()).length === 1);
    const caches = await page.evaluate(() => caches.keys());
    assert.match(caches[0], / one$/);
    assert.equal(await page.locator('body').getAttribute('data-update'), null);
  } finally {
    await context.close();
    await site.close();
    await Promise.all([one, two].map((folder) => rm(folder, { recursive: true })));
  }
});

journey('the page can be installed', { context: OFFLINE }, async ({ page, context, site }) => {
  await page.goto(site.url);
  await kept(page);
  const tools = await context.newCDPSession(page);
  const { errors, data, url } = await tools.send('Page.getAppManifest');
  assert.deepEqual(errors, []);
  assert.equal(url, `${site.url}manifest.webmanifest`);
  for (const { src, sizes } of JSON.parse(data).icons) {
    const size = await page.evaluate(async (src) => {
      const image = new Image();
      image.src = src;
      await image.decode();
      return `${image.naturalWidth}x${image.naturalHeight}`;
    }, src);
    assert.equal(size, sizes, src);
  }
  const trouble = await tools.send('Page.getInstallabilityErrors');
  // The browser of the tests has no place to install to.
  const left = trouble.installabilityErrors.filter(({ errorId }) => !/incognito|platform|guest/.test(errorId));
  assert.deepEqual(left, []);
});
