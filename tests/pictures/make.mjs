// Pictures of the drawing of each example, to be looked at: the page on a phone and on a wide screen, at rest and with
// lamps lit, and its printed sheets, in both sets of symbols; one phone screen also without any colour.
//
// First: cargo dev serve (or trunk build --release), so that dist/ is there
// Then:  node tests/pictures/make.mjs              writes all to tests/out/pictures
//        node tests/pictures/make.mjs --keep       also renews those in tests/fixtures/pictures
//
// Letters come from the fonts of the machine, so no test compares them; tests/fixtures/drawing holds what is compared.

import { mkdirSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { launch, openPhone } from '../journeys/browser.mjs';
import { serve } from '../journeys/serve.mjs';
import { small } from './png.mjs';

const folder = fileURLToPath(new URL('../out/pictures/', import.meta.url));
const fixtures = fileURLToPath(new URL('../fixtures/pictures/', import.meta.url));
const keep = process.argv.includes('--keep');
for (const each of keep ? [folder, fixtures] : [folder]) mkdirSync(each, { recursive: true });

/** Takes a picture of a page or an element; `golden` ones are kept. */
async function picture(of, name, golden = true) {
  const png = small(await of.screenshot());
  writeFileSync(`${folder}/${name}.png`, png);
  if (keep && golden) writeFileSync(`${fixtures}/${name}.png`, png);
}

const EXAMPLES = [
  ['wagon', /Parade wagon/, ['Left']],
  ['tractor', /Ferry-slip tractor/, ['Master', 'Brake', 'Right']],
  ['float', /Orchard/, ['Master', 'Running', 'Brake', 'Left']],
];
const SETS = [
  ['iec', 'IEC 60617'],
  ['ieee', 'IEEE 315'],
];
const SCREENS = [
  ['360x740', { width: 360, height: 740 }],
  ['1280x800', { width: 1280, height: 800 }],
];
const PAPERS = [
  ['a4', 'A4', 794, 1123],
  ['letter', 'Letter', 816, 1056],
];

const button = (page, name) => page.getByRole('button', { name, exact: true });
const more = (page) => page.locator('.drawing-more-button');

async function open(page, url, title) {
  await page.goto(url);
  await page.locator('body[data-ready="true"]').waitFor();
  await page.getByRole('button', { name: title }).tap();
  await page.locator('.drawing').waitFor();
  await page.evaluate(() => (globalThis.print = () => {}));
}

const browser = await launch();
const site = await serve();
try {
  for (const [name, title, moved] of EXAMPLES) {
    for (const [set, label] of SETS) {
      const { context, page } = await openPhone(browser, site.origin, { deviceScaleFactor: 1, reducedMotion: 'reduce' });
      await open(page, site.url, title);
      await more(page).tap();
      await page.getByLabel(label).tap();
      await page.locator('.drawing-more').getByRole('button', { name: 'Close' }).tap();
      const shot = (what, golden) => picture(page, `${name}-${set}-${what}`, golden);
      for (const [size, viewport] of SCREENS) {
        await page.setViewportSize(viewport);
        await page.waitForTimeout(150);
        await shot(size);
      }
      for (const control of moved) {
        await page.locator(`.drawing .handle[aria-label*=" ${control}:"]`).first().focus();
        await page.keyboard.press('Enter');
      }
      await page.locator('.picked').getByRole('button', { name: 'Let go of the picked part' }).tap();
      await page.evaluate(() => document.activeElement?.blur());
      await button(page, 'Fit, whole drawing').tap();
      await page.waitForTimeout(150);
      await shot('1280x800-lit', false);
      await page.setViewportSize(SCREENS[0][1]);
      await button(page, '1:1, usual size').tap();
      await page.locator('.drawing-pane').evaluate((pane) => pane.scrollTo(0, 0));
      await page.waitForTimeout(150);
      await shot('360x740-lit', false);
      if (set === 'iec') {
        const tools = await context.newCDPSession(page);
        await tools.send('Emulation.setEmulatedVisionDeficiency', { type: 'achromatopsia' });
        await shot('360x740-grey', false);
        await tools.send('Emulation.setEmulatedVisionDeficiency', { type: 'none' });
      }
      await more(page).tap();
      for (const [paper, choice, width, height] of PAPERS) {
        await page.getByLabel('Paper').selectOption(choice);
        await button(page, 'Print the sheets').evaluate((e) => e.click());
        await page.locator('#print-sheets > svg').first().waitFor({ state: 'attached' });
        await page.waitForTimeout(100);
        await page.emulateMedia({ media: 'print' });
        const wide = await page.locator('#print-sheets > .a4-wide, #print-sheets > .letter-wide').count();
        await page.setViewportSize(wide > 0 ? { width: height, height: width } : { width, height });
        const sheets = page.locator('#print-sheets > svg');
        for (let i = 0; i < (await sheets.count()); i += 1) {
          await picture(sheets.nth(i), `${name}-${set}-${paper}-${i + 1}`);
        }
        await page.emulateMedia({ media: 'screen' });
        await page.setViewportSize(SCREENS[0][1]);
      }
      await context.close();
    }
  }
} finally {
  await browser.close();
  await site.close();
}
