/** The page on the origin of the candidates with the ledger's filters, on the demo workspace (invented). */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { faults, picture, settled, startHarness, type Harness } from './harness.ts';

let harness: Harness;
beforeAll(async () => {
  harness = await startHarness();
});
afterAll(() => harness.close());

async function review(width = 1440, height = 900, scheme: 'light' | 'dark' = 'light') {
  const visit = await harness.visit({ width, height, scheme });
  const { page } = visit;
  await page.waitForSelector('.verdict');
  await settled(page);
  await page.getByRole('navigation').getByRole('button', { name: 'Candidates' }).click();
  await page.getByRole('button', { name: 'Origin of the candidates' }).click();
  await page.getByRole('table', { name: 'What could settle most' }).waitFor();
  await page.getByRole('table', { name: 'Verdicts that hang on a piece of evidence' }).waitFor();
  return visit;
}

const panel = (page: Page) => page.getByRole('region', { name: 'Origin of the candidates' });
const ledger = (page: Page) => page.getByRole('region', { name: 'Ledger' });
const chips = (page: Page) => page.getByRole('group', { name: 'Filters on origin' });
/** "79 of 461" or "461" beside the ledger's name, as numbers. */
const listed = async (page: Page): Promise<number[]> =>
  (await ledger(page).locator('.name .num').innerText())
    .split(' of ')
    .map((t) => Number(t.replace(/,/g, '')));
const countOf = async (page: Page, name: RegExp): Promise<number> => {
  const label = await panel(page).getByRole('button', { name }).getAttribute('aria-label');
  return Number(/([\d,]+) trees?$/.exec(label ?? '')?.[1].replace(/,/g, ''));
};
/** Texts of one column of the rows that are drawn. */
async function cells(page: Page, title: string): Promise<string[]> {
  const heads = await ledger(page).locator('thead th').allInnerTexts();
  const at = heads.findIndex((t) => t.replace(/ [↑↓]$/, '').trim() === title);
  expect(at, heads.join(' | ')).toBeGreaterThan(0);
  return ledger(page)
    .locator('tr.entry')
    .evaluateAll((rows, i) => rows.map((r) => r.children[i].textContent?.trim() ?? ''), at);
}
/** The map as a picture. */
const ground = async (page: Page): Promise<string> =>
  (await page.locator('.maplibregl-canvas').screenshot()).toString('base64');

describe('the origin of the candidates', () => {
  it('counts verdicts, tells what would settle most, and lists the trees of a number in the ledger and on the map', async () => {
    const { page, context, complaints } = await review(1440, 900, 'dark');
    const [all] = await listed(page);
    const verdicts = panel(page).getByRole('table', { name: 'Candidates by verdict on their origin' });
    const counts = (await verdicts.locator('tbody tr').allInnerTexts())
      .slice(0, 4)
      .map((t) => Number(/\t([\d,]+)\t/.exec(t)?.[1].replace(/,/g, '')));
    expect(counts.reduce((a, b) => a + b)).toBe(all);

    const settle = panel(page).getByRole('table', { name: 'What could settle most' });
    const rows = (await settle.locator('tbody tr').allInnerTexts()).map((t) => t.replace(/\s+/g, ' '));
    expect(rows.join('\n')).toMatch(
      /Street and park trees .*ends short of \d+\. Bring another \d+ \d+ about \d+/,
    );
    expect(rows.join('\n')).toMatch(/Natural regeneration Look for seedlings/);

    await settled(page);
    const before = await ground(page);
    const near = panel(page).getByRole('button', { name: /^Nearest building speaks for planted/ });
    const n = await countOf(page, /^Nearest building speaks for planted/);
    expect(n).toBeGreaterThan(0);
    await near.click();
    await expect.poll(() => listed(page)).toEqual([n, all]);
    expect(await near.getAttribute('aria-pressed')).toBe('true');
    const words = await cells(page, 'Most for planted');
    expect(words.length).toBeGreaterThan(3);
    expect(words.every((t) => / ×\d/.test(t))).toBe(true);
    await expect
      .poll(() => page.locator('.legend summary').innerText())
      .toContain('only the trees in the ledger');
    await settled(page);
    expect(await ground(page)).not.toBe(before);
    await picture(page, 'origin-filtered-1440-dark');
    expect(await faults(page)).toEqual([]);

    // Numbers combine, and each is a chip; another verdict takes the place of the first.
    await panel(page)
      .getByRole('button', { name: /^Unsettled: / })
      .click();
    await expect.poll(() => chips(page).locator('.chip').count()).toBe(2);
    const [both] = await listed(page);
    expect(both).toBeLessThanOrEqual(n);
    expect(new Set(await cells(page, 'Origin verdict'))).toEqual(new Set(['unsettled']));
    await panel(page)
      .getByRole('button', { name: /^Likely planted: / })
      .click();
    await expect
      .poll(async () => new Set(await cells(page, 'Origin verdict')))
      .toEqual(new Set(['likely planted']));
    expect(await ledger(page).getByLabel('Origin in the ledger').inputValue()).toBe('likely planted');
    expect(await chips(page).locator('.chip').count()).toBe(2);

    // By evidence that is chosen in the ledger itself, and sorted by what is not known.
    await chips(page).getByLabel('Add a filter by evidence').selectOption('not known|regeneration');
    await expect.poll(() => chips(page).locator('.chip').count()).toBe(3);
    await ledger(page).getByRole('button', { name: 'Not known', exact: true }).click();
    const unknown = (await cells(page, 'Not known')).map(Number);
    expect(unknown.length).toBeGreaterThan(1);
    expect(unknown).toEqual([...unknown].sort((a, b) => a - b));

    // Taken off one by one by the keyboard, which goes on from chip to chip.
    await chips(page).getByRole('button', { name: 'Take off: Speaks for planted: Nearest building' }).focus();
    for (const left of [2, 1, 0]) {
      await page.keyboard.press('Enter');
      await expect.poll(() => chips(page).locator('.chip').count()).toBe(left);
      await expect
        .poll(() => page.evaluate(() => document.activeElement?.closest('.chips') !== null))
        .toBe(true);
    }
    await expect.poll(() => listed(page)).toEqual([all]);
    await settled(page);

    // What verdicts hang on; a tree's sheet lies over the page and goes back to it.
    const hangs = await countOf(page, /^Verdict hangs on one piece of evidence/);
    await panel(page)
      .getByRole('button', { name: /^Verdict hangs on one piece of evidence/ })
      .click();
    await expect.poll(() => listed(page)).toEqual([hangs, all]);
    await ledger(page).locator('tr.entry').first().click();
    await page.getByRole('button', { name: '← Origin of the candidates' }).click();
    await panel(page).getByRole('button', { name: '← Candidates' }).click();
    // The chip stays with its filter, and the counts of the stage are those of the page.
    await expect.poll(() => chips(page).locator('.chip').count()).toBe(1);
    // A count opens a ledger that is put away.
    await ledger(page).locator('.name').click();
    await page.locator('.panel').getByRole('button', { name: 'Likely natural' }).click();
    await expect.poll(() => chips(page).locator('.chip').count()).toBe(2);
    await chips(page).getByRole('button', { name: 'Take all off' }).click();
    await expect.poll(() => listed(page)).toEqual([all]);
    expect(await chips(page).count()).toBe(0);
    expect(await ledger(page).locator('thead').innerText()).not.toContain('Most for planted');

    // To the layers, where what is lacking is brought.
    await page.getByRole('button', { name: 'Origin of the candidates' }).click();
    await panel(page)
      .getByRole('button', { name: /^Bring (it|another): / })
      .first()
      .click();
    await page.getByRole('heading', { name: 'Layers', exact: true }).waitFor();
    expect(complaints).toEqual([]);
    await context.close();
  });

  it('works on a narrow screen, the ledger below: nothing too wide or too small to press', async () => {
    const { page, context, complaints } = await review(390, 844);
    await picture(page, 'origin-390-light');
    expect(await faults(page)).toEqual([]);
    const n = await countOf(page, /^Ground at the tree speaks for planted/);
    await panel(page)
      .getByRole('button', { name: /^Ground at the tree speaks for planted/ })
      .click();
    await expect.poll(async () => (await listed(page))[0]).toBe(n);
    await settled(page);
    await picture(page, 'origin-filtered-390-light');
    expect(await faults(page)).toEqual([]);
    expect(await page.locator('.panel > .body').evaluate((b) => b.scrollWidth - b.clientWidth)).toBe(0);
    const small = await page
      .locator('.panel > .body button:visible, .panel > .body select:visible')
      .evaluateAll((all) =>
        all
          .map((b) => ({
            box: b.getBoundingClientRect(),
            text: b.getAttribute('aria-label') ?? b.textContent,
          }))
          .filter(({ box }) => box.height < 43.5 || box.width < 43.5)
          .map(({ box, text }) => `${text?.trim()} ${box.width} x ${box.height}`),
      );
    expect(small).toEqual([]);
    // The ledger goes with the page while a sheet is open; the filter does not.
    await ledger(page).locator('tr.entry').first().click();
    await page.getByRole('button', { name: '← Origin of the candidates' }).click();
    await expect.poll(async () => (await listed(page))[0]).toBe(n);
    expect(await chips(page).locator('.chip').count()).toBe(1);
    expect(complaints).toEqual([]);
    await context.close();
  });
});
