// The page in other languages: everything it says can be translated, and German is all there.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { journey } from './phone.mjs';
import { leaks, said, translation, worded } from './pseudo.mjs';
import { sound } from './sound.mjs';

const SHARED = new URL('../../static/', import.meta.url);
const json = async (url) => JSON.parse(await readFile(url, 'utf8'));
const fixture = (name) => json(new URL(`../fixtures/${name}.json`, import.meta.url));

async function open(page, url) {
  await page.goto(url);
  await page.locator('body[data-ready="true"]').waitFor();
}

const openFile = (page, plan) =>
  page.locator('#open-file').setInputFiles({
    name: 'a.json',
    mimeType: 'application/json',
    buffer: Buffer.from(typeof plan === 'string' ? plan : JSON.stringify(plan)),
  });

const show = (page, screen) => page.locator(`.nav [data-show="${screen}"]`).tap();

/** A phone whose German is the made-up language; `look` notes what it shows in plain letters, `found` all of that. */
async function madeUp({ page, context }) {
  const file = translation(await readFile(new URL('text/loomwright.pot', SHARED), 'utf8'));
  await context.route('**/text/de.po', (route) => route.fulfill({ body: file, contentType: 'text/plain; charset=utf-8' }));
  await context.addInitScript(() => {
    // A page that is only read in these tests has no storage.
    if (location.protocol.startsWith('http')) localStorage.setItem('loomwright.language', 'de');
    globalThis.print = () => {};
  });
  const found = new Map();
  const note = (screen, texts) => {
    for (const text of leaks(texts)) if (!found.has(text)) found.set(text, screen);
  };
  return {
    note,
    look: async (screen) => note(screen, await page.evaluate(said)),
    found: () => [...found].map(([text, screen]) => `${screen}: ${text.slice(0, 200)}`),
  };
}

/** Taps whatever matches, whether or not something lies over it. */
const press = (page, selector, at = 0) => page.locator(selector).nth(at).dispatchEvent('click');

/** The tractor with one diode bridged, so that current runs backwards, in the made-up language. */
async function troubled() {
  const plan = worded(await fixture('tractor-shared-rear-lamps'));
  plan.parts = plan.parts.filter(({ id }) => id !== 'V1');
  plan.wires = plan.wires.filter(({ from, to }) => !`${from} ${to}`.includes('V1:'));
  plan.wires.push({ ...plan.wires[0], id: 'W99', from: 'X2:1', to: 'X6:1' });
  return plan;
}

const LONG = { timeout: 240_000 };

journey('nothing is said past the translations: start, form, draft', LONG, async ({ page, context, site }) => {
  const { look, note, found } = await madeUp({ page, context });
  await open(page, site.url);
  assert.equal(await page.locator('html').getAttribute('lang'), 'de');
  await look('start');
  await openFile(page, '{"format":"diary"}');
  await page.locator('.wrong').waitFor();
  note('refused file', [(await page.locator('.wrong').innerText()).replace('a.json', '')]);
  const broken = await fixture('wagon-four-turn-lamps');
  for (const change of [
    (plan) => (plan.version = 99),
    (plan) => (plan.parts = 'none'),
    (plan) => (plan.wires[0].length_mm = 'long'),
    (plan) => (plan.parts[0].kind = 'organ'),
    (plan) => (plan.parts[0].id = ''),
  ]) {
    const plan = structuredClone(broken);
    change(plan);
    await openFile(page, plan);
    await page.locator('.wrong').waitFor();
    // The file's name and its own words are told back, and the words that the format knows.
    const text = (await page.locator('.wrong').innerText())
      .replace(/"long"|\borgan\b/g, '')
      .replace(/[a-z_]+(?:, [a-z_]+)+/g, '')
      .replace(/a\.json|\b(?:parts|wires)\b/g, '');
    note('refused file', [text]);
  }
  for (const hash of ['#plan=xyz', '#n=12']) {
    await page.goto(site.url + hash);
    await page.locator('main a.button').waitFor();
    await look('link');
    await open(page, `${site.url}?`);
  }

  await press(page, '#home-new + .stack .main-button');
  const next = page.locator('.end-bar .main-button').last();
  for (let pages = 0; (await page.locator('.answers').count()) === 0; pages += 1) {
    assert.ok(pages < 30);
    await look(`form, page ${pages + 1}`);
    // The pages of a lamp and of a control behind their lists.
    const items = await page.locator('.flow-item').count();
    for (let item = 0; item < items; item += 1) {
      await page.locator('.flow-item').nth(item).locator('button').first().tap();
      await page.locator('.flow-item').first().waitFor({ state: 'detached' });
      await look(`form, page ${pages + 1}, thing ${item + 1}`);
      await next.tap();
      await page.locator('.flow-item').first().waitFor();
    }
    // A slip in a number.
    const number = page.locator('.flow-page input[inputmode="decimal"]').first();
    if (await number.count()) {
      const value = await number.inputValue();
      await number.fill('x');
      await next.tap();
      await page.locator('.problems').waitFor();
      await look(`form, page ${pages + 1}, a slip`);
      await number.fill(value);
      await number.press('Enter');
    }
    const title = await page.locator('.flow-page h2').innerText();
    await next.tap();
    await page.waitForFunction((title) => document.querySelector('.flow-page h2').innerText !== title, title);
  }
  await look('all answers');
  await next.tap();
  await page.locator('.drawing').first().waitFor();
  await look('draft');
  for (const screen of ['behaviour', 'checks', 'build']) {
    await show(page, screen);
    await page.locator(`.${screen}`).waitFor();
    await look(`draft, ${screen}`);
  }
  assert.deepEqual(found(), []);
});

journey('nothing is said past the translations: drawing, behaviour, checks, cures, catalogue', LONG, async ({ page, context, site }) => {
  const { look, found } = await madeUp({ page, context });
  await open(page, site.url);
  await openFile(page, await troubled());
  await page.locator('.drawing').first().waitFor();
  await look('paths');
  for (const control of await page.locator('.controls [data-control]').all()) {
    await control.dispatchEvent('click');
    await look('paths, a control moved');
  }
  // A part of each kind, a wire and a lamp are picked, with all that is told of them.
  for (const kind of ['G', 'F', 'S', 'K', 'V', 'X', 'XG', 'E']) {
    const part = page.locator(`.drawing [data-id^="part-${kind}"], .drawing [data-id^="lamp-${kind}"]`).first();
    if ((await part.count()) === 0) continue;
    await part.dispatchEvent('click');
    await look(`paths, ${kind} picked`);
  }
  await page.locator('.drawing [data-id^="wire-"]').first().dispatchEvent('click');
  await look('paths, a wire picked');
  for (const lamp of await page.locator('.chip').all()) {
    await lamp.dispatchEvent('click');
    await look('paths, a lamp picked');
  }
  for (const tool of await page.locator('.picked-tools .small').all()) {
    if (!(await tool.isVisible())) break;
    await tool.dispatchEvent('click');
    await look('paths, a tool of the picked lamp');
    if (await page.locator('.follow').count()) await press(page, '.follow .small');
    if (await page.locator('.explain').count()) await press(page, '.explain .end-bar .main-button');
  }
  await press(page, '.drawing-more-button');
  await page.locator('#drawing-more').waitFor();
  await page.locator('#drawing-more .check input').dispatchEvent('click');
  for (const button of await page.locator('#drawing-more > button').all()) {
    await button.dispatchEvent('click');
    await page.waitForTimeout(200);
    await look('the drawing as a whole');
  }
  await page.locator('#drawing-more input[value="ieee"]').dispatchEvent('click');
  await look('other symbols');

  await show(page, 'behaviour');
  await page.locator('.cell').first().waitFor();
  await look('behaviour');
  await page.locator('.cell:not([data-verdict="as-wished"])').first().dispatchEvent('click');
  await page.locator('.explain').waitFor();
  await look('explanation');

  await show(page, 'checks');
  await page.locator('.finding').first().waitFor();
  await look('checks');
  await press(page, '.cure .main-button');
  await page.locator('.cure-item').first().waitFor({ timeout: 60_000 });
  await look('cures');
  for (const at of [0, 1, 2]) {
    await press(page, `[data-cure="${at}"]`);
    await page.locator('.preview .sides').waitFor();
    await press(page, '.sides .toggle');
    await look(`cure ${at}`);
    await press(page, '.app > .end-bar .main-button');
    await page.locator('.preview').waitFor({ state: 'detached' });
  }
  const remedies = await page.locator('[data-remedy]').count();
  for (let at = 0; at < Math.min(remedies, 6); at += 1) {
    await press(page, '[data-remedy]', at);
    await page.locator('.preview .sides').waitFor();
    await look('a remedy');
    await press(page, '.app > .end-bar .main-button');
    await page.locator('.preview').waitFor({ state: 'detached' });
  }
  await press(page, '.checks-tools .main-button');
  await page.locator('.preview .sides').waitFor();
  await look('sizes');
  await press(page, '.app > .end-bar .main-button', 1);
  await page.locator('.preview').waitFor({ state: 'detached' });
  await page.locator('.undo').first().waitFor();
  await look('checks after sizing');
  await page.locator('.undo-button').first().dispatchEvent('click');
  await look('checks after undo');

  await press(page, '[data-go="settings"]');
  await page.locator('.form').waitFor();
  await look('rules and units');
  for (const [field, text] of [['f-ambient', 'x'], ['f-bundle', 'x'], ['f-low', 'x']]) {
    await page.locator(`#${field}`).fill(text);
    await page.locator(`#${field}`).press('Enter');
  }
  await press(page, '.form-end .main-button');
  await page.locator('.problems').waitFor();
  await look('rules and units, slips');
  await press(page, '.problems + button');

  await show(page, 'checks');
  await press(page, '[data-go="catalogue"]');
  await page.locator('.catalogue').waitFor();
  await look('catalogue');
  const tables = await page.locator('button.build-item[data-table]').count();
  assert.ok(tables > 10);
  for (let at = 0; at < tables; at += 1) {
    await press(page, 'button.build-item[data-table]', at);
    await page.locator('.sources').waitFor();
    await look(`table ${at + 1}`);
    await press(page, '[data-table="back"]');
    await page.locator('.sources').waitFor({ state: 'detached' });
  }
  assert.deepEqual(found(), []);
});

journey('nothing is said past the translations: lists and forms, giving away, plans kept, errors', LONG, async ({ page, context, site }) => {
  const { look, note, found } = await madeUp({ page, context });
  await open(page, site.url);
  await openFile(page, await troubled());
  await page.locator('.drawing').first().waitFor();
  await show(page, 'build');
  const done = '.form-end .main-button';
  for (const tab of ['Parts', 'Wires', 'Controls', 'Wishes', 'Places', 'Settings']) {
    await press(page, `[data-tab="${tab}"]`);
    await look(tab);
    if (tab === 'Settings') continue;
    await press(page, '.build-item');
    await page.locator(done).waitFor();
    await look(`${tab}, a form`);
    await press(page, done);
    await page.locator('.build').waitFor();
  }
  // A form of every kind of part.
  await press(page, '[data-tab="Parts"]');
  const kinds = await page.locator('#new-kind option').evaluateAll((options) => options.map(({ value }) => value));
  assert.ok(kinds.length > 10);
  for (const kind of kinds) {
    await page.locator('#new-kind').selectOption(kind);
    await press(page, '.add .main-button');
    await page.locator(done).waitFor();
    await look(`a new ${kind}`);
    const number = page.locator('.form input[inputmode="decimal"], .form input[inputmode="numeric"]').first();
    if (await number.count()) {
      await number.fill('x');
      await number.press('Enter');
      await look(`a new ${kind}, a slip`);
      await press(page, done);
      await page.locator('.problems').waitFor();
      await look(`a new ${kind}, problems`);
      await press(page, '.problems + button');
    } else {
      await press(page, '.form-end .danger');
    }
    await page.locator('.build').waitFor();
  }
  await look('parts of every kind');
  await press(page, '[data-tab="Wires"]');
  await press(page, '.add .main-button');
  await page.locator('#new-from').waitFor();
  await look('a new wire');
  await page.locator('#new-length').fill('x');
  await press(page, done);
  await page.locator('.problems').waitFor();
  await look('a new wire, nothing chosen');
  await press(page, '.form-end button', 1);
  for (const tab of ['Controls', 'Wishes', 'Places']) {
    await press(page, `[data-tab="${tab}"]`);
    await press(page, '.add .main-button');
    await page.locator(done).waitFor();
    await look(`${tab}, a new one`);
    if (tab === 'Controls') {
      await page.locator('#f-label').fill('');
      await page.locator('#f-label').press('Enter');
      await look('a name left out');
      await press(page, done);
      await press(page, '.problems + button');
    } else {
      await press(page, done);
    }
    await page.locator('.build').waitFor();
  }
  await show(page, 'checks');
  await page.locator('.finding').first().waitFor();
  await look('checks of many new things');
  await show(page, 'paths');
  await look('paths with many new things');

  await press(page, '.head-share');
  await page.locator('#share-link-text').waitFor();
  await look('giving away');
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    press(page, '[aria-labelledby="share-file"] .main-button', (await page.locator('[aria-labelledby="share-file"] .main-button').count()) - 1),
  ]);
  const html = await readFile(await download.path(), 'utf8');
  const reader = await context.newPage();
  await reader.setContent(html);
  note('the page to read', await reader.evaluate(said));
  await reader.close();
  await press(page, '[aria-labelledby="share-link"] button', 0);
  await page.waitForTimeout(200);
  await look('the link copied');

  // Another tab changes the plan: the question here.
  const other = await context.newPage();
  await open(other, site.url);
  await show(other, 'build');
  await press(other, '[data-tab="Settings"]');
  await other.locator('#f-title').fill('Ａｎｄｅｒｅｒ');
  await other.locator('#f-title').press('Enter');
  await page.locator('.notice button').nth(2).waitFor();
  await look('changed in another tab');
  await press(page, '.notice button', 1);
  await page.locator('.notice').waitFor({ state: 'detached' });
  await other.close();
  await look('the plan of the other tab');

  for (const news of ['ready', 'elsewhere']) {
    await page.evaluate((news) => {
      document.body.dataset.update = news;
      dispatchEvent(new Event('loomwright-update'));
    }, news);
    await look(`update ${news}`);
  }
  await press(page, '.head-back');
  await page.locator('.kept').waitFor();
  const broken = await troubled();
  broken.wires[0].from = 'Z9:1';
  broken.wishes[0].lamps.push('E99.main');
  broken.parts[0].place = 'x9';
  await openFile(page, broken);
  await page.locator('#incoming-broken').waitFor();
  await look('broken references');
  await press(page, '.home-main .stack .main-button', 1);
  await page.locator('.drawing').first().waitFor();
  await show(page, 'checks');
  await page.locator('.finding').first().waitFor();
  await look('checks of broken references');
  await press(page, '.head-back');
  await page.locator('.kept').nth(1).waitFor();
  await look('start with plans');
  await press(page, '.kept-delete');
  await look('deleting');
  await press(page, '.kept-ask .danger');
  const undo = '[aria-labelledby="home-kept"] .notice button';
  await page.locator(undo).waitFor();
  await look('deleted');
  await press(page, undo);
  await page.locator('.kept').nth(1).waitFor();
  await page.locator('[aria-labelledby="home-kept"] > .main-button').dispatchEvent('click');
  await page.locator('.sides').waitFor();
  await look('comparison');

  await open(page, site.url);
  await press(page, '.kept .card');
  await page.locator('.drawing').first().waitFor();
  await page.evaluate(() => dispatchEvent(new ErrorEvent('error', { message: 'made up' })));
  await page.locator('.rescue-page').waitFor();
  await look('stopped');
  await open(page, site.url);
  await look('start after a stop');
  assert.deepEqual(found(), []);
});

const german = { context: { locale: 'de-DE' }, timeout: 120_000 };

journey('a German browser opens in German; language and decimal mark can be chosen and are kept', german, async ({ page, site }) => {
  const button = (name) => page.getByRole('button', { name, exact: true });
  await open(page, site.url);
  assert.equal(await page.locator('html').getAttribute('lang'), 'de');
  assert.match(await page.title(), /Lampenverkabelung/);
  await page.getByRole('heading', { name: 'Ihre Pläne' }).waitFor();
  await sound(page, 'Anfang');
  await page.locator('[data-example="tractor"]').tap();
  await page.locator('.drawing').first().waitFor();
  for (const name of ['Verhalten', 'Prüfungen', 'Bauen', 'Wege']) {
    await page.getByRole('navigation').getByRole('button', { name }).tap();
    await sound(page, name);
  }

  // A decimal comma is shown, and read as well as a point; the plan stays what it was.
  await page.getByRole('navigation').getByRole('button', { name: 'Bauen' }).tap();
  await button('Leitungen').tap();
  assert.match(await page.locator('.build-list').innerText(), /2,5 mm²/);
  assert.doesNotMatch(await page.locator('.build-list').innerText(), /\d\.\d/);
  await page.locator('.build-item').first().tap();
  await page.getByLabel('Länge', { exact: true }).fill('1,25 m');
  await page.getByLabel('Länge', { exact: true }).press('Enter');
  await button('Fertig').tap();
  assert.match(await page.locator('.build-item').first().innerText(), /1,25 m/);
  await page.getByRole('button', { name: /^Rückgängig: Länge/ }).waitFor();
  const stored = () =>
    page.evaluate(() => localStorage.getItem(`loomwright.1.p1.${localStorage.getItem('loomwright.1.p1.at')}`));
  assert.match(await stored(), /"length_mm":\s*1250/);
  const plan = await stored();

  // English, chosen on the start screen and kept over a reload.
  await button('Zurück zu allen Plänen').tap();
  await page.getByLabel('Sprache', { exact: true }).selectOption('en');
  await page.getByRole('heading', { name: 'Your plans' }).waitFor();
  assert.equal(await page.locator('html').getAttribute('lang'), 'en');
  await page.reload();
  await page.getByRole('heading', { name: 'Your plans' }).waitFor();
  // An address may ask for another one; a choice after that holds all the same, and the rest of the address stays.
  await page.goto(`${site.url}?language=de&decimal=,`);
  await page.getByRole('heading', { name: 'Ihre Pläne' }).waitFor();
  await page.getByLabel('Sprache', { exact: true }).selectOption('en');
  await page.getByRole('heading', { name: 'Your plans' }).waitFor();
  assert.equal(new URL(page.url()).search, '?decimal=,');
  await open(page, site.url);
  // The region of the browser is not that of the language chosen: a point.
  const length = async () => {
    await page.locator('.kept .card').first().tap();
    await page.locator('.nav [data-show="build"]').tap();
    await page.locator('[data-tab="Wires"]').tap();
    const text = await page.locator('.build-item').first().innerText();
    await page.locator('.head-back').first().tap();
    return text;
  };
  assert.match(await length(), /1\.25 m/);
  await page.getByLabel('Numbers', { exact: true }).selectOption(',');
  await page.getByRole('heading', { name: 'Your plans' }).waitFor();
  await page.locator('html[data-decimal=","]').waitFor();
  assert.match(await length(), /1,25 m/);
  assert.equal(await stored(), plan);
});

journey('a browser that keeps nothing has language and decimal mark in the address', german, async ({ page, site }) => {
  await page.addInitScript(() => {
    Object.defineProperty(globalThis, 'localStorage', {
      get() {
        throw new DOMException('denied', 'SecurityError');
      },
    });
  });
  await open(page, site.url);
  await page.getByLabel('Sprache', { exact: true }).selectOption('en');
  await page.getByRole('heading', { name: 'Your plans' }).waitFor();
  await page.getByLabel('Numbers', { exact: true }).selectOption(',');
  await page.waitForURL('**/?language=en&decimal=,');
  await page.locator('body[data-ready="true"]').waitFor();
  await page.locator('[data-example="tractor"]').tap();
  await page.locator('.nav [data-show="build"]').tap();
  await page.locator('[data-tab="Wires"]').tap();
  assert.match(await page.locator('.build-list').innerText(), /2,5 mm²/);
});
