// A plan given away: file, share sheet, link, QR code, page to read; and taken in again without touching what is there.

import assert from 'node:assert/strict';
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { deflateSync, inflateSync } from 'node:zlib';
import { journey, openPhone } from './phone.mjs';
import { sound } from './sound.mjs';

const button = (page, name) => page.getByRole('button', { name, exact: true });
const fixture = (name) => readFile(new URL(`../fixtures/${name}.json`, import.meta.url));

async function open(page, url) {
  await page.goto(url);
  await page.locator('body[data-ready="true"]').waitFor();
}

async function openFile(page, buffer, name = 'a.loomwright') {
  await page.locator('#open-file').setInputFiles({ name, mimeType: 'application/json', buffer });
}

/** The screen that gives the plan away. */
async function sharing(page, site, buffer) {
  await open(page, site.url);
  await openFile(page, buffer);
  await button(page, 'Keep and share').tap();
  await page.getByRole('heading', { name: 'As a link' }).waitFor();
}

const linkText = (page) => page.locator('#share-link-text').inputValue();
const kept = (page) => page.locator('.kept').count();

journey('a link holds the whole plan; opened, it is shown before it is kept and overwrites nothing', async ({ page, site, watch }) => {
  await sharing(page, site, await fixture('tractor-shared-rear-lamps'));
  const link = await linkText(page);
  assert.ok(link.startsWith(`${site.url}#plan=`) && link.length < 4000, `${link.length}`);
  const text = inflateSync(Buffer.from(link.split('#plan=')[1], 'base64url')).toString();
  assert.equal(JSON.parse(text).title, 'Ferry-slip tractor, shared rear lamps');
  await sound(page, 'link');
  await button(page, 'Back to all plans').tap();
  assert.equal(await kept(page), 1);

  const before = await page.evaluate(() => localStorage.getItem('loomwright.1.p1.a'));
  await page.goto(link);
  await button(page, 'Keep it as a new plan').waitFor();
  await page.getByText('A plan from a link.').waitFor();
  await sound(page, 'plan from a link');
  assert.equal(new URL(page.url()).hash, '', 'a reload does not ask again');
  await button(page, 'Leave it').tap();
  assert.equal(await kept(page), 1);
  await page.goto(link);
  await button(page, 'Keep it as a new plan').tap();
  await page.getByRole('heading', { level: 1, name: 'Ferry-slip tractor, shared rear lamps' }).waitFor();
  await button(page, 'Back to all plans').tap();
  assert.equal(await kept(page), 2);
  assert.equal(await page.evaluate(() => localStorage.getItem('loomwright.1.p1.a')), before);
  assert.ok(watch.requests.every(({ url }) => !new URL(url).search), 'nothing of the plan reaches the server');
});

journey('links that are cut, changed, too large or no plan are refused in words', async ({ page, site }) => {
  await open(page, site.url);
  const packed = (text) => deflateSync(Buffer.from(text)).toString('base64url');
  const whole = packed((await fixture('wagon-four-turn-lamps')).toString());
  const cases = [
    [`plan=${whole.slice(0, 400)}`, /cut off or changed/],
    [`plan=${whole.slice(0, 300)}x${whole.slice(301)}`, /cut off or changed/],
    [`plan=${whole}*`, /cut off or changed/],
    [`plan=${packed('x'.repeat(5 << 20))}`, /more than a plan may have/],
    [`plan=${packed('{"format":"diary"}')}`, /not a Loomwright plan/],
    [`n=12`, /cut off or changed/],
  ];
  for (const [fragment, sentence] of cases) {
    await page.goto(`${site.url}#${fragment}`);
    await page.getByText(sentence).waitFor();
    await page.getByText('Nothing was changed.').waitFor();
  }
  // In a page that is open already, too.
  await page.evaluate((fragment) => (location.hash = fragment), `plan=${whole}`);
  await button(page, 'Keep it as a new plan').waitFor();
});

journey('a small plan has a QR code, a larger one says why not, and a huge one has no link', async ({ page, site }) => {
  const plan = JSON.parse(await fixture('cart-48-volts'));
  plan.parts = plan.parts.slice(0, 6);
  plan.wires = [];
  plan.wishes = [];
  await sharing(page, site, Buffer.from(JSON.stringify(plan)));
  // Its switches may speak of nothing: it is opened as it is.
  await button(page, 'QR code').tap();
  const code = page.getByRole('img', { name: 'QR code of the link to this plan' });
  await code.waitFor();
  await sound(page, 'QR code');
  const side = await code.evaluate((svg) => svg.viewBox.baseVal.width - 8);
  assert.ok(side >= 21 && side <= 117, `version 25 at most: ${side} modules`);

  await button(page, 'Back to all plans').tap();
  await sharing(page, site, await fixture('tractor-shared-rear-lamps'));
  await page.getByText(/too large for a QR code.*packed it has \d+ bytes, and \d+ fit/).waitFor();

  await button(page, 'Back to all plans').tap();
  const huge = JSON.parse(await fixture('wagon-four-turn-lamps'));
  let seed = 1;
  huge.notes = Array.from({ length: 20_000 }, () => {
    seed = (seed * 48271) % 2147483647;
    return String.fromCharCode(33 + (seed % 90));
  }).join('');
  await sharing(page, site, Buffer.from(JSON.stringify(huge)));
  await page.getByText(/The link would have \d+ characters.*send the plan as a file/).waitFor();
});

journey('the share sheet gets the file, or the drawing where it takes no plan files', async ({ page, site }) => {
  await page.addInitScript(() => {
    globalThis.shared = [];
    navigator.canShare = ({ files, url }) => Boolean(url) || (files ?? []).every((file) => /\.svg$/.test(file.name));
    navigator.share = async (data) => {
      globalThis.shared.push({ title: data.title, url: data.url, name: data.files?.[0]?.name, text: await data.files?.[0]?.text() });
    };
  });
  await sharing(page, site, await fixture('wagon-four-turn-lamps'));
  await button(page, 'Send the plan…').tap();
  await button(page, 'Send the link…').tap();
  await page.waitForFunction(() => globalThis.shared.length === 2);
  const shared = await page.evaluate(() => globalThis.shared);
  const file = shared.find(({ name }) => name);
  assert.equal(file.name, 'parade-wagon-four-turn-lamps.svg');
  assert.match(file.text, /loomwright-plan/);
  assert.match(shared.find(({ url }) => url).url, /#plan=/);
});

journey('the page to read runs no script, asks for nothing, and shows drawing, table and notes', async ({ page, site, browser }) => {
  const plan = JSON.parse(await fixture('wagon-four-turn-lamps'));
  plan.title = '<img src=x onerror=alert(1)> & "wagon"';
  plan.notes = '</p><script>globalThis.planted = true</script>\n=cmd|calc';
  plan.parts[0].label = '"><svg onload="globalThis.planted=1">';
  await sharing(page, site, Buffer.from(JSON.stringify(plan)));
  const [download] = await Promise.all([page.waitForEvent('download'), button(page, 'Download a page to read').tap()]);
  assert.match(download.suggestedFilename(), /^img-src-x-onerror-alert-1-wagon\.html$/);
  const folder = await mkdtemp(join(tmpdir(), 'lw-page-'));
  try {
    const path = join(folder, 'a.html');
    const html = await readFile(await download.path(), 'utf8');
    await writeFile(path, html);
    const { context, page: reader, watch } = await openPhone(browser, 'null');
    await reader.goto(pathToFileURL(path).href);
    assert.equal(await reader.evaluate(() => globalThis.planted), undefined);
    assert.equal(await reader.locator('script, img, link, iframe').count(), 0);
    assert.equal(await reader.locator('h1').innerText(), plan.title);
    assert.ok((await reader.locator('.notes').innerText()).includes('<script>'));
    assert.equal(await reader.locator('svg').count(), 1);
    assert.ok((await reader.locator('table').count()) >= 3);
    assert.equal(await reader.evaluate(() => document.documentElement.scrollWidth - innerWidth), 0);
    await sound(reader, 'page to read');
    assert.deepEqual(watch.troubles, []);
    assert.equal(watch.requests.length, 1);
    await context.close();
    // It opens in Loomwright again.
    assert.ok(html.includes('loomwright-plan'));
  } finally {
    await rm(folder, { recursive: true });
  }
});

journey('broken references are told and mended when asked', async ({ page, site }) => {
  const plan = JSON.parse(await fixture('wagon-four-turn-lamps'));
  plan.wires[0].from = 'Z9:1';
  plan.parts.push(plan.parts[0]);
  await open(page, site.url);
  await openFile(page, Buffer.from(JSON.stringify(plan)));
  await page.getByRole('heading', { name: '2 broken references' }).waitFor();
  await page.getByText(/Wire W1 ends at Z9:1/).waitFor();
  await page.getByText(/Two parts carry the identity/).waitFor();
  await sound(page, 'broken references');
  assert.equal(await page.evaluate(() => localStorage.getItem('loomwright.1.p1.a')), null);
  await button(page, 'Mend and open').tap();
  await page.getByRole('heading', { level: 1, name: 'Parade wagon, four turn lamps' }).waitFor();
  await button(page, 'Back to all plans').tap();
  assert.equal(await kept(page), 1);
});

/** Runs in the page before anything else: a launch queue that holds what arrives until somebody listens. */
function fakeQueue() {
  let hear = null;
  const waiting = [];
  const queue = { setConsumer: (consumer) => ((hear = consumer), waiting.splice(0).forEach(consumer)) };
  Object.defineProperty(globalThis, 'launchQueue', { configurable: true, value: queue });
  globalThis.__launch = (name, text) => {
    const files = name ? [{ kind: 'file', name, getFile: async () => new File([text], name) }] : [];
    const launch = { targetURL: location.href, files };
    if (hear) hear(launch);
    else waiting.push(launch);
  };
}

journey('a file that the system opens is looked at first, and no plan is overwritten', async ({ page, site }) => {
  const text = await readFile(new URL('../fixtures/tractor-shared-rear-lamps.json', import.meta.url), 'utf8');
  await page.addInitScript(fakeQueue);
  // It arrives before the program does.
  await page.addInitScript(
    (text) => sessionStorage.getItem('later') ?? globalThis.__launch('ferry.loomwright', text),
    text,
  );
  await page.goto(site.url);
  const asked = page.getByText('A plan from a file.');
  await asked.waitFor();
  await page.getByRole('heading', { level: 1, name: 'Ferry-slip tractor' }).waitFor();
  await sound(page, 'a file from the system');
  const kept = () => page.evaluate(() => Object.keys(localStorage).filter((key) => /^loomwright\.1\.p/.test(key)));
  assert.deepEqual(await kept(), []);
  await page.getByRole('button', { name: 'Keep it as a new plan' }).tap();
  await page.locator('.drawing').waitFor();
  const before = await page.evaluate(() => ({ ...localStorage }));

  // Another one while that is open, with the same name: left, then kept beside it.
  const launch = (name, text) => page.evaluate(([name, text]) => globalThis.__launch(name, text), [name, text]);
  const other = text.replace('Ferry-slip tractor', 'Ferry-slip tractor, other');
  assert.notEqual(other, text);
  await launch('ferry.loomwright', other);
  await asked.waitFor();
  await page.getByRole('button', { name: 'Leave it' }).tap();
  assert.deepEqual(await page.locator('.kept strong').allInnerTexts(), ['Ferry-slip tractor, shared rear lamps']);
  await launch('ferry.loomwright', other);
  await page.getByRole('button', { name: 'Keep it as a new plan' }).tap();
  await page.getByRole('heading', { level: 1, name: 'Ferry-slip tractor, other' }).waitFor();
  const after = await page.evaluate(() => ({ ...localStorage }));
  for (const key of Object.keys(before).filter((key) => key.startsWith('loomwright.1.p1.'))) {
    assert.equal(after[key], before[key], key);
  }

  // What is no plan says so; a start without a file changes nothing.
  await launch('holiday.loomwright', 'no plan');
  await page.getByText(/holiday\.loomwright: .*Nothing was changed\./).waitFor();
  await sound(page, 'a file that is none');
  await page.evaluate(() => sessionStorage.setItem('later', ''));
  await page.goto(site.url);
  await page.getByRole('heading', { level: 1, name: 'Ferry-slip tractor, other' }).waitFor();
  await launch(null);
  await page.waitForTimeout(100);
  await page.getByRole('heading', { level: 1, name: 'Ferry-slip tractor, other' }).waitFor();
});
