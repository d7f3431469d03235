// What the checks say: grouped, with number, limit and source, each part one tap from the drawing, each remedy looked at and
// taken; the settings they are held against, the tables behind them, and the list on paper.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { journey } from './phone.mjs';
import { sound } from './sound.mjs';

const show = (page, name) => page.getByRole('navigation').getByRole('button', { name }).tap();

/** Opens a plan of the fixtures, changed by `change`. */
async function openPlan(page, url, name, change = () => {}) {
  await page.goto(url);
  await page.locator('body[data-ready="true"]').waitFor();
  const plan = JSON.parse(await readFile(new URL(`../fixtures/${name}.json`, import.meta.url), 'utf8'));
  change(plan);
  const buffer = Buffer.from(JSON.stringify(plan));
  await page.locator('#open-file').setInputFiles({ name: 'a.json', mimeType: 'application/json', buffer });
  await page.getByRole('heading', { level: 1, name: plan.title }).waitFor();
}

/** A thin stop feed and a large main fuse. */
const wrong = (plan) => {
  plan.parts.find((part) => part.id === 'F1').spec.rating_a = 40;
  for (const wire of plan.wires) wire.size = '24 AWG';
};

journey('a finding leads to its part on the drawing, and its remedy is looked at, taken and undone', async ({ page, site }) => {
  await openPlan(page, site.url, 'tractor-shared-rear-lamps', wrong);
  await show(page, 'Checks');
  await page.locator('.finding-group[data-severity="fault"]').waitFor();
  await sound(page, 'Checks');
  const groups = await page.locator('.finding-group').evaluateAll((all) => all.map((g) => g.dataset.severity));
  assert.deepEqual(groups, ['fault', 'caution', 'note']);

  // The head counts what is to be looked at, and tells the notes apart.
  const inGroup = (severity) => page.locator(`.finding-group[data-severity="${severity}"] .finding`).count();
  const [faults, cautions, notes] = await Promise.all(['fault', 'caution', 'note'].map(inGroup));
  assert.equal(
    await page.locator('.pill').textContent(),
    `${faults + cautions} to look at, ${notes} note${notes === 1 ? '' : 's'}`,
  );

  // Every finding has its source; the fuse's has a number and a limit.
  const sources = await page.locator('.finding-source').allInnerTexts();
  assert.equal(sources.length, await page.locator('.finding').count());
  assert.ok(sources.every((text) => / · .{4}/.test(text)), `${sources}`);
  const fuse = page.locator('.finding', { hasText: 'F1 (40 A) is larger than' }).first();
  assert.match(await fuse.innerText(), /Found 40 A\s*Limit [\d.]+ A/);
  assert.match(await fuse.innerText(), /33 CFR 183\.455/);

  // Each part that any finding names is one tap from the drawing.
  const named = await page.locator('[data-about]').evaluateAll((all) => [...new Set(all.map((b) => b.dataset.about))]);
  assert.ok(named.length > 10, `${named}`);
  for (const id of named.filter((_, i) => i % 5 === 0)) {
    await show(page, 'Checks');
    await page.locator(`[data-about="${id}"]`).first().tap();
    const group = page.locator(`.drawing [data-id="part-${id}"], .drawing [data-id="wire-${id}"], .drawing [data-id="lamp-${id}"]`);
    await page.locator('.app[data-screen="paths"]').waitFor();
    assert.ok((await group.count()) > 0, id);
    assert.match(await page.locator('.picked').innerText(), /\S/, id);
  }

  await show(page, 'Checks');
  const remedy = fuse.locator('[data-remedy]').last();
  const title = (await remedy.innerText()).replace('Preview: ', '');
  await remedy.tap();
  await page.getByRole('heading', { name: title }).waitFor();
  await page.getByText('Nothing is changed yet.').waitFor();
  await page.getByRole('button', { name: 'Apply' }).tap();
  await page.getByRole('button', { name: `Undo: ${title}` }).waitFor();
  await fuse.waitFor({ state: 'detached' });
  await page.getByRole('button', { name: `Undo: ${title}` }).tap();
  await fuse.waitFor();
});

journey('everything is sized in one step that says what changes and why', async ({ page, site }) => {
  await openPlan(page, site.url, 'tractor-shared-rear-lamps', wrong);
  await show(page, 'Checks');
  await page.locator('.finding-group[data-severity="fault"]').waitFor();
  await page.getByRole('button', { name: 'Size everything' }).tap();
  await page.getByRole('heading', { name: 'Size everything' }).waitFor();
  const lines = await page.locator('.preview .bullets li').allInnerTexts();
  assert.ok(lines.some((line) => /^F1, fuse: 40 A becomes 15 A with \d+ % to spare, 7.5 A at least; .*75 %/.test(line)), `${lines}`);
  assert.ok(lines.some((line) => /^W\d+, wire: 24 AWG becomes \d+ AWG/.test(line)));
  await page.getByRole('button', { name: 'Apply' }).tap();
  await page.getByRole('button', { name: 'Undo: Size everything' }).waitFor();
  assert.doesNotMatch(await page.locator('.checks').innerText(), /is larger than/);
  await page.getByRole('button', { name: 'Undo: Size everything' }).tap();
  await page.locator('.finding', { hasText: 'F1 (40 A) is larger than' }).first().waitFor();
});

journey('sizing runs off the main thread, says how far it is, is stopped by a tap or by looking at something else', async ({ page, site }) => {
  await openPlan(page, site.url, 'large/show-wagon', wrong);
  await show(page, 'Checks');
  await page.locator('[data-remedy]').first().waitFor();
  // Both taps inside the page: from outside the work could be done before the second one.
  const meanwhile = (selector) =>
    page.evaluate(async (selector) => {
      const button = (name) => [...document.querySelectorAll('.size-all button')].find((b) => b.textContent === name);
      button('Size everything').click();
      while (!button('Stop')) await new Promise((next) => setTimeout(next));
      const far = document.querySelector('.size-all .how-far');
      while (!far.textContent) await new Promise((next) => setTimeout(next));
      const words = far.textContent;
      (selector ? document.querySelector(selector) : button('Stop')).click();
      return words;
    }, selector);
  assert.match(await meanwhile(), /^(choosing sizes and solving with them: \d|trying the smallest sizes: \d+ of \d+)$/);
  await page.getByText('Stopped. Nothing was changed.').waitFor();
  assert.equal(await page.locator('.preview').count(), 0);
  // Let go at once, also in the middle of its work; the browser says so a moment later.
  for (let i = 0; i < 100 && page.workers().length > 0; i += 1) await page.waitForTimeout(20);
  assert.equal(page.workers().length, 0, 'a worker that is stopped is let go');
  await sound(page, 'sizing stopped');

  await meanwhile('[data-remedy]');
  await page.locator('.preview h2').waitFor();
  assert.notEqual(await page.locator('.preview h2').innerText(), 'Size everything');
  await page.locator('.size-all progress').waitFor({ state: 'detached' });
  await page.getByRole('button', { name: 'Back', exact: true }).tap();

  // By key: the button that starts it is the one that stops it, so the focus stays.
  await page.getByRole('button', { name: 'Size everything' }).focus();
  const focus = await page.evaluate(async () => {
    const focused = document.activeElement;
    focused.click();
    while (focused.textContent !== 'Stop') await new Promise((next) => setTimeout(next));
    const stays = document.activeElement === focused && focused.isConnected;
    focused.click();
    return stays;
  });
  assert.ok(focus);
  await page.getByText('Stopped. Nothing was changed.').waitFor();

  const started = [];
  page.on('worker', (worker) => started.push(worker.url()));
  await page.getByRole('button', { name: 'Size everything' }).tap();
  await page.getByRole('heading', { name: 'Size everything' }).waitFor();
  assert.ok(started.length === 1 && started[0].startsWith(`blob:${site.origin}/`), `${started}`);
  // Looked at once: after Back it is asked for again.
  await page.getByRole('button', { name: 'Back', exact: true }).tap();
  await page.getByRole('button', { name: 'Size everything' }).waitFor();
  assert.equal(await page.locator('.preview').count(), 0);
});

journey('settings are edits: units and rules show at once and are undone', async ({ page, site }) => {
  await openPlan(page, site.url, 'tractor-shared-rear-lamps');
  await show(page, 'Checks');
  await page.getByRole('button', { name: 'Rules and units' }).tap();
  await page.getByRole('heading', { name: 'Rules, surroundings, units' }).waitFor();
  await sound(page, 'settings');
  await page.getByLabel('Jurisdiction').selectOption('us-road');
  await page.getByLabel('Sizes of wire').selectOption('awg');
  await page.getByLabel('Lengths').selectOption('feet');
  await page.getByLabel('Wires in the fullest bundle').fill('x');
  await page.getByLabel('Wires in the fullest bundle').blur();
  await page.getByText('does not read as a count').first().waitFor();
  await page.getByLabel('Wires in the fullest bundle').fill('7');
  await page.getByLabel('Air around wires and parts').fill('50 °C');
  await page.getByLabel('Brake pressed').fill('25 %');
  await page.getByRole('button', { name: 'Change every wire to these sizes, none thinner' }).tap();
  await page.getByRole('button', { name: 'Done' }).tap();
  await page.getByRole('heading', { name: 'Checks', level: 2 }).waitFor();
  const checks = page.locator('.checks');
  await page.waitForFunction(() => /lighting law/.test(document.querySelector('.checks')?.innerText ?? ''));
  assert.match(await checks.innerText(), /Brake pressed 25 %/);
  await show(page, 'Build');
  await page.getByRole('button', { name: 'Wires' }).tap();
  const wires = await page.locator('.build-list').innerText();
  assert.match(wires, /\d+ AWG, [\d.]+ (ft|in)/);
  assert.doesNotMatch(wires, /mm/);
  for (let i = 0; i < 8; i += 1) {
    const undo = page.locator('.undo-button').first();
    if (await undo.isDisabled()) break;
    await undo.tap();
  }
  assert.match(await page.locator('.build-list').innerText(), /mm², [\d.]+ m/);
});

journey('every table stands with its sources, its range and its mark', async ({ page, site }) => {
  await openPlan(page, site.url, 'wagon-four-turn-lamps');
  await show(page, 'Checks');
  await page.getByRole('button', { name: 'Tables and sources' }).tap();
  const names = await page.locator('[data-table]:not([data-table="back"])').count();
  assert.ok(names >= 20, `${names}`);
  await sound(page, 'catalogue');
  for (let i = 0; i < names; i += 1) {
    await page.locator(`[data-table="${i}"]`).tap();
    const first = page.locator('.sources li').first();
    assert.match(await first.innerText(), /Edition\s.*Place\s.*Range\s.*Mark\s+(seen|from memory|worked out|common practice)/s);
    const heads = await page.locator('.figures').first().locator('thead th').allInnerTexts();
    assert.equal(heads.at(-1), 'Mark');
    assert.ok((await page.locator('.figures tbody tr').count()) > 1);
    if (i % 6 === 0) await sound(page, `table ${i}`);
    await page.getByRole('button', { name: 'Back to the tables' }).tap();
  }
  await page.getByRole('button', { name: 'Back to the checks' }).tap();
  await page.getByRole('heading', { name: 'Checks', level: 2 }).waitFor();
});

journey('the whole list prints, no finding cut, the head of its group on every page', async ({ page, site }) => {
  await openPlan(page, site.url, 'tractor-shared-rear-lamps', wrong);
  await show(page, 'Checks');
  await page.locator('.finding-group[data-severity="fault"]').waitFor();
  const count = await page.locator('.finding').count();
  await page.emulateMedia({ media: 'print' });
  const print = await page.evaluate(() => {
    const style = (selector) => [...document.querySelectorAll(selector)].map((e) => getComputedStyle(e));
    return {
      heads: style('.finding-group > h3').map((s) => s.display),
      cuts: style('.finding').map((s) => s.breakInside),
      shown: [...document.querySelectorAll('.finding')].filter((e) => e.checkVisibility()).length,
      tallest: Math.max(...[...document.querySelectorAll('.finding')].map((e) => e.getBoundingClientRect().height)),
      buttons: [...document.querySelectorAll('.nav, .undo, .checks-tools')].filter((e) => e.checkVisibility()).length,
      clipped: [...document.querySelectorAll('.finding *')].filter((e) => e.scrollWidth > e.clientWidth + 1 && e.clientWidth > 1).length,
    };
  });
  assert.ok(print.heads.every((display) => display === 'table-header-group'), `${print.heads}`);
  assert.ok(print.cuts.every((cut) => cut === 'avoid'));
  assert.deepEqual([print.shown, print.buttons, print.clipped], [count, 0, 0]);
  // Letter is 279 mm high, 1056 px less margins.
  assert.ok(print.tallest < 950, `${print.tallest}`);
  for (const format of ['A4', 'Letter']) {
    const pdf = await page.pdf({ format });
    const pages = pdf.toString('latin1').match(/\/Type\s*\/Page\b/g)?.length ?? 0;
    assert.ok(pages > 1, `${format}: ${pages} pages`);
  }
});
