/** The match on the vetting sheet: parts that sum, the climate that moves, several sites, two variables at once. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { faults, picture, settled, startHarness, type Harness } from './harness.ts';

let harness: Harness;
beforeAll(async () => {
  harness = await startHarness();
});
afterAll(() => harness.close());

async function sheet(options: Parameters<Harness['visit']>[0] = {}) {
  const visit = await harness.visit(options);
  await visit.page.waitForSelector('.verdict');
  await settled(visit.page);
  await visit.page.locator('.panel button.tree').first().click();
  await visit.page.getByRole('heading', { name: /^Match with the site/ }).waitFor();
  return visit;
}

describe('the match on the vetting sheet', () => {
  it('has parts that sum to the distance', async () => {
    const { page, context, complaints } = await sheet();
    const list = page.locator('figure ul li', { hasText: /./ });
    const parts = page.locator('figure:has-text("Where the distance D² comes from") li');
    const texts = await parts.allInnerTexts();
    const last = (text: string): number => Number(/(-?[\d.]+)\s*$/.exec(text)?.[1]);
    const numbers = texts.map(last);
    const sum = numbers.slice(0, -1).reduce((a, b) => a + b, 0);
    expect(numbers.length).toBe(5);
    expect(sum).toBeCloseTo(numbers[4], 1);
    expect(await list.count()).toBeGreaterThan(0);
    expect(complaints).toEqual([]);
    await context.close();
  });

  it('plots any two variables, with a table behind the plot', async () => {
    const { page, context } = await sheet();
    const plot = page.locator('figure:has(figcaption:text-is("Two variables at once"))');
    await plot.getByLabel('Across').selectOption({ label: 'Annual precipitation' });
    await expect
      .poll(() => plot.locator('svg[role=img]').getAttribute('aria-label'))
      .toContain('Annual precipitation (in, log scale)');
    await plot.getByText('Values in this plot').click();
    await expect.poll(() => plot.locator('table').innerText()).toMatch(/This tree\s+[\d.]+ in/);
    // Cells of the home zone and of others, trees, the contour: all have been drawn.
    for (const what of ['.cell', '.cell.home', '.tree', '.contour'])
      expect((await plot.locator(`svg[role=img] ${what}`).first().getAttribute('d'))?.length).toBeGreaterThan(
        100,
      );
    await picture(page, 'sheet-scatter');
    await context.close();
  });

  it('tells what the climate of a later period changes at the site', async () => {
    const { page, context, complaints } = await sheet();
    const before = await page.locator('.panel .big .num').first().innerText();
    await page.keyboard.press('1');
    await page.getByLabel('Climate at the site').selectOption('2041-2070');
    await settled(page);
    await page.locator('.ledger tr.entry').first().click();
    await page.getByText(/the site in 2041-2070: warmer by [\d.]+ °F than in 1991-2020/).waitFor();
    await page.getByText('A small diamond is the site as it is now').waitFor();
    expect(await page.locator('.panel .big .num').first().innerText()).not.toBe(before);
    await page.getByText('Values behind this').click();
    await page.getByRole('columnheader', { name: 'Site now' }).waitFor();
    await picture(page, 'sheet-later-period');
    expect(complaints).toEqual([]);
    await context.close();
  });

  for (const scheme of ['light', 'dark'] as const)
    it(`is without faults for assistive technology, ${scheme}`, async () => {
      const { page, context } = await sheet({ width: 390, height: 844, scheme });
      // The map's own markup too.
      expect(await faults(page, [])).toEqual([]);
      await page.locator('figure:has-text("Two variables at once")').scrollIntoViewIfNeeded();
      await picture(page, `sheet-match-390-${scheme}`);
      await context.close();
    });
});
