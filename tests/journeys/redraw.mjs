// Times the layout of the drawing, and its redraw after one edit, in the page at full and at a quarter of its speed.
//
// First: cargo test --test drawing_report -- --ignored report     writes the plans to tests/out/plans
// Then:  node tests/journeys/redraw.mjs [NAME…]                   plans of the corpus; all without names
//
// `tidy` is the layout from nothing, `edit` the layout near the last drawing after one wire is taken out (and put in
// again), both as the page measures them; `shown` runs from the key that undoes the edit until the new drawing has been
// painted, with the state solved and everything else the page does.

import { readFile, readdir } from 'node:fs/promises';
import { launch, PHONE } from './browser.mjs';
import { serve } from './serve.mjs';

const FOLDER = new URL('../out/plans/', import.meta.url);
const TURNS = 7;

const median = (values) => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)];

async function measured(page, tools, rate) {
  await tools.send('Emulation.setCPUThrottlingRate', { rate });
  return page.evaluate(async (turns) => {
    const took = () => {
      const all = performance.getEntriesByName('loomwright-layout', 'measure');
      const last = all.at(-1)?.duration ?? 0;
      performance.clearMeasures('loomwright-layout');
      return last;
    };
    const painted = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
    const press = (shiftKey) =>
      document.body.dispatchEvent(
        new KeyboardEvent('keydown', { key: 'z', ctrlKey: true, shiftKey, bubbles: true, cancelable: true }),
      );
    const tidy = [];
    const edit = [];
    const shown = [];
    document.querySelector('.drawing-more-button').click();
    await painted();
    const button = [...document.querySelectorAll('.drawing-more button')].find((b) => b.textContent === 'Tidy up');
    for (let i = 0; i < turns; i += 1) {
      took();
      button.click();
      await painted();
      tidy.push(took());
    }
    document.querySelector('.drawing-more-button').click();
    await painted();
    for (let i = 0; i < 2 * turns; i += 1) {
      took();
      const start = performance.now();
      press(i % 2 === 1);
      const laid = () => performance.getEntriesByName('loomwright-layout', 'measure').length > 0;
      for (let frame = 0; frame < 100 && !(laid() && frame > 0); frame += 1) await painted();
      shown.push(performance.now() - start);
      edit.push(took());
    }
    return { tidy, edit, shown };
  }, TURNS);
}

const browser = await launch();
const site = await serve();
try {
  const names = (await readdir(FOLDER)).map((file) => file.replace('.json', '')).sort();
  const wanted = process.argv.slice(2);
  console.log('Milliseconds, least and median; the two on the right at a quarter of the speed.');
  console.log('plan                               parts |        tidy |        edit |        edit |       shown');
  for (const name of names.filter((name) => wanted.length === 0 || wanted.some((part) => name.includes(part)))) {
    const buffer = await readFile(new URL(`${name}.json`, FOLDER));
    const parts = JSON.parse(buffer).parts.length;
    const context = await browser.newContext(PHONE);
    const page = await context.newPage();
    const tools = await context.newCDPSession(page);
    await page.goto(site.url);
    await page.locator('body[data-ready="true"]').waitFor();
    await page.locator('#open-file').setInputFiles({ name: 'a.json', mimeType: 'application/json', buffer });
    await page.locator('.drawing').waitFor();
    // Plans of the corpus name controls they do not have.
    const open = page.getByRole('button', { name: 'Open as it is' });
    if (await open.isVisible()) await open.tap();
    // One edit to undo and do again.
    const nav = page.getByRole('navigation');
    await nav.getByRole('button', { name: 'Build' }).tap();
    await page.getByRole('button', { name: 'Wires', exact: true }).tap();
    await page.locator('.build-item').nth(Math.floor(parts / 3)).tap();
    await page.getByRole('button', { name: 'Delete', exact: true }).tap();
    await nav.getByRole('button', { name: 'Paths' }).tap();
    await page.locator('.drawing').waitFor();
    await page.waitForTimeout(400);
    const full = await measured(page, tools, 1);
    const slow = await measured(page, tools, 4);
    const cell = (values, width) => `${Math.min(...values).toFixed(1)} ${median(values).toFixed(1).padStart(5)}`.padStart(width);
    console.log(
      `${name.padEnd(34)} ${String(parts).padStart(5)} |${cell(full.tidy, 12)} |${cell(full.edit, 12)} |${cell(slow.edit, 12)} |${cell(slow.shown, 12)}`,
    );
    await context.close();
  }
} finally {
  await browser.close();
  await site.close();
}
