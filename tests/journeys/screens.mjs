// A walk through every screen of the page, for whoever wants to look at each: the journeys of reach hold each of them against
// rules, `tests/pictures/screens.mjs` takes pictures of them.

import { readFile } from 'node:fs/promises';

const fixture = (name) => readFile(new URL(`../fixtures/${name}.json`, import.meta.url), 'utf8');
const LISTS = ['Parts', 'Wires', 'Controls', 'Wishes', 'Places', 'Settings'];

/** Goes through the screens and calls `look` on each with its name. */
export async function everyScreen(page, url, look) {
  const button = (name) => page.getByRole('button', { name, exact: true });
  const go = (name) => page.getByRole('navigation').getByRole('button', { name }).tap();
  const start = async () => {
    await page.goto(url);
    await page.locator('body[data-ready="true"]').waitFor();
  };
  const openFile = (plan) =>
    page.locator('#open-file').setInputFiles({ name: 'a.json', mimeType: 'application/json', buffer: Buffer.from(plan) });

  await start();
  await look('start');
  await theForm(page, button, look);
  await button('Leave the form').tap();
  await page.locator('#open-file').waitFor({ state: 'attached' });
  await look('start with answers kept');

  // A plan with a lamp lit from behind, thin wires and a large fuse: something of everything to say.
  const plan = JSON.parse(await fixture('tractor-without-diodes'));
  plan.parts.find((part) => part.id === 'F1').spec.rating_a = 40;
  plan.wires[0].size = '20 AWG';
  await openFile(JSON.stringify(plan));
  await page.locator('.drawing').waitFor();
  await look('drawing');
  await thePaths(page, button, look);
  await go('Behaviour');
  await page.locator('.table-pane').waitFor();
  await look('behaviour');
  await page.locator('.cell[data-verdict="back-fed"]').first().tap();
  await page.locator('.explain').waitFor();
  await look('why a lamp is back-fed');
  await button('Close').tap();
  await go('Checks');
  await page.locator('.finding').first().waitFor();
  await look('checks');
  await button('Work out a cure').tap();
  await page.locator('.cure-item').first().waitFor();
  await page.locator('.cure').scrollIntoViewIfNeeded();
  await look('cures');
  await page.locator('[data-cure="0"]').tap();
  await page.locator('.sides').waitFor();
  await look('preview');
  await button('Back').tap();
  await button('Rules and units').tap();
  await page.getByRole('heading', { name: 'Rules, surroundings, units' }).waitFor();
  await look('rules and units');
  await button('Done').tap();
  await button('Tables and sources').tap();
  await look('tables');
  await page.locator('[data-table="0"]').tap();
  await page.locator('.figures').first().waitFor();
  await look('a table');
  await button('Back to the tables').tap();
  await button('Back to the checks').tap();
  await theLists(page, button, go, look);
  await button('Keep and share').tap();
  await page.locator('.link-text').waitFor();
  await look('keep and share');
  const link = await page.locator('#share-link-text').inputValue();
  await button('Back to all plans').tap();

  plan.wires[0].from = 'Z9:1';
  await openFile(JSON.stringify(plan));
  await button('Open as it is').tap();
  await button('Back to all plans').tap();
  await page.locator('.kept').first().waitFor();
  await look('start with plans');
  await openFile(JSON.stringify(plan));
  await button('Mend and open').waitFor();
  await look('broken references');
  await button('Leave it').tap();
  await button('Compare two plans').tap();
  await page.getByRole('heading', { name: 'Behaviour side by side' }).waitFor();
  await look('comparison');
  await page.goto(link);
  await button('Keep it as a new plan').waitFor();
  await look('plan from a link');
}

/** Every page of the form, and what comes of it. */
async function theForm(page, button, look) {
  await button('Plan my own').tap();
  await page.locator('.flow').waitFor();
  while ((await button('Next').count()) > 0) {
    const title = await page.getByRole('heading', { level: 2 }).innerText();
    await look(`form, ${title}`);
    if (title === 'Lamps') {
      await page.getByRole('button', { name: /^Change / }).first().tap();
      await look('form, one lamp');
      await button('Next').tap();
      await page.getByLabel('Add lamps').selectOption({ label: 'rear: work lamp' });
    }
    if (title === 'Controls') {
      await page.getByRole('button', { name: /^Change / }).first().tap();
      await look('form, one control');
      await button('Next').tap();
    }
    await button('Next').tap();
  }
  await page.getByText('no control lights it').waitFor();
  await look('answers that contradict');
}

/** The drawing with its panels. */
async function thePaths(page, button, look) {
  await page.locator('.drawing .handle').first().locator('.hit').tap();
  await page.locator('.picked').waitFor();
  await look('a switch picked');
  await button('Details').tap();
  await page.locator('#details').waitFor();
  await look('details of a part');
  await page.locator('#details').getByRole('button', { name: /^Follow the path/ }).first().tap();
  await page.locator('.follow').waitFor();
  await look('a path followed');
  await button('Close').tap();
  await button('More').first().tap();
  await page.locator('.drawing-more').waitFor();
  await look('more of the drawing');
  await page.locator('.drawing-more').getByRole('button', { name: 'Close' }).tap();
}

/** The lists of Build and a form of each. */
async function theLists(page, button, go, look) {
  await go('Build');
  for (const name of LISTS) {
    await page.locator('.build').getByRole('button', { name, exact: true }).tap();
    await look(`list of ${name}`);
    const first = page.locator('.build-item').first();
    if ((await first.count()) === 0) continue;
    await first.tap();
    await button('Done').waitFor();
    await look(`form of ${name}`);
    await button('Done').tap();
  }
  await page.locator('.build').getByRole('button', { name: 'Wires', exact: true }).tap();
  await button('Add a wire').tap();
  await look('a new wire');
}
