// A tab that dies while it saves, again and again: with the store full, with the newest save damaged afterwards, with the
// same plan open in a second tab. No change older than a second may be lost. `cargo dev kills 1000` for a long run.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { journey, openPhone } from './phone.mjs';

/** Tabs killed in all. */
const KILLS = Number(process.env.KILLS ?? 24);
/** Phones that die side by side: most of a round is waiting. */
const PHONES = KILLS < 10 ? 1 : 3;
/** What happens beside the kill, one after the other; after damage the work goes on as another plan, with nothing else. */
const MODES = ['nothing else', 'open in a second tab', 'store full', 'newest save damaged'];
/** A change this old must have been kept, in ms. */
const OLD = 1000;
/** Between two changes, in ms. */
const EVERY = 15;

const show = (page, name) => page.getByRole('navigation').getByRole('button', { name }).tap();
const button = (page, name) => page.getByRole('button', { name, exact: true });

/** Opens the page; after three deaths in a row right after the start it asks first, and is told to open the plan. */
async function open(page, url) {
  await page.goto(url);
  await page.locator('body[data-ready="true"]').waitFor();
  const ask = button(page, 'Open it');
  await ask.or(page.locator('.head-title')).or(button(page, 'Plan my own')).first().waitFor();
  if (await ask.isVisible()) await ask.tap();
}

/** Number of the last change in the plan that is shown. */
async function newest(page) {
  const title = await page.locator('.head-title').innerText();
  return Number(/^Edit (\d+)$/.exec(title)?.[1] ?? 0);
}

/** Makes a change every few milliseconds, and notes each with its time. */
async function change(page, from) {
  const noted = [];
  await page.exposeFunction('__noted', (n, at) => noted.push([n, at]));
  await show(page, 'Build');
  await button(page, 'Settings').tap();
  await page.locator('#f-title').waitFor();
  await page.evaluate(
    ([from, every]) => {
      const field = document.querySelector('#f-title');
      let n = from;
      setInterval(() => {
        n += 1;
        field.value = `Edit ${n}`;
        field.dispatchEvent(new Event('input', { bubbles: true }));
        field.dispatchEvent(new FocusEvent('focusout', { bubbles: true }));
        field.dispatchEvent(new Event('blur'));
        globalThis.__noted(n, Date.now());
      }, every);
    },
    [from, EVERY],
  );
  return noted;
}

async function kill(context, page) {
  const tools = await context.newCDPSession(page);
  const died = Date.now();
  await Promise.race([tools.send('Page.crash').catch(() => {}), new Promise((done) => setTimeout(done, 400))]);
  await page.close().catch(() => {});
  return died;
}

/** Runs in a page: everything up to the browser's own quota. */
function fill() {
  for (let size = 1 << 20; size >= 1; size >>= 1) {
    for (let n = 0; n < 8; n += 1) {
      try {
        localStorage.setItem(`filler.${size}.${n}`, 'x'.repeat(size));
      } catch {
        break;
      }
    }
  }
}

/** Runs in a page: the newest save of the open plan is cut off, or one letter of it is another. */
function damage(cut) {
  const key = localStorage.getItem('loomwright.1.open');
  const number = (name) => parseInt(localStorage.getItem(name) ?? '-1', 10);
  const slots = ['a', 'b'].map((slot) => `loomwright.1.${key}.${slot}`);
  const name = number(slots[0]) > number(slots[1]) ? slots[0] : slots[1];
  const text = localStorage.getItem(name);
  const at = Math.floor(text.length * 0.6);
  const other = text[at] === '1' ? '2' : '1';
  const damaged = cut ? text.slice(0, at) : text.slice(0, at) + other + text.slice(at + 1);
  localStorage.setItem(name, damaged);
  return [name, damaged];
}

/** Runs in a page: what is left of damaged plans that are not open, name and text; taken out. */
function clear() {
  const key = localStorage.getItem('loomwright.1.open');
  const left = Object.entries(localStorage).filter(
    ([name]) => /^loomwright\.1\.p\d+\./.test(name) && !name.startsWith(`loomwright.1.${key}.`),
  );
  left.forEach(([name]) => localStorage.removeItem(name));
  return left;
}

/** One phone whose tab dies `kills` times; tells what came of it. */
async function dying(context, site, kills, told) {
  let page = await context.newPage();
  await page.goto(site.url);
  await page.locator('body[data-ready="true"]').waitFor();
  const buffer = await readFile(new URL('../fixtures/wagon-four-turn-lamps.json', import.meta.url));
  await page.locator('#open-file').setInputFiles({ name: 'a.loomwright', mimeType: 'application/json', buffer });
  await page.locator('.head-title').waitFor();
  let [last, noted, died, mode, damaged] = [0, [], 0, null, new Map()];

  /** Holds what came back against what was done. */
  const judge = (found, where) => {
    assert.ok(found >= last, `${where}: change ${found} came back, ${last} was ${OLD} ms old`);
    const lost = noted.filter(([n]) => n > found).map(([, at]) => died - at);
    told.oldest = Math.max(told.oldest, ...lost);
    told.lost += lost.length;
  };
  for (let round = 0; round <= kills; round += 1) {
    if (round > 0) {
      page = await context.newPage();
      await open(page, site.url);
      judge(await newest(page), `kill ${round}, ${mode}`);
      await page.evaluate(() =>
        Object.keys(localStorage).forEach((key) => key.startsWith('filler.') && localStorage.removeItem(key)),
      );
      // What was damaged two kills ago was left as it was, while the work went on as another plan.
      for (const [name, text] of await page.evaluate(clear)) {
        assert.equal(text, damaged.get(name) ?? text, `${name} was left as it was`);
        damaged.delete(name);
      }
      if (round === kills) break;
    }
    mode = MODES[round % MODES.length];
    const found = await newest(page);
    let other = null;
    if (mode === 'store full') await page.evaluate(fill);
    if (mode === 'open in a second tab') {
      other = await context.newPage();
      await open(other, site.url);
      await other.locator('.head-title').waitFor();
    }
    noted = await change(page, found);
    await page.waitForTimeout(OLD + 100 + 37 * (round % 11));
    died = await kill(context, page);
    last = Math.max(last, ...noted.filter(([, at]) => at <= died - OLD).map(([n]) => n));
    assert.ok(last > found, 'changes were made, and some of them are old');
    told.kills[mode] = (told.kills[mode] ?? 0) + 1;
    told.changes += noted.length;
    if (mode === 'newest save damaged') {
      // A picture of the same site sees the same store and runs nothing.
      const beside = await context.newPage();
      await beside.goto(`${site.url}icon-192.png`);
      const [name, text] = await beside.evaluate(damage, round % 8 < 4);
      damaged.set(name, text);
      await beside.close();
    }
    if (other) {
      await button(other, 'Take theirs').tap();
      await other.locator('.head-title', { hasText: /^Edit / }).waitFor();
      judge(await newest(other), `kill ${round + 1}, seen from the other tab`);
      // Its own save of what it took is what the next start finds.
      await other.close();
    }
  }
  assert.ok(damaged.size <= 2, 'every damaged save but the last was looked at again');
}

journey(
  `a tab killed ${KILLS} times while it saves loses no change older than a second`,
  { allow: [/the page crashed/], timeout: 120_000 + 15_000 * KILLS },
  async ({ site, browser }) => {
    const told = { kills: {}, changes: 0, lost: 0, oldest: 0 };
    const phones = Array.from({ length: PHONES }, (_, i) => Math.floor((KILLS + i) / PHONES));
    await Promise.all(
      phones.map(async (kills) => {
        const { context } = await openPhone(browser, site.origin);
        // A machine that does other work as well may be slow, but not lose anything.
        context.setDefaultTimeout(120_000);
        try {
          await dying(context, site, kills, told);
        } finally {
          await context.close();
        }
      }),
    );
    const ways = Object.entries(told.kills).map(([mode, n]) => `${n} ${mode}`);
    console.log(`${KILLS} kills (${ways.join(', ')}), ${told.changes} changes; ${told.lost} lost,`);
    console.log(`the oldest of them ${told.oldest} ms before the end`);
    assert.equal(Object.values(told.kills).reduce((a, b) => a + b, 0), KILLS);
  },
);
