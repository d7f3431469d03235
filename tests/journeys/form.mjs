// Goes through the form as a thorough visitor would.

/** Gives every answer of a page once, and leaves those that stood. */
async function answer(page) {
  const stood = await page.locator('.flow-page input:checked').evaluateAll((all) => all.map((e) => [e.name, e.value]));
  for (const kind of ['radio', 'checkbox']) {
    for (let at = 0; at < (await page.locator(`.flow-page input[type="${kind}"]`).count()); at += 1) {
      await page.locator(`.flow-page input[type="${kind}"]`).nth(at).locator('..').tap();
      if (kind === 'checkbox') await page.locator(`.flow-page input[type="${kind}"]`).nth(at).locator('..').tap();
    }
  }
  for (const [name, value] of stood) {
    const input = page.locator(`.flow-page input[type="radio"][name="${name}"][value="${value}"]`);
    if (name && (await input.count()) > 0) await input.locator('..').tap();
  }
  for (let at = 0; at < (await page.locator('.flow-page input[type="text"]').count()); at += 1) {
    const field = page.locator('.flow-page input[type="text"]').nth(at);
    const text = await field.inputValue();
    for (const typed of ['x', '1,5', text]) {
      await field.fill(typed);
      await field.press('Enter');
    }
  }
  for (let at = 0; at < (await page.locator('.flow-page select').count()); at += 1) {
    const select = page.locator('.flow-page select').nth(at);
    const stands = await select.inputValue();
    await select.selectOption({ index: 1 });
    if (stands) await page.locator('.flow-page select').nth(at).selectOption(stands);
  }
}

/** From the start page through every page of the form, with every answer, up to the check page but not onto it. */
export async function walk(page) {
  await page.locator('.main-button').first().tap();
  await page.locator('.flow-head').waitFor();
  for (;;) {
    const [step, all] = (await page.locator('.flow-step').innerText()).match(/\d+/g).map(Number);
    await answer(page);
    const items = await page.locator('.flow-item').count();
    if (items > 0) {
      await page.locator('.flow-item button').first().tap();
      await answer(page);
      await page.locator('.end-bar .main-button').last().tap();
      await page.locator('.flow-item').last().locator('button').last().tap();
    }
    if (step === all - 1) break;
    await page.locator('.end-bar .main-button').last().tap();
    await page.getByText(new RegExp(`\\b${step + 1}\\b.*${all}`)).first().waitFor();
  }
}
