// A diode is deleted, current runs backwards: the page explains it on the drawing, works out cures, shows each before and
// after, takes one and takes it back.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { journey } from './phone.mjs';
import { sound } from './sound.mjs';

const show = (page, name) => page.getByRole('navigation').getByRole('button', { name }).tap();

/** Opens the hand-drawn tractor, as a file. */
async function openTractor(page, url) {
  await page.goto(url);
  await page.locator('body[data-ready="true"]').waitFor();
  const buffer = await readFile(new URL('../fixtures/tractor-shared-rear-lamps.json', import.meta.url));
  await page.locator('#open-file').setInputFiles({ name: 'a.json', mimeType: 'application/json', buffer });
  await page.getByRole('heading', { level: 1, name: 'Ferry-slip tractor' }).waitFor();
}

/** Diode V1 goes, and a wire takes its place: now the stop feed reaches the left front lamp. */
async function bridgeDiode(page) {
  await show(page, 'Build');
  await page.getByRole('button', { name: /^V1/ }).tap();
  await page.getByRole('button', { name: 'Delete', exact: true }).tap();
  await page.getByRole('button', { name: 'Wires' }).tap();
  await page.getByRole('button', { name: 'Add a wire' }).tap();
  await page.getByLabel('From (supply side)').selectOption('X2:1');
  await page.getByLabel('To (load side)').selectOption('X6:1');
  await page.getByRole('button', { name: 'Save the wire' }).tap();
}

/** Works out the cures and returns their texts. */
async function cures(page) {
  await show(page, 'Checks');
  await page.getByRole('button', { name: 'Work out a cure' }).tap();
  await page.locator('.cure-item').first().waitFor();
  return page.locator('.cure-item').allInnerTexts();
}

journey('back-feed is explained, and a cure is looked at, taken and undone', async ({ page, site }) => {
  await openTractor(page, site.url);
  await bridgeDiode(page);

  const offered = await cures(page);
  assert.match(await page.locator('.finding-group[data-severity="fault"]').innerText(), /E1\.main .*though it should be off/s);
  assert.match(offered[0], /1 diode, the least that works/);
  assert.match(offered[0], /Now:.*back-fed.*With it:\s*4 masked/s);
  assert.match(offered[1], /second pole.*With it:\s*all as wished/s);
  assert.match(offered[2], /relays.*With it:\s*all as wished/s);
  await sound(page, 'Checks with cures');

  // The second one: before and after side by side, what is new marked on the drawing, what it costs.
  await page.locator('[data-cure="1"]').tap();
  await page.getByRole('heading', { name: /^Cure: Turn before stop by a second pole/ }).waitFor();
  await page.locator('.side').first().waitFor();
  const preview = page.locator('.preview');
  assert.match(await page.locator('.effect').innerText(), /Now\s*.*back-fed.*With it\s*all as wished/s);
  assert.ok((await preview.locator('.drawing .marked').count()) > 3);
  assert.match(await preview.locator('.costs').innerText(), /Silicon 10A04\s+Schottky/);
  assert.match(await preview.locator('.costs').innerText(), /Drop and heat of V\d+\s+–\s+[\d.]+\sV, [\d.]+\sW/);
  const front = preview.locator('.side', { hasText: 'Turn front left' }).first();
  assert.match(await front.innerText(), /Now\s+With it\s+Turn front left\s+[a-z]+, \d+ %\s+◀ back-fed\s+off\s+✓ as wished/);
  const few = await page.locator('.side').count();
  await sound(page, 'preview');
  await page.getByRole('button', { name: 'Show every state and lamp' }).tap();
  assert.ok((await page.locator('.side').count()) > few);
  await sound(page, 'preview of every state');

  // Back changes nothing and leads to the cures as they were.
  await page.getByRole('button', { name: 'Back', exact: true }).tap();
  assert.equal(await page.locator('.cure-item').count(), offered.length);
  assert.equal(await page.getByRole('button', { name: /^Undo: Cure/ }).count(), 0);

  await page.locator('[data-cure="0"]').tap();
  await page.getByRole('button', { name: 'Apply' }).tap();
  await page.getByRole('button', { name: /^Undo: Cure/ }).waitFor();
  assert.doesNotMatch(await page.locator('.checks').innerText(), /though it should be off/);
  // What is left is the hidden flash; a second pole on the turn switches ends that too.
  await cures(page);
  await page.locator('[data-cure="0"]').tap();
  await page.getByRole('button', { name: 'Apply' }).tap();
  await page.locator('.cure').waitFor({ state: 'detached' });
  await show(page, 'Behaviour');
  await page.getByText('Every lamp does what was wished in each.').waitFor();
  await show(page, 'Checks');
  await page.getByRole('button', { name: /^Undo: Cure/ }).tap();
  await page.getByRole('button', { name: /^Undo: Cure/ }).tap();
  await page.getByText('though it should be off').first().waitFor();
});

journey('one tap on a bad cell or on a finding explains it, with the wire that runs backwards', async ({ page, site }) => {
  await openTractor(page, site.url);
  await bridgeDiode(page);
  await show(page, 'Behaviour');
  await page.locator('.cell[data-verdict="back-fed"]').first().tap();
  await page.getByRole('heading', { name: /Why Turn front left is back-fed/ }).waitFor();
  const explained = await page.locator('.explain').innerText();
  assert.match(explained, /Breaks the rule that what no wish names stays off/);
  assert.match(explained, /comes through .*Brake \(S4\).* runs backwards in wire (W\d+)/s);
  assert.match(explained, /G1\s+Battery/);
  const [, wire] = explained.match(/runs backwards in wire (W\d+)/);
  const marked = page.locator(`.drawing [data-id="wire-${wire}"]`);
  assert.match(await marked.getAttribute('class'), /back-fed/);
  assert.match(await marked.getAttribute('class'), /reverse/);
  assert.equal(await marked.locator('.backward').evaluate((e) => getComputedStyle(e).display), 'inline');
  await sound(page, 'explanation');
  await page.getByRole('button', { name: 'Close' }).tap();
  await page.getByRole('heading', { name: 'Path of Turn front left' }).waitFor();
  await page.getByRole('button', { name: 'Why?' }).tap();
  await page.getByRole('button', { name: 'See the cures' }).tap();
  await page.getByRole('button', { name: 'Work out a cure' }).waitFor();

  // A masked lamp: the finding leads to the feed that hides the flash.
  const masked = page.locator('.finding', { hasText: 'a steady feed hides it' }).first();
  await masked.getByRole('button', { name: 'Explain on the drawing' }).tap();
  await page.getByRole('heading', { name: /Why .* is masked/ }).waitFor();
  assert.match(await page.locator('.explain').innerText(), /Breaks wish \w+: flashing with .*Brake \(S4\).*it hides the flash/s);
  assert.ok((await page.locator('.drawing .hiding').count()) > 3);
  await sound(page, 'explanation of a masked lamp');
});

journey('the search for cures runs off the main thread, is stopped by a tap and started again', async ({ page, site }) => {
  await openTractor(page, site.url);
  await bridgeDiode(page);
  await show(page, 'Checks');
  const started = [];
  page.on('worker', (worker) => started.push(worker.url()));
  // Both taps inside the page: from outside the search could be done before the second one.
  await page.evaluate(async () => {
    const button = (name) => [...document.querySelectorAll('.cure button')].find((b) => b.textContent === name);
    button('Work out a cure').click();
    while (!button('Stop')) await new Promise((next) => setTimeout(next));
    button('Stop').click();
  });
  await page.getByText('Stopped. Nothing was changed.').waitFor();
  assert.equal(await page.locator('.cure-item').count(), 0);
  assert.equal(await page.locator('.cure progress').count(), 0);
  await sound(page, 'stopped search');

  assert.equal((await cures(page)).length, 3);
  assert.ok(started.length > 0);
  assert.ok(started.every((url) => url.startsWith(`blob:${site.origin}/`)), `${started}`);
  assert.equal(page.workers().length, 0, 'a worker that has answered is let go');
});

journey('a large table is worked out in slices, and taps are answered meanwhile', async ({ page, site }) => {
  await page.goto(site.url);
  await page.locator('body[data-ready="true"]').waitFor();
  const plan = JSON.parse(await readFile(new URL('../fixtures/tractor-shared-rear-lamps.json', import.meta.url)));
  // Seven more switches of two positions, each moved by its own control: over a thousand states.
  const model = plan.controls.find((c) => c.positions.length === 2);
  for (let i = 0; i < 7; i += 1) plan.controls.push({ ...model, id: `extra${i}`, label: `Spare ${i}` });
  const buffer = Buffer.from(JSON.stringify(plan));
  await page.locator('#open-file').setInputFiles({ name: 'a.json', mimeType: 'application/json', buffer });
  const bar = page.getByRole('progressbar', { name: 'States worked out' });
  await bar.waitFor();
  await show(page, 'Behaviour');
  await bar.waitFor({ state: 'detached' });
  const said = await page.locator('.behaviour').innerText();
  const [, states] = said.match(/(\d+) states, all of them worked out/);
  assert.ok(Number(states) > 1000 && Number(states) % 2 ** 7 === 0, states);
});
