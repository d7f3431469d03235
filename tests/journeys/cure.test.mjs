// A diode is deleted, current runs backwards; the page finds it, works out the cure, and takes it by one tap.

import assert from 'node:assert/strict';
import { AxeBuilder } from '@axe-core/playwright';
import { journey } from './phone.mjs';

const show = (page, name) => page.getByRole('navigation').getByRole('button', { name }).tap();

async function openTractor(page, url) {
  await page.goto(url);
  await page.locator('body[data-ready="true"]').waitFor();
  await page.getByRole('button', { name: /Ferry-slip tractor/ }).tap();
}

/** Works out the cures and returns their texts. */
async function cures(page) {
  await show(page, 'Checks');
  await page.getByRole('button', { name: 'Work out a cure' }).tap();
  await page.locator('.cure-item').first().waitFor();
  return page.locator('.cure-item').allInnerTexts();
}

journey('a wire put in the place of a diode is found as back-feed and cured by one tap', async ({ page, site }) => {
  await openTractor(page, site.url);
  // Diode V1 goes, and a wire takes its place: now the stop feed reaches the left front lamp.
  await show(page, 'Build');
  await page.getByRole('button', { name: /^V1/ }).tap();
  await page.getByRole('button', { name: 'Delete', exact: true }).tap();
  await page.getByRole('button', { name: 'Wires' }).tap();
  await page.getByRole('button', { name: 'Add a wire' }).tap();
  await page.getByLabel('From (supply side)').selectOption('X2:1');
  await page.getByLabel('To (load side)').selectOption('X6:1');
  await page.getByRole('button', { name: 'Save the wire' }).tap();

  const offered = await cures(page);
  assert.match(await page.locator('.finding-group[data-severity="fault"]').innerText(), /E1\.main .*though it should be off/s);
  assert.match(offered[0], /1 diode, the least number that works/);
  assert.match(offered[0], /Now:.*back-fed.*With it:\s*4 masked/s);
  assert.match(offered[1], /second pole.*With it:\s*all as wished/s);
  assert.match(offered[2], /relays.*With it:\s*all as wished/s);
  // The list scrolls inside its screen; the page itself never does.
  assert.equal(await page.evaluate(() => document.documentElement.scrollHeight - innerHeight), 0);
  const { violations } = await new AxeBuilder({ page }).analyze();
  assert.deepEqual(violations.map((v) => v.id), []);

  await page.locator('[data-cure="0"]').tap();
  await page.getByRole('button', { name: /^Undo: Cure/ }).waitFor();
  assert.doesNotMatch(await page.locator('.checks').innerText(), /though it should be off/);
  // What is left is the hidden flash; a second pole on the turn switches ends that too.
  await cures(page);
  await page.locator('[data-cure="0"]').tap();
  await page.getByText('Nothing found').waitFor();
  await page.getByRole('button', { name: /^Undo: Cure/ }).tap();
  await page.getByRole('button', { name: /^Undo: Cure/ }).tap();
  await page.getByText('though it should be off').first().waitFor();
});
