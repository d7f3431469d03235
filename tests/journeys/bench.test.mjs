// At the bench, phone in one hand: look at an example, draft a plan, keep it, mend it, take it along.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { journey } from './phone.mjs';
import { sound } from './sound.mjs';

/** Opens the page and waits until it answers. */
async function open(page, url) {
  await page.goto(url);
  await page.locator('body[data-ready="true"]').waitFor();
}

/** Opens the hand-drawn tractor, whose stop feed hides its rear turn signals, as a file. */
async function openTractor(page, url) {
  await open(page, url);
  const buffer = await readFile(new URL('../fixtures/tractor-shared-rear-lamps.json', import.meta.url));
  await page.locator('#open-file').setInputFiles({ name: 'a.json', mimeType: 'application/json', buffer });
  await page.getByRole('heading', { level: 1, name: 'Ferry-slip tractor' }).waitFor();
}

/** What a lamp shows, as its chip says. */
const shows = (page, lamp) => page.locator(`[data-lamp="${lamp}"]`).getAttribute('data-shows');

/** Waits until a lamp shows this. */
const waitShows = (page, lamp, what) =>
  page.locator(`[data-lamp="${lamp}"][data-shows="${what}"]`).waitFor({ state: 'attached' });

const show = (page, name) => page.getByRole('navigation').getByRole('button', { name }).tap();

/** Presses a finger on an element and keeps it there; returns what lets go. */
async function press(page, locator) {
  const box = await locator.boundingBox();
  const touch = await page.context().newCDPSession(page);
  const at = { x: box.x + box.width / 2, y: box.y + box.height / 2 };
  await touch.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: [at] });
  return () => touch.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
}

/** Drafts the plan of the form as it stands. */
async function draft(page, site) {
  await open(page, site.url);
  await page.getByRole('button', { name: 'Plan my own' }).tap();
  await page.getByRole('button', { name: 'Take all usual answers' }).tap();
  await page.getByRole('button', { name: 'Draft the plan' }).tap();
  await page.getByRole('heading', { level: 1, name: 'My lamps' }).waitFor();
}

journey('the tractor brakes: both rear lamps light while the pedal is held, the fronts stay dark', async ({ page, site }) => {
  await openTractor(page, site.url);
  await page.getByRole('button', { name: /^Master/ }).tap();
  const let_go = await press(page, page.locator('[data-control="brake"]'));
  await waitShows(page, 'E3.major', 'steady');
  assert.equal(await shows(page, 'E4.major'), 'steady');
  assert.equal(await shows(page, 'E1.main'), 'off');
  assert.equal(await shows(page, 'E2.main'), 'off');
  assert.match(await page.locator('.sentence').innerText(), /Master on, Brake pressed: .*Rear left major.*steady/s);
  // The drawing says the same: current in the ground wire of a rear lamp, the brake contact closed.
  await page.locator('.drawing [data-id="contact-S4.0"].closed').waitFor({ state: 'attached' });
  await let_go();
  await waitShows(page, 'E3.major', 'off');
  assert.equal(await page.locator('.drawing [data-id="contact-S4.0"].closed').count(), 0);
});

journey('a lamp names its path from the battery through the fuse and back', async ({ page, site }) => {
  await open(page, site.url);
  await page.getByRole('button', { name: /Ferry-slip tractor/ }).tap();
  await page.getByRole('button', { name: /^Master/ }).tap();
  await page.getByRole('button', { name: 'Hold Brake' }).tap();
  await page.locator('[data-lamp="E3.major"]').tap();
  const steps = await page.locator('#trace .step-id').allInnerTexts();
  assert.equal(steps[0], 'G1');
  assert.ok(steps.includes('F1') && steps.includes('E3') && steps.includes('chassis'), `${steps}`);
  assert.match(await page.locator('#trace').innerText(), /Battery, 12.6 V.*Main fuse, 30 A/s);
  assert.ok((await page.locator('.drawing .traced').count()) > 5);
  await sound(page, 'Paths with a lamp picked');
  // In the drawing a tap on a lamp does the same.
  await page.locator('.drawing [data-id="lamp-E4.major"]').first().tap();
  await page.getByRole('heading', { name: 'Path of Rear right major' }).waitFor();
});

journey('the table leads to the state behind a cell', async ({ page, site }) => {
  await openTractor(page, site.url);
  await show(page, 'Behaviour');
  await sound(page, 'Behaviour');
  await page.getByRole('button', { name: 'Only what is not as wished' }).tap();
  const masked = page.locator('.cell[data-verdict="masked"]').first();
  assert.match(await masked.innerText(), /masked/);
  await masked.tap();
  await page.getByRole('heading', { name: /^Why Rear .* is masked/ }).waitFor();
  await show(page, 'Checks');
  await sound(page, 'Checks');
  await page.getByRole('button', { name: 'Show E3.major on the drawing' }).first().tap();
  await page.locator('[data-lamp="E3.major"][aria-pressed="true"]').waitFor({ state: 'attached' });
});

journey('a turn lamp flashes and can be paused; with less motion it stands still', async ({ page, site, browser }) => {
  await open(page, site.url);
  await page.getByRole('button', { name: /Parade wagon/ }).tap();
  await page.getByRole('button', { name: /^Left/ }).tap();
  await page.getByText('Flashing at 90 per minute').waitFor();
  const glow = page.locator('.drawing [data-id="lamp-E1.main"]');
  await page.locator('.drawing [data-id="lamp-E1.main"].level-0').waitFor({ state: 'attached' });
  await page.getByRole('button', { name: 'Pause' }).tap();
  await page.waitForTimeout(800);
  assert.doesNotMatch(await glow.getAttribute('class'), /level-0/);
  const calm = await browser.newContext({ reducedMotion: 'reduce', hasTouch: true });
  const still = await calm.newPage();
  await open(still, site.url);
  await still.getByRole('button', { name: /Parade wagon/ }).click();
  await still.getByRole('button', { name: /^Left/ }).click();
  await still.getByText('Flashing at 90 per minute, shown lit').waitFor();
  await calm.close();
});

journey('a drafted plan is kept, found again, taken along as a file and opened from it', async ({ page, site }) => {
  await open(page, site.url);
  await sound(page, 'start');
  await page.getByRole('button', { name: 'Plan my own' }).tap();
  await page.getByRole('button', { name: 'Take all usual answers' }).tap();
  await page.getByRole('button', { name: 'Change Size of the vehicle' }).tap();
  await page.getByLabel('Dash to a rear lamp').fill('12 ft');
  await page.getByRole('button', { name: 'Next' }).tap();
  await page.getByRole('button', { name: 'Change Name of the plan' }).tap();
  await page.getByLabel('Title').fill('Hay wagon');
  await page.getByRole('button', { name: 'Next' }).tap();
  await page.getByRole('button', { name: 'Draft the plan' }).tap();
  await page.getByRole('heading', { level: 1, name: 'Hay wagon' }).waitFor();
  await show(page, 'Behaviour');
  await page.getByText('Every lamp does what was wished in each.').waitFor();

  await page.reload();
  await page.getByRole('heading', { level: 1, name: 'Hay wagon' }).waitFor();
  await show(page, 'Build');
  await page.getByRole('button', { name: 'Settings' }).tap();
  await sound(page, 'Settings');
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name: 'Download this plan' }).tap(),
  ]);
  assert.equal(download.suggestedFilename(), 'hay-wagon.loomwright');
  const text = await readFile(await download.path(), 'utf8');
  assert.ok(text.includes('3657.6'), 'twelve feet in millimetres');

  await page.getByRole('button', { name: 'Back to all plans' }).tap();
  const kept = page.locator('.kept', { hasText: 'Hay wagon' });
  assert.equal(await kept.count(), 1);
  await page.locator('#open-file').setInputFiles({ name: 'a.json', mimeType: 'application/json', buffer: Buffer.from(text) });
  await page.getByRole('heading', { level: 1, name: 'Hay wagon' }).waitFor();
  await page.getByRole('button', { name: 'Back to all plans' }).tap();
  // The file became a plan of its own beside the first.
  assert.equal(await kept.count(), 2);
  await page.getByRole('button', { name: 'Delete Hay wagon' }).first().tap();
  await page.getByRole('button', { name: 'Delete it' }).tap();
  assert.equal(await kept.count(), 1);
  await page.getByRole('button', { name: 'Undo delete' }).tap();
  await page.locator('.kept').nth(1).waitFor();
  await sound(page, 'start with plans');
});

journey('a file that is no plan is refused in a sentence and changes nothing', async ({ page, site }) => {
  await draft(page, site);
  await page.getByRole('button', { name: 'Back to all plans' }).tap();
  const before = await page.evaluate(() => JSON.stringify({ ...localStorage }));
  const example = await readFile(new URL('../../tests/fixtures/wagon-four-turn-lamps.json', import.meta.url), 'utf8');
  const files = [
    [example.slice(0, 900), /damaged at line \d+.*Nothing was changed/],
    [example.replace('"version": 1', '"version": 99'), /version 99.*Nothing was changed/],
    ['{"a":1}', /not a Loomwright plan.*Nothing was changed/],
    ['x'.repeat((4 << 20) + 1), /more than the 4096 kB.*Nothing was changed/],
  ];
  for (const [text, sentence] of files) {
    await page.locator('#open-file').setInputFiles({ name: 'b.json', mimeType: 'application/json', buffer: Buffer.from(text) });
    await page.getByRole('alert').filter({ hasText: sentence }).waitFor();
  }
  assert.equal(await page.evaluate(() => JSON.stringify({ ...localStorage })), before);
});

journey('a wire gets another length, a slip is named, and all of it can be undone after a reload', async ({ page, site }) => {
  await draft(page, site);
  await show(page, 'Build');
  await sound(page, 'Build');
  await page.getByRole('button', { name: 'Wires' }).tap();
  await page.locator('[data-item="W2"]').tap();
  const length = page.getByRole('textbox', { name: 'Length' });
  await length.fill('1,5 x');
  await page.getByRole('button', { name: 'Done' }).tap();
  await page.getByRole('alert').getByRole('link', { name: 'Length' }).tap();
  assert.equal(await length.inputValue(), '1,5 x');
  assert.match(await page.locator('#f-length-wrong').innerText(), /not a unit known here/);
  await sound(page, 'form with a slip');
  await length.fill('1,5 m');
  await length.press('Enter');
  assert.equal(await length.inputValue(), '1500 mm');
  await page.reload();
  await show(page, 'Build');
  await page.getByRole('button', { name: /^Undo: Length of wire W2/ }).tap();
  await page.getByRole('button', { name: 'Wires' }).tap();
  assert.match(await page.locator('[data-item="W2"]').innerText(), /650 mm/);
  await page.getByRole('button', { name: /^Redo/ }).tap();
  await page.locator('[data-item="W2"]', { hasText: '1.5 m' }).waitFor();
  await page.keyboard.press('Control+z');
  await page.locator('[data-item="W2"]', { hasText: '650 mm' }).waitFor();
});

journey('parts and wires are added and taken out, and an interrupted save loses nothing', async ({ page, site }) => {
  await draft(page, site);
  await show(page, 'Build');
  await page.getByLabel('Kind of part to add').selectOption('diode');
  await page.getByRole('button', { name: 'Add a part' }).tap();
  await page.getByRole('heading', { name: 'Diode V1' }).waitFor();
  await page.getByLabel('Type').selectOption('1N4004');
  await page.getByRole('button', { name: 'Done' }).tap();
  await page.getByRole('button', { name: 'Wires' }).tap();
  await page.getByRole('button', { name: 'Add a wire' }).tap();
  await page.getByRole('button', { name: 'Save the wire' }).tap();
  await page.getByRole('alert').getByRole('link', { name: 'From (supply side)' }).waitFor();
  await page.getByLabel('From (supply side)').selectOption('F1:2');
  await page.getByLabel('To (load side)').selectOption('V1:A');
  await page.getByRole('button', { name: 'Save the wire' }).tap();
  await page.getByRole('heading', { name: /^Wire W/ }).waitFor();
  await page.getByRole('button', { name: 'Delete', exact: true }).tap();
  await page.getByRole('button', { name: /^Undo: Delete wire/ }).waitFor();

  // A slot cut off in the middle of a save: the one before is opened, the damaged one is left alone.
  const cut = await page.evaluate(() => {
    const at = localStorage.getItem('loomwright.1.p1.at');
    const key = `loomwright.1.p1.${at}`;
    const text = localStorage.getItem(key).slice(0, 400);
    localStorage.setItem(key, text);
    return { key, text };
  });
  await page.reload();
  await page.getByRole('heading', { level: 1, name: 'My lamps' }).waitFor();
  await show(page, 'Build');
  await page.getByRole('button', { name: /^Undo: Add wire/ }).waitFor();
  await page.getByRole('button', { name: /^Undo: Add wire/ }).tap();
  await page.getByRole('alert').filter({ hasText: /partly damaged and is left as it is/ }).waitFor();
  assert.equal(await page.evaluate((key) => localStorage.getItem(key), cut.key), cut.text);
});

journey('a full store says so and offers the plan as a file', async ({ page, site }) => {
  await draft(page, site);
  await page.evaluate(() => {
    Storage.prototype.setItem = () => {
      throw new DOMException('full', 'QuotaExceededError');
    };
  });
  await show(page, 'Build');
  await page.getByRole('button', { name: 'Places' }).tap();
  await page.getByRole('button', { name: 'Add a place' }).tap();
  const notice = page.getByRole('alert').filter({ hasText: /storage is full/ });
  await notice.waitFor();
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    notice.getByRole('button', { name: 'Download' }).tap(),
  ]);
  assert.match(await readFile(await download.path(), 'utf8'), /"Place \d+"/);
});

for (const width of [320, 360]) {
  journey(`nothing reaches beyond a screen of ${width}, and every target is large enough`, async ({ page, site }) => {
    await page.setViewportSize({ width, height: 640 });
    await open(page, site.url);
    const check = async (name) => {
      const found = await page.evaluate(() => {
        const small = [...document.querySelectorAll('button, select, input[type="text"], .button, .check, .position')]
          .filter((e) => e.checkVisibility() && !e.closest('svg'))
          .map((e) => ({ e, box: e.getBoundingClientRect() }))
          .filter(({ box }) => box.width > 1 && (box.width < 44 || box.height < 44))
          .map(({ e, box }) => `${e.className} ${e.textContent} ${box.width}×${box.height}`);
        return { small, wide: document.documentElement.scrollWidth - document.documentElement.clientWidth };
      });
      assert.deepEqual(found, { small: [], wide: 0 }, name);
    };
    await check('start');
    await page.getByRole('button', { name: /Ferry-slip tractor/ }).tap();
    for (const name of ['Paths', 'Behaviour', 'Checks', 'Build']) {
      await show(page, name);
      await check(name);
    }
    for (const name of ['Parts', 'Wires', 'Controls', 'Wishes', 'Places']) {
      await page.getByRole('button', { name, exact: true }).tap();
      await check(name);
      await page.locator('.build-item').first().tap();
      await check(`form of ${name}`);
      await page.getByRole('button', { name: 'Back to the list' }).tap();
    }
  });
}
