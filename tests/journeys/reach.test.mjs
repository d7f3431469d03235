// Every screen on a small phone, on its side, with large text and in the dark: nothing cut, nothing too small, no breach
// of the accessibility rules.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { journey } from './phone.mjs';
import { everyScreen } from './screens.mjs';
import { fits, sound } from './sound.mjs';

const PHONE = { width: 360, height: 740 };
/** Rules of access are the same at every size, so they are tried at one, in both looks. Large text may ask for a scroll. */
const SIZES = [
  { name: 'on a phone', size: PHONE, holds: sound },
  { name: 'in the dark', size: PHONE, theme: 'dark', holds: sound },
  { name: 'at 320 px', size: { width: 320, height: 640 }, holds: fits },
  { name: 'on its side', size: { width: 740, height: 360 }, holds: fits },
  { name: 'on a wide screen', size: { width: 1280, height: 800 }, holds: fits },
  { name: 'with text twice as large', size: PHONE, text: '200%', holds: (page, name) => fits(page, name, { low: false }) },
];

for (const { name, size, theme, text, holds } of SIZES) {
  journey(`every screen holds ${name}`, { timeout: 180_000 }, async ({ page, site }) => {
    await page.setViewportSize(size);
    if (theme) await page.addInitScript((to) => localStorage.setItem('loomwright.theme', to), theme);
    if (text) {
      // What a browser's own text size does: everything in rem grows.
      await page.addInitScript((to) => {
        addEventListener('DOMContentLoaded', () => document.documentElement.style.setProperty('font-size', to));
      }, text);
    }
    await everyScreen(page, site.url, (screen) => holds(page, `${screen} ${name}`));
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
