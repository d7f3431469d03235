// What holds on every screen: the accessibility rules, nothing wider than the screen, no target too small for a finger.

import assert from 'node:assert/strict';
import { AxeBuilder } from '@axe-core/playwright';

/** No breach of the accessibility rules (text of 7:1 among them), nothing wider than the screen, no target too small. */
export async function sound(page, name) {
  const { violations } = await new AxeBuilder({ page })
    .options({ rules: { 'color-contrast-enhanced': { enabled: true } } })
    .analyze();
  assert.deepEqual(violations.map((v) => `${v.id} ${v.nodes.map((n) => n.html)}`), [], name);
  const found = await page.evaluate(() => ({
    // Not `innerWidth`: a phone widens that to what is too wide.
    wide: document.documentElement.scrollWidth - document.documentElement.clientWidth,
    // An open plan fills the screen and scrolls inside; the start screen may be long.
    long: document.querySelector('.app') ? document.documentElement.scrollHeight - innerHeight : 0,
    small: [...document.querySelectorAll('button')]
      .filter((e) => e.checkVisibility())
      .map((e) => ({ text: e.textContent, box: e.getBoundingClientRect() }))
      .filter(({ box }) => box.width > 1 && (box.width < 44 || box.height < 44))
      .map(({ text }) => text),
    bar: [...document.querySelectorAll('.end-bar button')].map((e) => {
      const box = e.getBoundingClientRect();
      return box.height >= 56 && box.top > innerHeight / 2;
    }),
  }));
  assert.deepEqual([found.wide, found.long, found.small], [0, 0, []], name);
  assert.ok(found.bar.every(Boolean), name);
}
