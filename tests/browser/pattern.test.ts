/** Two parts of the vetting sheet: how the trees of its species stand, and the oaks that may have sent foreign pollen. */
import { afterAll, beforeAll, expect, it } from 'vitest';
import type { Page } from 'playwright-core';
import { faults, picture, settled, startHarness, type Harness } from './harness.ts';

let harness: Harness;
beforeAll(async () => {
  harness = await startHarness();
});
afterAll(() => harness.close());

/** Opens the sheet of the one candidate that a search of the ledger leaves. */
async function open(page: Page, search: string): Promise<void> {
  await page.locator('.ledger').getByLabel('Filter the ledger').fill(search);
  await page.locator('.ledger tr.entry').getByText(search, { exact: true }).first().click();
  await page.getByRole('heading', { name: 'How its trees stand' }).waitFor();
}

it('shows how trees stand, the oaks that may have sent pollen, and a check in the field', async () => {
  const { page, context, complaints } = await harness.visit();
  await page.waitForSelector('.verdict');
  await settled(page);
  await page.keyboard.press('3');
  await open(page, 'Campus block 1-1');

  // A block of trees on a campus looks planted: in words, three plots and their tables.
  const part = page.locator('section.pattern');
  await part.getByText('Regular: a square grid').waitFor();
  await part.getByText(/^Looks planted/).waitFor();
  await part.getByText(/Directions repeat every 90°: a square grid/).waitFor();
  expect(await part.locator('figure svg[role=img]').count()).toBe(3);
  await part.getByText('Trees in this plan').click();
  expect(await part.locator('figure').first().locator('tbody tr').count()).toBeGreaterThanOrEqual(24);
  expect(await part.locator('tr.selected').innerText()).toContain('(this tree)');
  // The user's units everywhere: the demo opens in feet.
  expect(await part.innerText()).not.toMatch(/\d (?:m|cm)\b/);
  await picture(page, 'sheet-pattern');

  // Another tree: nothing of the first one stays.
  await open(page, 'FG-0480');
  await expect.poll(() => part.innerText()).not.toContain('Looks planted');

  // Oaks of its section, never others, nearest first.
  const list = page.getByRole('table', { name: 'Other and doubtful oaks of the section, nearest first' });
  const rows = await list.locator('tr').allInnerTexts();
  expect(rows.length).toBeGreaterThanOrEqual(3);
  for (const text of rows) expect(text).toMatch(/Quercus (?:alba × Q\. montana|montana|macrocarpa|stellata)/);
  const feet = rows.map((t) => Number(/(\d+) ft$/.exec(t.trim())?.[1]));
  expect(feet).toEqual([...feet].sort((a, b) => a - b));

  // Whoever stands near comes first among those it is taken for; boxes to tick print 5 mm wide.
  await page.getByText(/^Field check: white oak/).click();
  const check = page.locator('details', { hasText: 'Field check: white oak' });
  expect(await check.locator('h4').nth(1).innerText()).toMatch(/^Not chestnut oak[^]*on record near/);
  await page.emulateMedia({ media: 'print' });
  const box = await check.getByRole('checkbox').first().boundingBox();
  expect([box?.width, box?.height].map((v) => Math.round(((v ?? 0) * 25.4) / 96))).toEqual([5, 5]);
  await page.emulateMedia({ media: 'screen' });

  // The rule may ask of the level instead of the number.
  await page.keyboard.press('1');
  const rule = page.getByRole('group', { name: 'Hybrid risk' });
  await expect.poll(() => rule.getByRole('spinbutton').count()).toBe(2);
  await rule.getByLabel('At most').selectOption({ label: 'a risk of: low' });
  await expect.poll(() => rule.getByRole('spinbutton').count()).toBe(1);
  await settled(page);
  await page.keyboard.press('3');
  await open(page, 'FG-0480');
  await page.getByText('at most low, from oaks of the section on record within 328 ft').waitFor();
  expect(complaints).toEqual([]);
  await context.close();
});

it('fits a narrow screen and is without faults for assistive technology, dark', async () => {
  const { page, context } = await harness.visit({ width: 390, height: 844, scheme: 'dark' });
  await page.waitForSelector('.verdict', { state: 'attached' });
  await settled(page);
  await page.locator('.panel button.tree').first().click();
  await page.locator('section.pattern[aria-busy=false]').waitFor();
  await page.getByText(/^Field check/).click();
  expect(
    await page.locator('.panel .body').evaluate((body) => body.scrollWidth - body.clientWidth),
  ).toBeLessThanOrEqual(0);
  expect(await faults(page)).toEqual([]);
  await page.locator('section.pattern').scrollIntoViewIfNeeded();
  await picture(page, 'sheet-pattern-390');
  await context.close();
});
