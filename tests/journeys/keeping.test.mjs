// Work is not lost: another tab, an older build, a full or forbidden store, a page that stopped; earlier
// versions and backups come back.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { journey, openPhone, unannounced } from './phone.mjs';
import { sound } from './sound.mjs';

const show = (page, name) => page.getByRole('navigation').getByRole('button', { name }).tap();
const button = (page, name) => page.getByRole('button', { name, exact: true });
const heading = (page, name) => page.getByRole('heading', { level: 1, name, exact: true });

async function open(page, url) {
  await page.goto(url);
  await page.locator('body[data-ready="true"]').waitFor();
}

/** A plan of one's own, opened from a file. */
async function ownPlan(page, site, file = 'wagon-four-turn-lamps') {
  await open(page, site.url);
  const buffer = await readFile(new URL(`../fixtures/${file}.json`, import.meta.url));
  await page.locator('#open-file').setInputFiles({ name: 'a.loomwright', mimeType: 'application/json', buffer });
  await page.locator('.head-title').waitFor();
  // Shown, and kept right after.
  await page.waitForFunction(() => !document.documentElement.hasAttribute('data-later'));
}

/** Gives the plan another title, by way of its settings. */
async function rename(page, title) {
  await show(page, 'Build');
  await button(page, 'Settings').tap();
  await page.getByRole('textbox', { name: 'Title' }).fill(title);
  await page.getByRole('textbox', { name: 'Title' }).press('Enter');
  await heading(page, title).waitFor();
}

const titles = (page) => page.locator('.kept strong').allInnerTexts();

journey('a change in another tab is noticed, and the three answers do what they say', async ({ page, context, site }) => {
  await ownPlan(page, site);
  const other = await context.newPage();
  await open(other, site.url);
  const clash = page.getByRole('alert').filter({ hasText: /changed in another tab/ });

  // Take theirs, with mine one undo away.
  await rename(other, 'From the other tab');
  await clash.waitFor();
  await sound(page, 'two tabs');
  await button(page, 'Take theirs').tap();
  await heading(page, 'From the other tab').waitFor();
  await clash.waitFor({ state: 'detached' });
  await show(page, 'Build');
  await page.getByRole('button', { name: /^Undo: Take the plan of the other tab/ }).waitFor();

  // The first tab has saved since: now the second one notices. Mine wins there, theirs is a version.
  const clashThere = other.getByRole('alert').filter({ hasText: /changed in another tab/ });
  await clashThere.waitFor();
  await rename(other, 'Second');
  await button(other, 'Keep mine').tap();
  await clashThere.waitFor({ state: 'detached' });
  await clash.waitFor();

  // Keep both: changes made while the question stood are in the second plan.
  await rename(page, 'Mine');
  await button(page, 'Keep both').tap();
  await clash.waitFor({ state: 'detached' });
  await rename(page, 'Mine, on its own');
  await button(page, 'Back to all plans').tap();
  assert.deepEqual((await titles(page)).sort(), ['Mine, on its own', 'Second']);
});

journey('a plan deleted in another tab stays open and can be kept', async ({ page, context, site }) => {
  await ownPlan(page, site);
  const other = await context.newPage();
  await open(other, site.url);
  await button(other, 'Back to all plans').tap();
  await other.getByRole('button', { name: /^Delete / }).tap();
  await button(other, 'Delete it').tap();
  await page.getByRole('alert').filter({ hasText: /deleted in another tab/ }).waitFor();
  await button(page, 'Keep mine').tap();
  await button(page, 'Back to all plans').tap();
  assert.equal((await titles(page)).length, 1);
});

journey('a plan of a newer build is told, offered as a file and left alone', async ({ page, site }) => {
  await ownPlan(page, site);
  await button(page, 'Back to all plans').tap();
  const stored = await page.evaluate(() => {
    const plan = localStorage.getItem('loomwright.1.p1.a').split('\n').slice(1).join('\n');
    const newer = plan.slice(0, plan.indexOf('}{') + 1 || undefined).replace('"version":1', '"version":9');
    let sum = 0xcbf29ce484222325n;
    for (const byte of new TextEncoder().encode(newer)) {
      sum = BigInt.asUintN(64, (sum ^ BigInt(byte)) * 0x100000001b3n);
    }
    const length = new TextEncoder().encode(newer).length;
    const text = `9 ${length} 0 ${sum.toString(16).padStart(16, '0')}\n${newer}`;
    localStorage.clear();
    localStorage.setItem('loomwright.1.p1.a', text);
    return text;
  });
  await page.reload();
  await page.getByText('A newer Loomwright saved it').waitFor();
  await sound(page, 'plan of a newer build');
  const [download] = await Promise.all([page.waitForEvent('download'), button(page, 'Download it').tap()]);
  assert.match(await readFile(await download.path(), 'utf8'), /"version":9/);
  await page.getByRole('button', { name: /Ferry-slip tractor/ }).tap();
  await rename(page, 'Another');
  assert.equal(await page.evaluate(() => localStorage.getItem('loomwright.1.p1.a')), stored);
});

journey('a browser that keeps nothing says so and offers the plan as a file', async ({ page, site }) => {
  await page.addInitScript(() => {
    Object.defineProperty(globalThis, 'localStorage', {
      get() {
        throw new DOMException('denied', 'SecurityError');
      },
    });
  });
  await open(page, site.url);
  await page.getByText('This browser keeps no plans for this page').waitFor();
  await page.getByRole('button', { name: /Ferry-slip tractor/ }).tap();
  await rename(page, 'Not kept');
  const notice = page.getByRole('alert').filter({ hasText: /keeps nothing for this page/ });
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    notice.getByRole('button', { name: 'Download' }).tap(),
  ]);
  assert.equal(download.suggestedFilename(), 'not-kept.loomwright');
});

journey('a really full store: earlier versions give way, the change is kept', async ({ page, site }) => {
  await ownPlan(page, site);
  await page.evaluate(() => {
    // Everything up to the browser's own quota.
    for (let size = 1 << 20; size >= 1; size >>= 1) {
      for (let n = 0; n < 8; n += 1) {
        try {
          localStorage.setItem(`filler.${size}.${n}`, 'x'.repeat(size));
        } catch {
          break;
        }
      }
    }
  });
  await rename(page, 'No room left for this title, which is longer than the one before it');
  await page.getByRole('alert').filter({ hasText: /storage is full/ }).waitFor();
  await page.evaluate(() => localStorage.removeItem('filler.65536.0'));
  await rename(page, 'Room again');
  await page.getByRole('alert').waitFor({ state: 'detached' });
  await page.reload();
  await heading(page, 'Room again').waitFor();
});

journey('an earlier version is looked at beside the plan, returned to, and undone', async ({ page, site }) => {
  await page.clock.install({ time: new Date('2026-06-01T08:00:00Z') });
  await ownPlan(page, site);
  await page.clock.setSystemTime(new Date('2026-06-02T09:00:00Z'));
  await rename(page, 'Second day');
  await show(page, 'Build');
  await button(page, 'Wires').tap();
  await page.locator('[data-item="W2"]').tap();
  await button(page, 'Delete').tap();
  await button(page, 'Keep and share').tap();
  await page.getByRole('heading', { name: 'Earlier versions' }).waitFor();
  await sound(page, 'keep and share');
  const version = page.locator('.share .card');
  assert.equal(await version.count(), 1);
  assert.match(await version.innerText(), /1 Jun 2026/);
  await version.tap();
  await page.getByRole('heading', { name: /Return to the version of 1 Jun 2026/ }).waitFor();
  await page.getByText(/New wire: W2/).waitFor();
  await page.locator('.side').first().waitFor();
  await sound(page, 'preview of a version');
  await button(page, 'Apply').tap();
  await heading(page, 'Parade wagon, four turn lamps').waitFor();
  await show(page, 'Build');
  await page.getByRole('button', { name: /^Undo: Return to the version/ }).tap();
  await heading(page, 'Second day').waitFor();
});

journey('two plans are compared', async ({ page, site }) => {
  await ownPlan(page, site, 'tractor-shared-rear-lamps');
  await button(page, 'Back to all plans').tap();
  await ownPlan(page, site, 'tractor-without-diodes');
  await button(page, 'Back to all plans').tap();
  await button(page, 'Compare two plans').tap();
  await page.locator('.side').first().waitFor();
  const text = await page.locator('main').innerText();
  assert.match(text, /parts taken out: V1/);
  assert.match(text, /back-fed/);
  await sound(page, 'comparison');
  await page.getByLabel('Later plan').selectOption({ index: 1 });
  await page.getByText('No part and no wire changes.').waitFor();
  await button(page, 'Back to all plans').tap();
  await button(page, 'Compare two plans').waitFor();
});

journey('one tap backs up every plan, and the file brings them back', async ({ page, browser, site }) => {
  await ownPlan(page, site);
  await button(page, 'Back to all plans').tap();
  await ownPlan(page, site, 'cart-48-volts');
  await button(page, 'Back to all plans').tap();
  await page.getByText('A browser may clear what it keeps').waitFor();
  const [download] = await Promise.all([page.waitForEvent('download'), button(page, 'Back up all plans').tap()]);
  assert.equal(download.suggestedFilename(), 'loomwright-all-plans.loomwright-backup');
  const buffer = await readFile(await download.path());
  const file = { name: 'b.loomwright-backup', mimeType: 'application/json', buffer };
  await page.locator('#open-file').setInputFiles(file);
  await page.getByText('0 plans brought back. 2 plans here already.').waitFor();
  const other = await openPhone(browser, site.origin);
  try {
    await open(other.page, site.url);
    await other.page.locator('#open-file').setInputFiles(file);
    await other.page.getByText('2 plans brought back.').waitFor();
    assert.deepEqual((await titles(other.page)).sort(), (await titles(page)).sort());
    await sound(other.page, 'after a backup');
    assert.deepEqual(unannounced(other.watch.troubles), []);
  } finally {
    await other.context.close();
  }
});

journey(
  'an error of the program shows a page with the plan, and the next start does not run into it again',
  { allow: [/^console error: .*panicked/, /^uncaught: /, /^console error: /] },
  async ({ page, site }) => {
    await ownPlan(page, site);
    await page.waitForTimeout(100);
    // What the program takes for granted is taken away: it meets an error that it did not foresee.
    await page.evaluate(() => {
      const create = Document.prototype.createElement;
      Document.prototype.createElement = function (name, ...rest) {
        if (name === 'table') throw new DOMException('planted', 'NotSupportedError');
        return create.call(this, name, ...rest);
      };
    });
    await show(page, 'Behaviour');
    await heading(page, 'Loomwright stopped').waitFor();
    await sound(page, 'rescue');
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('link', { name: 'Download the plan' }).tap(),
    ]);
    assert.equal(download.suggestedFilename(), 'rescued.loomwright');
    assert.match(await readFile(await download.path(), 'utf8'), /"Parade wagon, four turn lamps"/);
    await page.getByRole('link', { name: 'Load the page again' }).tap();
    const notice = page.getByRole('alert').filter({ hasText: /stopped last time/ });
    await notice.waitFor();
    await sound(page, 'after a stop');
    await page.reload();
    await notice.waitFor();
    await button(page, 'Open it').tap();
    await heading(page, 'Parade wagon, four turn lamps').waitFor();
    await page.reload();
    await heading(page, 'Parade wagon, four turn lamps').waitFor();
  },
);
