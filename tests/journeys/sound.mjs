// What holds on every screen: the accessibility rules, nothing wider than the screen, no target too small for a finger.

import assert from 'node:assert/strict';
import { AxeBuilder } from '@axe-core/playwright';

/** No breach of the accessibility rules, text of 7:1 among them, and all of `fits`. */
export async function sound(page, name) {
  const { violations } = await new AxeBuilder({ page })
    .options({ rules: { 'color-contrast-enhanced': { enabled: true } } })
    .analyze();
  assert.deepEqual(violations.map((v) => `${v.id} ${v.nodes.map((n) => n.html)}`), [], name);
  await fits(page, name);
}

/**
 * Nothing wider than the screen or cut at its edge, no target too small, and the main actions in the lower part, under no
 * other thing. With `low: false` they may have to be scrolled to.
 */
export async function fits(page, name, { low = true } = {}) {
  const found = await page.evaluate((low) => {
    const seen = (selector) => [...document.querySelectorAll(selector)].filter((e) => e.checkVisibility());
    return {
      // Not `innerWidth`: a phone widens that to what is too wide.
      wide: document.documentElement.scrollWidth - document.documentElement.clientWidth,
      // Screens hide what is wider than they are: no words end past the edge, but in what scrolls sideways by itself.
      cut: seen('h1, h2, h3, h4, p, li, dt, dd, span, strong, th, td, button, label, option, caption')
        .filter((e) => e.getBoundingClientRect().right > innerWidth + 1 && !e.closest('.table-pane, .drawing-view, .wide, .hidden'))
        .map((e) => `${e.tagName} ${e.textContent.slice(0, 40)}`),
      // An open plan fills the screen and scrolls inside; the start screen may be long.
      long: document.querySelector('.app') ? document.documentElement.scrollHeight - innerHeight : 0,
      // A box to tick is hit by its words as well.
      small: seen('button, .choice, .check, select, textarea, input[type="text"]')
        .map((e) => ({ text: e.textContent || e.id, box: e.getBoundingClientRect() }))
        .filter(({ box }) => box.width > 1 && (box.width < 44 || box.height < 44))
        .map(({ text }) => text),
      bar: seen(low ? '.end-bar button' : '.app > .end-bar button')
        .map((e) => ({ e, box: e.getBoundingClientRect() }))
        .filter(({ e, box }) => {
          const ends = [box.top + 6, box.bottom - 6].map((y) => document.elementFromPoint(box.left + box.width / 2, y));
          return box.height < 56 || box.top < innerHeight / 2 || !ends.every((end) => e.contains(end));
        })
        .map(({ e }) => e.textContent),
    };
  }, low);
  assert.deepEqual(found, { wide: 0, cut: [], long: 0, small: [], bar: [] }, name);
}
