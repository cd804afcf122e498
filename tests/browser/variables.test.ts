/** The variables of the match in the demo workspace: what is compared, against what spread, in which period; each step can be undone. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { faults, picture, settled, startHarness, type Harness, type Visit } from './harness.ts';

let harness: Harness;
beforeAll(async () => {
  harness = await startHarness();
});
afterAll(() => harness.close());

const stage = (page: Page, name: string) =>
  page.getByRole('navigation').getByRole('button', { name, exact: false }).click();
const opened = (page: Page, words: string) => page.locator('summary', { hasText: words }).click();

/** The demo workspace at its Planting stage, the spread measured. */
async function planting(width = 1440, height = 900, scheme: 'light' | 'dark' = 'light'): Promise<Visit> {
  const visit = await harness.visit({ width, height, scheme });
  const { page } = visit;
  await page.waitForSelector('.verdict');
  await settled(page);
  await stage(page, 'Planting');
  await page.getByText('Ordinary difference: within 8 zones').waitFor();
  return visit;
}

describe('the variables of the match', () => {
  let visit: Visit;
  let page: Page;
  beforeAll(async () => {
    visit = await planting();
    page = visit.page;
  });
  afterAll(() => visit.context.close());

  /** Of the candidates' period. */
  const box = (name: string) => page.getByRole('group', { name: 'Climate 1991-2020' }).getByLabel(name);
  const undo = () => page.getByRole('button', { name: /^Undo:/ }).click();
  const undoes = (what: string) =>
    expect
      .poll(() => page.getByRole('button', { name: /^Undo:/ }).getAttribute('aria-label'))
      .toContain(what);
  /** The ordinary difference of a variable as the table has it. */
  const ordinary = (title: string) =>
    page
      .getByRole('table', { name: 'Ordinary differences' })
      .locator('tr', { hasText: title })
      .locator('td')
      .last()
      .innerText();
  const match = () => page.locator('.ledger tr.entry', { hasText: 'FG-0595' }).locator('td').allInnerTexts();

  it('are ticked by group in one step, and back in one', async () => {
    const all = box('All of Climate 1991-2020');
    await all.uncheck();
    await page.getByText('Nothing is ticked').waitFor();
    expect(await box('Annual precipitation').isChecked()).toBe(false);
    await undo();
    await expect.poll(() => all.isChecked()).toBe(true);
    expect(await box('Annual precipitation').isChecked()).toBe(true);
    await box('Frost-free period').uncheck();
    await expect.poll(() => all.evaluate((b) => (b as HTMLInputElement).indeterminate)).toBe(true);
    await undo();
    await expect.poll(() => all.isChecked()).toBe(true);
  });

  it('that go together are named, and one is left out by a press', async () => {
    await page.getByText(/r = 0\.9\d, they say nearly the same/).waitFor();
    await page.getByRole('button', { name: 'Leave out mean temperature of the coldest month' }).click();
    await expect.poll(() => box('Mean temperature of the coldest month').isChecked()).toBe(false);
    await expect.poll(() => page.getByText('they say nearly the same').count()).toBe(0);
    await undo();
    await page.getByText('they say nearly the same').waitFor();
  });

  it('are compared by the logarithm where it means something', async () => {
    await opened(page, 'Compared as they are');
    await opened(page, 'Ordinary difference:');
    await page.getByText('degrees have no true zero').waitFor();
    expect(await page.getByLabel('Mean annual temperature is compared').count()).toBe(0);
    const frost = page.getByLabel('Frost-free period is compared');
    expect(await ordinary('Frost-free period')).toMatch(/^± [\d.]+ days$/);
    await frost.selectOption('log');
    await expect.poll(() => ordinary('Frost-free period')).toMatch(/^−[\d.]+ to \+[\d.]+ %$/);
    await undo();
    await expect.poll(() => ordinary('Frost-free period')).toMatch(/days$/);
  });

  it('are measured against a circle about the site, and the match changes', async () => {
    const before = { ordinary: await ordinary('Mean annual temperature'), row: await match() };
    await page.getByLabel('Within a circle about the site').check();
    await page.getByText(/Ordinary difference: within 31\.1 mi of the site.*cells/).waitFor();
    await expect.poll(() => ordinary('Mean annual temperature')).not.toBe(before.ordinary);
    await expect.poll(match).not.toEqual(before.row);
    const wide = await ordinary('Mean annual temperature');
    await page.getByLabel('Radius').fill('5');
    await page.getByLabel('Radius').press('Enter');
    await page.getByText('within 5 mi of the site').waitFor();
    await expect.poll(() => ordinary('Mean annual temperature')).not.toBe(wide);
    await undo();
    await undo();
    await page.getByText('Ordinary difference: within 8 zones').waitFor();
    await expect.poll(() => ordinary('Mean annual temperature')).toBe(before.ordinary);
  });

  it('are measured against what is typed in, in the units of the user', async () => {
    const before = await ordinary('Mean annual temperature');
    await page.getByLabel('As typed in').check();
    // Begins with the present spread, so that nothing moves but for the rounding.
    await expect.poll(() => ordinary('Mean annual temperature')).toBe(before);
    const sd = page.getByLabel('Standard deviation of Mean annual temperature');
    await sd.fill('2');
    await sd.press('Enter');
    // 1.96 · sqrt(2) · 2 °F
    await expect.poll(() => ordinary('Mean annual temperature')).toBe('± 5.5 °F');
    const rain = page.getByLabel('Standard deviation of Annual precipitation');
    await rain.fill('10');
    await rain.press('Enter');
    // exp(±1.96 · sqrt(2) · 0.10)
    await expect.poll(() => ordinary('Annual precipitation')).toBe('−24 to +32 %');
    await page.getByLabel('Units', { exact: true }).selectOption('metric');
    expect(await sd.inputValue()).toBe('1.1111');
    expect(await rain.inputValue()).toBe('10');
    await sd.fill('0');
    await sd.press('Enter');
    await page.getByText('Standard deviation of Mean annual temperature: give a number').waitFor();
    await page.getByLabel('Units', { exact: true }).selectOption('us');
    await picture(page, 'variables-typed');
    for (let i = 0; i < 3; i++) await undo();
    await page.getByText('Ordinary difference: within 8 zones').waitFor();
    await expect.poll(() => ordinary('Mean annual temperature')).toBe(before);
  });

  it('tell how the assumption of the match fits, and how they go together', async () => {
    await opened(page, 'Check of the spread');
    const check = page.getByRole('table', { name: 'Pairs of places that differ by less' });
    expect(await check.locator('tbody tr td:first-child').allInnerTexts()).toEqual(['50 %', '80 %', '95 %']);
    for (const seen of await check.locator('tbody tr td:last-child').allInnerTexts())
      expect(Number.parseFloat(seen)).toBeGreaterThan(30);
    await opened(page, 'How the variables go together');
    const table = page.getByRole('table', { name: 'Correlation of the variables' });
    expect(await table.getByRole('rowheader').count()).toBe(4);
    expect(await table.locator('td.same').allInnerTexts()).toEqual([expect.stringMatching(/^0\.9\d$/)]);
  });

  it('are read for the site in a later period: what changes is told, and what has no twin is refused', async () => {
    await page.getByLabel('Climate at the site').selectOption('2041-2070');
    const list = page.getByRole('list', { name: 'What the site is read from' });
    await expect
      .poll(() => list.locator('li').allInnerTexts())
      .toEqual([
        expect.stringMatching(/warmer by [\d.]+ °F/),
        expect.stringMatching(/milder in winter by [\d.]+ °F/),
        expect.stringMatching(/wetter by|drier by/),
        expect.stringMatching(/longer frost-free by \d+ days\s+1991-2020 \d+ days, 2041-2070 \d+ days/),
      ]);
    await stage(page, 'Layers');
    await page.getByRole('button', { name: 'Details of Frost-free period 2041-2070' }).click();
    await page.getByRole('button', { name: 'Remove Frost-free period' }).click();
    await stage(page, 'Planting');
    await list.getByText('Frost-free period has no layer of 2041-2070').waitFor();
    await settled(page);
    // Said once, where it can be mended.
    expect(await page.locator('.panel').getByText('has no layer of').count()).toBe(1);
    await list.scrollIntoViewIfNeeded();
    await picture(page, 'variables-refused');
    await list.getByRole('button', { name: 'Leave out frost-free period' }).click();
    await expect.poll(() => list.locator('li').count()).toBe(3);
    await undoes('Leave out frost-free period');
    for (let i = 0; i < 3; i++) await undo();
    await expect.poll(() => page.getByLabel('Climate at the site').inputValue()).toBe('');
    await page.getByText('Ordinary difference: within 8 zones').waitFor();
  });

  it('ticked in two periods are warned of', async () => {
    await opened(page, 'Climate 2041-2070: 4 layers');
    const later = page.getByRole('group', { name: 'Climate 2041-2070' });
    await later.getByLabel('Mean annual temperature').check();
    await page.getByText('Mean annual temperature is ticked for 1991-2020 and 2041-2070').waitFor();
    await page.getByRole('button', { name: 'Leave out 2041-2070' }).click();
    await expect.poll(() => later.getByLabel('Mean annual temperature').isChecked()).toBe(false);
    await undo();
    await undo();
  });

  it('have the ordinary difference beside a band', async () => {
    await page.locator('form', { hasText: 'A band for a single variable' }).getByRole('button').click();
    await page.getByText(/An ordinary difference between places that count as alike: ± [\d.]+ °F/).waitFor();
    await undo();
  });

  it('make the page complain of nothing', () => expect(visit.complaints).toEqual([]));
});

describe('on a phone', () => {
  for (const scheme of ['light', 'dark'] as const)
    it(`everything is within the width and can be got at, ${scheme}`, async () => {
      const { page, context, complaints } = await planting(390, 844, scheme);
      for (const words of [
        'Compared as',
        'Climate 2041-2070:',
        'Ordinary difference:',
        'How the',
        'Check of',
      ])
        await opened(page, words);
      // Nine at once: the table has letters for heads.
      await page.getByLabel('All of Climate 2041-2070').check();
      await page.getByLabel('All of Terrain').check();
      const table = page.getByRole('table', { name: 'Correlation of the variables' });
      await expect.poll(() => table.getByRole('rowheader').count()).toBe(9);
      await page.getByLabel('Climate at the site').selectOption('2041-2070');
      await settled(page);
      const body = page.locator('.panel .body');
      expect(await body.evaluate((b) => b.scrollWidth - b.clientWidth)).toBeLessThanOrEqual(0);
      await table.scrollIntoViewIfNeeded();
      await picture(page, `variables-phone-${scheme}`);
      expect(await faults(page)).toEqual([]);
      expect(complaints).toEqual([]);
      await context.close();
    });
});
