// From an empty page to a plan by the form, with few taps; then a hand change, its cure, and another answer.

import assert from 'node:assert/strict';
import { journey } from './phone.mjs';
import { sound } from './sound.mjs';

const show = (page, name) => page.getByRole('navigation').getByRole('button', { name }).tap();

async function start(page, url) {
  await page.goto(url);
  await page.locator('body[data-ready="true"]').waitFor();
}

journey('page by page to a plan with every usual duty in at most 40 taps; a diode deleted is cured through the preview', { timeout: 120_000 }, async ({ page, site }) => {
  await start(page, site.url);
  let taps = 0;
  const tap = async (locator) => {
    taps += 1;
    await locator.tap();
  };
  const button = (name) => page.getByRole('button', { name, exact: true });
  await tap(button('Plan my own'));
  await page.getByRole('heading', { name: 'Volts of the vehicle' }).waitFor();
  // Every page is looked at, one decision after the other.
  for (let pages = 0; (await button('Next').count()) > 0; pages += 1) {
    assert.ok(pages < 20);
    const title = await page.getByRole('heading', { level: 2 }).innerText();
    await sound(page, title);
    if (title === 'Lamps') {
      // At the rear one filament serves stop, turn and tail: that takes diodes.
      await tap(page.getByRole('button', { name: /^Change Rear pair/ }));
      await tap(page.getByText('one filament', { exact: true }));
      await tap(button('Next'));
      await page.getByText('Red, one filament').waitFor();
    }
    await tap(button('Next'));
  }
  await page.getByRole('heading', { name: 'Check your answers' }).waitFor();
  assert.match(await page.locator('.answers').innerText(), /Rear pair: stop, turn, tail. Red, one filament/);
  await sound(page, 'check');
  await tap(button('Draft the plan'));
  await page.getByRole('heading', { level: 1, name: 'My lamps' }).waitFor();
  assert.ok(taps <= 40, `${taps} taps`);
  await show(page, 'Behaviour');
  await page.getByText('Every lamp does what was wished in each.').waitFor();
  await show(page, 'Paths');
  const duties = (await page.locator('.controls').innerText()).toLowerCase();
  for (const word of ['tail', 'running', 'brake', 'turn', 'hazard']) assert.ok(duties.includes(word), duties);

  // One diode is taken out in the plan editor and the wire led past it.
  await show(page, 'Build');
  const diode = page.locator('.build-item', { hasText: 'diode' }).first();
  const id = (await diode.locator('.build-item-id').innerText()).trim();
  await diode.tap();
  const ends = await page.evaluate((part) => {
    const at = localStorage.getItem('loomwright.1.p1.at');
    const text = localStorage.getItem(`loomwright.1.p1.${at}`);
    const wires = [...text.matchAll(/"from":\s*"([^"]+)",\s*"to":\s*"([^"]+)"/g)].map(([, from, to]) => ({ from, to }));
    return {
      from: wires.find(({ to }) => to === `${part}:A`).from,
      to: wires.find(({ from }) => from === `${part}:K`).to,
    };
  }, id);
  await page.getByRole('button', { name: 'Delete', exact: true }).tap();
  await page.getByRole('button', { name: 'Wires' }).tap();
  await page.getByRole('button', { name: 'Add a wire' }).tap();
  await page.getByLabel('From (supply side)').selectOption(ends.from);
  await page.getByLabel('To (load side)').selectOption(ends.to);
  await page.getByRole('button', { name: 'Save the wire' }).tap();
  await show(page, 'Behaviour');
  await page.locator('.cell[data-verdict="back-fed"]').first().tap();
  await page.getByRole('button', { name: 'See the cures' }).tap();
  await page.getByRole('button', { name: 'Work out a cure' }).tap();
  await page.locator('[data-cure="0"]').tap();
  await page.locator('.side').first().waitFor();
  await button('Apply').tap();
  await page.getByRole('button', { name: /^Undo: Cure/ }).waitFor();
  await show(page, 'Behaviour');
  assert.equal(await page.locator('.cell[data-verdict="back-fed"]').count(), 0);

  // Another answer later: drafted anew as one change, with what was changed by hand named.
  await show(page, 'Build');
  await button('Answers of the form').tap();
  await button('Change Way back to the battery').tap();
  await page.getByText('through wires of its own').tap();
  await button('Next').tap();
  await sound(page, 'check inside a plan');
  await button('Look at the new draft').tap();
  await page.getByRole('heading', { name: 'Draft from other answers' }).waitFor();
  assert.match(await page.locator('.preview').innerText(), /by hand/);
  await page.locator('.sides').waitFor();
  await sound(page, 'preview of another draft');
  await button('Apply').tap();
  await page.getByRole('button', { name: /^Undo: Draft from other answers/ }).tap();
  await page.getByRole('button', { name: /^Undo: Cure/ }).waitFor();
});

journey('a contradiction is named on the page of all answers and mended by one tap', async ({ page, site }) => {
  await start(page, site.url);
  const button = (name) => page.getByRole('button', { name, exact: true });
  await button('Plan my own').tap();
  await button('Take all usual answers').tap();
  await button('Change Lamps').tap();
  await page.getByLabel('Add lamps').selectOption({ label: 'rear: work lamp' });
  await page.getByText('Rear middle: work').waitFor();
  await button('Next').tap();
  await page.getByText('no control lights it').waitFor();
  assert.ok(await button('Draft the plan').isDisabled());
  await sound(page, 'check with a contradiction');
  await page.getByRole('button', { name: /^Mend:/ }).first().tap();
  await page.getByText('Nothing contradicts').waitFor();
  await button('Draft the plan').tap();
  await show(page, 'Behaviour');
  await page.getByText('Every lamp does what was wished in each.').waitFor();

  // A remedy of a finding is looked at and taken in the same way.
  await show(page, 'Checks');
  const remedy = page.getByRole('button', { name: /^Preview: / }).first();
  const title = (await remedy.innerText()).replace('Preview: ', '');
  const found = await page.locator('.finding').count();
  assert.match(await page.locator('.measure').first().innerText(), /Found .*Limit /s);
  await remedy.tap();
  await page.getByRole('heading', { name: title }).waitFor();
  await page.locator('.sides').waitFor();
  assert.ok((await page.locator('.preview .marked').count()) > 0);
  await sound(page, 'preview of a remedy');
  await button('Apply').tap();
  await page.getByRole('button', { name: `Undo: ${title}` }).waitFor();
  await page.waitForFunction((n) => document.querySelectorAll('.finding').length < n, found);
});

journey('the pages of a lamp and of a control, and a slip in a number', async ({ page, site }) => {
  await start(page, site.url);
  const button = (name) => page.getByRole('button', { name, exact: true });
  await button('Plan my own').tap();
  await button('Take all usual answers').tap();
  await button('Change Lamps').tap();
  await page.getByRole('button', { name: /^Change Rear/ }).tap();
  await page.getByRole('heading', { name: 'These lamps' }).waitFor();
  await sound(page, 'lamp');
  await page.getByText('LED, strong and weak circuit').tap();
  await button('Next').tap();
  await page.getByText('Red, LED, two circuits').waitFor();
  await button('Next').tap();
  await button('Change Controls').tap();
  await page.getByRole('button', { name: /^Change Pedal/ }).tap();
  await sound(page, 'control');
  await button('Next').tap();
  await button('Next').tap();
  await button('Change Size of the vehicle').tap();
  await page.getByLabel('Length, front to rear').fill('three');
  await button('Next').tap();
  await page.getByRole('alert').getByRole('link', { name: 'Length, front to rear' }).waitFor();
  await sound(page, 'size with a slip');
  await page.getByLabel('Length, front to rear').fill('12 ft');
  await button('Next').tap();
  await page.getByRole('heading', { name: 'Check your answers' }).waitFor();
  await page.getByText('3658 mm long').waitFor();
});
