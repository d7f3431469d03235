// The drawing under the finger: switches moved in it, a path stepped through, zoom, symbols, files and paper.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { journey } from './phone.mjs';
import { sound } from './sound.mjs';

const button = (page, name) => page.getByRole('button', { name, exact: true });
const show = (page, name) => page.getByRole('navigation').getByRole('button', { name }).tap();
const symbol = (page, group) => page.locator(`.drawing [data-id="${group}"]`);

/** Opens an example. */
async function open(page, url, name = /Ferry-slip tractor/) {
  await page.goto(url);
  await page.locator('body[data-ready="true"]').waitFor();
  await page.getByRole('button', { name }).tap();
  await page.locator('.drawing').waitFor();
}

/** Group of the switch of a control and the words of what the page says. */
const switchOf = (page, label) => page.locator(`.drawing .handle[aria-label*="${label}"]`).first();
const sentence = (page) => page.locator('.sentence [aria-live]').innerText();

journey('switches are moved in the drawing, by finger and by key, and it is said aloud', async ({ page, site }) => {
  await open(page, site.url);
  // A name, a description, and where the same is said in words.
  const pane = page.getByRole('group', { name: /^Drawing; scrolls/ });
  const described = await pane.evaluate((e) => document.getElementById(e.getAttribute('aria-describedby')).textContent);
  assert.match(described, /23 parts, 26 wires.*table under Behaviour/);
  assert.equal(await page.locator('svg.drawing').getAttribute('aria-label'), 'Ferry-slip tractor, shared rear lamps');
  const master = switchOf(page, 'Master');
  assert.match(await master.getAttribute('aria-label'), /S1 Master: off\. Moves it to on\./);
  // Every switch can be hit by a finger at the usual size.
  const areas = await page.locator('.drawing .handle .hit').evaluateAll((all) =>
    all.map((e) => e.getBoundingClientRect()).map(({ width, height }) => [width, height]),
  );
  assert.ok(areas.length >= 4);
  assert.deepEqual(areas.filter(([w, h]) => w < 44 || h < 44), []);
  await master.locator('.hit').tap();
  assert.match(await master.getAttribute('aria-label'), /S1 Master: on\./);
  assert.match(await sentence(page), /^Master on: .*Rear left minor/);
  await symbol(page, 'contact-S1.0').and(page.locator('.closed')).waitFor({ state: 'attached' });
  assert.match(await page.locator('.picked').innerText(), /^S1/);
  // A pedal stays down by a key until the next.
  const brake = switchOf(page, 'Brake');
  await brake.focus();
  await page.keyboard.press('Enter');
  assert.match(await sentence(page), /^Master on, Brake pressed: .*Rear left major/);
  await page.keyboard.press('Space');
  assert.match(await sentence(page), /^Master on: /);
  await page.getByRole('button', { name: 'Hold Brake' }).waitFor();
  // Current and its direction are seen.
  const live = page.locator('.drawing [data-id^="wire-"].live .forward').first();
  assert.equal(await live.evaluate((e) => getComputedStyle(e).display), 'inline');
  await sound(page, 'a switch picked');
});

journey('a path is stepped through part by part, by finger and by key', async ({ page, site }) => {
  await open(page, site.url);
  await switchOf(page, 'Master').locator('.hit').tap();
  await switchOf(page, 'Brake').locator('.hit').tap();
  // From the control: straight on to a path it feeds, or to the list of all of them.
  await button(page, 'Path').tap();
  assert.match(await page.locator('.follow [aria-current="step"]').innerText(), /^S2/);
  await button(page, 'Close').tap();
  await switchOf(page, 'Brake').locator('.hit').tap();
  await switchOf(page, 'Brake').locator('.hit').tap();
  await button(page, 'Details').tap();
  const details = page.locator('#details');
  assert.match(await details.innerText(), /Terminals now: Master on, Brake pressed.*V.*A (in|out)/s);
  await details.getByRole('button', { name: 'Follow the path of Rear left major' }).tap();
  await page.getByRole('heading', { name: 'Path of Rear left major' }).waitFor();
  const here = page.locator('.follow [aria-current="step"]');
  const said = page.locator('.follow-here');
  assert.match(await here.innerText(), /^S\d/);
  const [, at, all] = (await said.innerText()).match(/^(\d+) of (\d+)/).map(Number);
  assert.equal(await page.locator('.follow ol > li').count(), all);
  const marked = async () => {
    const marked = page.locator('.drawing [data-id].here');
    // Of a lamp its circuit is marked as well.
    assert.ok([1, 2].includes(await marked.count()));
    return marked.first();
  };
  for (let step = at + 1; step <= all; step += 1) {
    await button(page, 'Next').tap();
    assert.match(await said.innerText(), new RegExp(`^${step} of ${all}`));
    const id = await here.locator('.step-id').innerText();
    if (id === 'chassis') continue;
    const group = await marked();
    assert.match(await group.getAttribute('data-id'), new RegExp(`-${id}$`));
    // What is stepped to is seen, unless it is a ground point with symbols in several places.
    if ((await group.locator('.hit').count()) > 1) continue;
    const inView = await group.evaluate((e) => {
      const [a, b] = [e.getBoundingClientRect(), e.closest('.drawing-pane').getBoundingClientRect()];
      return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
    });
    assert.ok(inView, `${id} is out of view`);
  }
  assert.ok(await button(page, 'Next').isDisabled());
  await sound(page, 'a path followed');
  await here.focus();
  await page.keyboard.press('Home');
  assert.match(await said.innerText(), /^1 of .*: G1 /);
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('ArrowRight');
  assert.match(await said.innerText(), /^3 of /);
  await page.keyboard.press('ArrowLeft');
  assert.match(await said.innerText(), /^2 of /);
  await button(page, 'Close').tap();
  await page.locator('.controls').waitFor();
  // The lamp is still picked; its path starts at the battery.
  await button(page, 'Path').tap();
  assert.match(await said.innerText(), /^1 of /);
});

journey('the drawing zooms by buttons, keys, double tap and two fingers', async ({ page, site, context }) => {
  await open(page, site.url);
  const width = () => page.locator('.drawing').evaluate((e) => e.getBoundingClientRect().width);
  const usual = await width();
  assert.ok(usual >= 360, `${usual}`);
  await button(page, 'Larger').tap();
  assert.ok((await width()) > 1.3 * usual);
  await button(page, 'Smaller').tap();
  assert.ok(Math.abs((await width()) - usual) < 2);
  await button(page, 'Fit, whole drawing').tap();
  const fits = await page.locator('.drawing').evaluate((e) => {
    const [a, b] = [e.getBoundingClientRect(), e.closest('.drawing-pane').getBoundingClientRect()];
    return a.width <= b.width + 1 && a.height <= b.height + 1 && (a.width > b.width - 2 || a.height > b.height - 2);
  });
  assert.ok(fits, 'the whole drawing is in the pane');
  await button(page, '1:1, usual size').tap();
  assert.ok(Math.abs((await width()) - usual) < 2);
  await page.locator('.drawing-pane').focus();
  await page.keyboard.press('+');
  assert.ok((await width()) > 1.3 * usual);
  await page.keyboard.press('0');
  await page.keyboard.press('0');
  assert.ok(Math.abs((await width()) - usual) < 2);

  // A double tap on a free place: larger, with that place staying under the finger.
  const free = await page.locator('.drawing-pane').evaluate((pane) => {
    const r = pane.getBoundingClientRect();
    for (let y = r.top + 40; y < r.bottom - 40; y += 8) {
      for (let x = r.left + 40; x < r.right - 40; x += 8) {
        const clear = [-16, 0, 16].every((dx) =>
          [-16, 0, 16].every((dy) => !document.elementFromPoint(x + dx, y + dy)?.closest('[data-id]')),
        );
        if (clear) return { x, y };
      }
    }
    return null;
  });
  const place = () =>
    page.locator('.drawing').evaluate((e, at) => {
      const r = e.getBoundingClientRect();
      return [(at.x - r.left) / r.width, (at.y - r.top) / r.height];
    }, free);
  const before = await place();
  // With times of their own: a machine that is busy between the taps makes them no slower.
  const touch = await context.newCDPSession(page);
  const start = Date.now() / 1000;
  const taps = [['touchStart', 0], ['touchEnd', 0.04], ['touchStart', 0.12], ['touchEnd', 0.16]];
  for (const [type, after] of taps) {
    const touchPoints = type === 'touchStart' ? [free] : [];
    await touch.send('Input.dispatchTouchEvent', { type, touchPoints, timestamp: start + after });
  }
  await page.waitForFunction((usual) => document.querySelector('.drawing').getBoundingClientRect().width > 2 * usual, usual);
  const large = await width();
  assert.ok(large > 2 * usual, `${large}`);
  (await place()).forEach((share, i) => assert.ok(Math.abs(share - before[i]) < 0.02, `${share} ${before[i]}`));

  // Two fingers towards each other.
  const fingers = (apart) => [
    { x: free.x - apart / 2, y: free.y },
    { x: free.x + apart / 2, y: free.y },
  ];
  await touch.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: fingers(160) });
  for (const apart of [140, 120, 100, 80]) {
    await touch.send('Input.dispatchTouchEvent', { type: 'touchMove', touchPoints: fingers(apart) });
  }
  await touch.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
  await page.waitForTimeout(100);
  assert.ok(Math.abs((await width()) - large / 2) < 0.05 * large, `${await width()} after ${large}`);
  await sound(page, 'zoomed');
});

journey('symbols are chosen, an edit moves little, tidy up draws anew', async ({ page, site }) => {
  await open(page, site.url);
  const shape = () => symbol(page, 'part-F1').evaluate((e) => e.innerHTML);
  const iec = await shape();
  await button(page, 'More').first().tap();
  await page.getByLabel('IEEE 315').tap();
  assert.notEqual(await shape(), iec);
  await sound(page, 'the panel of the drawing');
  await page.locator('.drawing-more').getByRole('button', { name: 'Close' }).tap();
  await page.getByRole('button', { name: /^Undo: Symbols after IEEE 315/ }).tap();
  assert.equal(await shape(), iec);

  const order = () =>
    page.locator('.drawing [data-id^="lamp-"]').evaluateAll((all) =>
      all
        .map((e) => ({ id: e.dataset.id, y: Number(e.querySelector('circle').getAttribute('cy')) }))
        .sort((a, b) => a.y - b.y)
        .map(({ id }) => id),
    );
  const lamps = await order();
  await show(page, 'Build');
  await page.getByRole('button', { name: /^E1/ }).tap();
  await button(page, 'Delete').tap();
  await show(page, 'Paths');
  assert.deepEqual(await order(), lamps.filter((id) => id !== 'lamp-E1.main'));
  await button(page, 'More').first().tap();
  await button(page, 'Tidy up').tap();
  await page.getByText('Drawn anew from nothing.').waitFor();
});

journey('the drawing is saved as SVG and opens again, saved as a picture, printed on sheets', async ({ page, site }) => {
  await open(page, site.url);
  await button(page, 'More').first().tap();
  const save = async (name) => {
    const [download] = await Promise.all([page.waitForEvent('download'), button(page, name).tap()]);
    return [download.suggestedFilename(), await readFile(await download.path())];
  };
  const [svgName, svg] = await save('Save as SVG');
  assert.match(svgName, /^ferry-slip-tractor.*\.svg$/);
  const text = svg.toString('utf8');
  assert.match(text, /<style>/);
  assert.ok(!/<script|\shref=|\stabindex=/.test(text), 'nothing that runs, links or takes taps');
  await page.getByLabel('Width of the picture').selectOption('1000');
  const [pngName, png] = await save('Save as PNG');
  assert.match(pngName, /\.png$/);
  assert.deepEqual([...png.subarray(1, 4)], [...Buffer.from('PNG')]);
  assert.equal(png.readUInt32BE(16), 1000, 'as wide as chosen');
  assert.ok(png.length > 20_000, 'something is painted');

  await page.evaluate(() => (globalThis.print = () => (globalThis.__printed = true)));
  await page.getByLabel('Revision mark').fill('C');
  await page.getByLabel('Revision mark').blur();
  for (const [paper, width, height] of [['A4', 595, 842], ['Letter', 612, 792]]) {
    await page.getByLabel('Paper').selectOption(paper);
    await button(page, 'Print the sheets').tap();
    await page.waitForFunction(() => globalThis.__printed);
    await page.evaluate(() => (globalThis.__printed = false));
    const sheet = page.locator('#print-sheets > svg');
    assert.equal(await sheet.count(), 1);
    const written = await sheet.textContent();
    const today = new Date().getFullYear();
    for (const part of ['Wiring diagram', 'Ferry-slip tractor', `${today}-`, '1 of 1', 'C']) {
      assert.ok(written.includes(part), `${part} is on the sheet`);
    }
    await page.emulateMedia({ media: 'print' });
    assert.ok(await sheet.isVisible());
    assert.ok(!(await page.locator('.app').isVisible()));
    const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
    const boxes = [...pdf.matchAll(/\/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)/g)].map(([, w, h]) => [Number(w), Number(h)]);
    assert.equal(boxes.length, 1, `${paper}: one page`);
    const [w, h] = boxes[0].sort((a, b) => a - b);
    assert.ok(Math.abs(w - width) < 2 && Math.abs(h - height) < 2, `${paper}: ${w} × ${h} points`);
    await page.emulateMedia({ media: 'screen' });
  }

  await page.locator('.drawing-more').getByRole('button', { name: 'Close' }).tap();
  await page.getByRole('button', { name: 'Back to all plans' }).tap();
  await page.locator('#open-file').setInputFiles({ name: 'a.svg', mimeType: 'image/svg+xml', buffer: svg });
  await page.getByRole('heading', { level: 1, name: /Ferry-slip tractor/ }).waitFor();
  await page.locator('.drawing [data-id="lamp-E3.major"]').waitFor();
});
