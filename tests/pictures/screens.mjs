// Pictures of every screen, to be looked at: `node tests/pictures/screens.mjs [SIZE …]` after `cargo dev build` writes them to
// `tests/out/screens/`. They are not compared with anything; the journeys of reach hold the screens against rules.

import { mkdir, rm } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { launch, openPhone } from '../journeys/browser.mjs';
import { everyScreen } from '../journeys/screens.mjs';
import { serve } from '../journeys/serve.mjs';

const SIZES = {
  phone: { width: 360, height: 740 },
  dark: { width: 360, height: 740, theme: 'dark' },
  narrow: { width: 320, height: 640 },
  side: { width: 740, height: 360 },
  wide: { width: 1280, height: 800 },
};
const OUT = fileURLToPath(new URL('../out/screens/', import.meta.url));

const asked = process.argv.slice(2);
const browser = await launch();
const site = await serve();
try {
  for (const [size, { width, height, theme }] of Object.entries(SIZES)) {
    if (asked.length > 0 && !asked.includes(size)) continue;
    const folder = `${OUT}${size}/`;
    await rm(folder, { recursive: true, force: true });
    await mkdir(folder, { recursive: true });
    const { page, context } = await openPhone(browser, site.origin);
    await page.setViewportSize({ width, height });
    if (theme) await page.addInitScript((to) => localStorage.setItem('loomwright.theme', to), theme);
    let count = 0;
    await everyScreen(page, site.url, async (name) => {
      count += 1;
      await page.waitForTimeout(150);
      const file = `${String(count).padStart(2, '0')} ${name.replace(/[^\w ,-]/g, '')}.png`;
      await page.screenshot({ path: folder + file });
    });
    await context.close();
    console.log(`${size}: ${count} screens in tests/out/screens/${size}`);
  }
} finally {
  await browser.close();
  await site.close();
}
