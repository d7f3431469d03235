// Every screen on a small phone, on its side, with large text and in the dark: nothing cut, nothing too small, no breach
// of the accessibility rules.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { journey } from './phone.mjs';
import { sound } from './sound.mjs';

const LISTS = ['Parts', 'Wires', 'Controls', 'Wishes', 'Places', 'Settings'];

/** Goes through the screens and calls `look` on each with its name. */
async function everyScreen(page, url, look) {
  await page.goto(url);
  await page.locator('body[data-ready="true"]').waitFor();
  await look('start');
  await page.getByRole('button', { name: 'Plan my own' }).tap();
  await page.locator('.flow').waitFor();
  await look('form');
  await page.goto(url);
  await page.locator('body[data-ready="true"]').waitFor();
  const buffer = await readFile(new URL('../fixtures/tractor-shared-rear-lamps.json', import.meta.url));
  await page.locator('#open-file').setInputFiles({ name: 'a.json', mimeType: 'application/json', buffer });
  await page.locator('.drawing').waitFor();
  await look('paths');
  for (const name of ['Behaviour', 'Checks', 'Build']) {
    await page.getByRole('navigation').getByRole('button', { name }).tap();
    await look(name);
  }
  for (const name of LISTS) {
    await page.locator('.build').getByRole('button', { name, exact: true }).tap();
    await look(name);
  }
  await page.getByRole('button', { name: 'Keep and share' }).tap();
  await page.locator('.link-text').waitFor();
  await look('share');
  await page.getByRole('button', { name: 'Back to all plans' }).tap();
  const broken = JSON.parse(buffer);
  broken.wires[0].from = 'Z9:1';
  await page.locator('#open-file').setInputFiles({ name: 'b.json', mimeType: 'application/json', buffer: Buffer.from(JSON.stringify(broken)) });
  await page.getByRole('button', { name: 'Open as it is' }).tap();
  await page.getByRole('button', { name: 'Back to all plans' }).tap();
  await look('start with plans');
  await page.locator('#open-file').setInputFiles({ name: 'b.json', mimeType: 'application/json', buffer: Buffer.from(JSON.stringify(broken)) });
  await page.getByRole('button', { name: 'Mend and open' }).waitFor();
  await look('broken references');
  await page.getByRole('button', { name: 'Leave it' }).tap();
  await page.getByRole('button', { name: 'Compare two plans' }).tap();
  await page.getByRole('heading', { name: 'Behaviour side by side' }).waitFor();
  await look('comparison');
}

const DARK = { name: 'in the dark', size: { width: 360, height: 740 }, dark: true };
const SIZES = [
  { name: 'on a phone', size: { width: 360, height: 740 } },
  DARK,
  { name: 'at 320 px', size: { width: 320, height: 640 } },
  { name: 'on its side', size: { width: 740, height: 360 } },
  { name: 'with text twice as large', size: { width: 360, height: 740 }, text: '200%' },
];

for (const { name, size, dark, text } of SIZES) {
  journey(`every screen holds ${name}`, async ({ page, site }) => {
    await page.setViewportSize(size);
    if (dark) await page.addInitScript(() => localStorage.setItem('loomwright.theme', 'dark'));
    if (text) {
      // What a browser's own text size does: everything in rem grows.
      await page.addInitScript((to) => {
        addEventListener('DOMContentLoaded', () => document.documentElement.style.setProperty('font-size', to));
      }, text);
    }
    await everyScreen(page, site.url, (screen) => sound(page, `${screen} ${name}`));
  });
}

journey('the dark look is chosen by a tap and kept', async ({ page, site }) => {
  const ground = () => page.evaluate(() => getComputedStyle(document.body).backgroundColor);
  await page.goto(site.url);
  await page.getByRole('button', { name: 'Dark, for the garage' }).tap();
  await page.locator('html[data-theme="dark"]').waitFor();
  const dark = await ground();
  await page.reload();
  await page.locator('body[data-ready="true"]').waitFor();
  assert.equal(await ground(), dark);
  assert.equal(await page.getByRole('button', { name: 'Dark, for the garage' }).getAttribute('aria-pressed'), 'true');
  // On paper it is dark on white all the same.
  await page.emulateMedia({ media: 'print' });
  assert.equal(await ground(), 'rgb(255, 255, 255)');
});

journey('on its side the drawing keeps room beside the switches', async ({ page, site }) => {
  await page.setViewportSize({ width: 740, height: 360 });
  await page.goto(site.url);
  await page.getByRole('button', { name: /^Parade wagon/ }).tap();
  const drawing = await page.locator('.drawing-view').boundingBox();
  const dock = await page.locator('.paths-dock').boundingBox();
  assert.ok(drawing.height > 180, `${drawing.height}`);
  assert.ok(dock.x >= drawing.x + drawing.width - 1, 'side by side');
});

journey('the table prints whole, with the name of its lamp in each cell where it is wide', async ({ page, site }) => {
  const plan = JSON.parse(await readFile(new URL('../fixtures/tractor-shared-rear-lamps.json', import.meta.url)));
  const lamps = plan.parts.filter((part) => /^E\d/.test(part.id));
  for (const lamp of lamps) plan.parts.push({ ...lamp, id: `${lamp.id}0`, label: `${lamp.label}, second` });
  const buffer = Buffer.from(JSON.stringify(plan));
  await page.goto(site.url);
  await page.locator('#open-file').setInputFiles({ name: 'a.json', mimeType: 'application/json', buffer });
  await page.locator('.drawing').waitFor();
  await page.getByRole('navigation').getByRole('button', { name: 'Behaviour' }).tap();
  await page.locator('.table-pane').waitFor();
  await page.emulateMedia({ media: 'print' });
  for (const [paper, width] of [['A4', 794], ['Letter', 816]]) {
    await page.setViewportSize({ width, height: 1000 });
    const cut = await page.locator('.table-pane').evaluate((pane) => ({
      over: pane.scrollWidth - pane.clientWidth,
      named: getComputedStyle(pane.querySelector('td'), '::before').content,
      lamps: pane.querySelectorAll('thead th').length - 1,
    }));
    assert.ok(cut.lamps > 6, paper);
    assert.ok(cut.over <= 0, `${paper}: ${cut.over} px cut`);
    assert.match(cut.named, /\w/, paper);
  }
});
