/** What the evidence on a tree was read from, on the map while its sheet is open. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Page } from 'playwright-core';
import { faults, picture, settled, startHarness, type Harness } from './harness.ts';

let harness: Harness;
beforeAll(async () => {
  harness = await startHarness();
});
afterAll(() => harness.close());

/** A tree of a row along a road, with a building near by. */
const TREE = 'FG-0793';

async function sheet(options: Parameters<Harness['visit']>[0] = {}) {
  const visit = await harness.visit(options);
  await visit.page.waitForSelector('.verdict');
  await settled(visit.page);
  await visit.page.getByRole('button', { name: /Candidates$/ }).click();
  await visit.page.locator('#ledger-filter').fill(TREE);
  await visit.page.locator('.ledger tr.entry', { hasText: TREE }).click();
  await visit.page.getByRole('heading', { name: 'Natural origin' }).waitFor();
  return visit;
}

/** The map is a picture: what lies on it is told by the share of its points that are other ones than before. */
async function changed(page: Page, before: Buffer): Promise<number> {
  const after = await page.locator('.ground .map').screenshot();
  return page.evaluate(
    async ([a, b]) => {
      const points = async (png: string): Promise<Uint8ClampedArray> => {
        const bytes = Uint8Array.from(atob(png), (c) => c.charCodeAt(0));
        const image = await createImageBitmap(new Blob([bytes]));
        const g = new OffscreenCanvas(image.width, image.height).getContext('2d');
        if (!g) throw new Error('no drawing');
        g.drawImage(image, 0, 0);
        return g.getImageData(0, 0, image.width, image.height).data;
      };
      const [x, y] = [await points(a), await points(b)];
      let other = 0;
      for (let i = 0; i < x.length; i += 4)
        if (Math.abs(x[i] - y[i]) + Math.abs(x[i + 1] - y[i + 1]) > 12) other++;
      return other / (x.length / 4);
    },
    [before.toString('base64'), after.toString('base64')],
  );
}

describe('the evidence drawn', () => {
  it('is on the map while the sheet is open, the piece pointed at stands out, and it goes with the sheet', async () => {
    const { page, context, requests, complaints } = await sheet();
    const map = page.locator('.ground .map');
    const legend = page.getByRole('region', { name: 'Evidence about the chosen tree' });
    await legend.getByText('Ground within').waitFor();
    await page.getByRole('button', { name: 'Look at it on the map' }).click();
    await settled(page);
    const plain = await map.screenshot();
    await picture(page, 'evidence');
    const row = page.locator('tr.piece[data-piece="road"]');
    await row.hover();
    await settled(page);
    await expect.poll(() => row.getAttribute('class')).toContain('lit');
    expect(await changed(page, plain)).toBeGreaterThan(0.005);
    await picture(page, 'evidence-lit');
    // By keyboard the same.
    await page.getByRole('heading', { name: 'Natural origin' }).hover();
    await page.getByRole('button', { name: 'Look at it on the map' }).focus();
    await page.keyboard.press('Tab');
    await expect.poll(() => page.locator('tr.piece.lit').getAttribute('data-piece')).toBe('roadRow');
    await page.keyboard.press('Enter');
    await page
      .getByText(/Without it: /)
      .first()
      .waitFor();
    await picture(page, 'evidence-open');
    expect(await faults(page)).toEqual([]);
    await page.getByRole('button', { name: /^←/ }).click();
    await legend.waitFor({ state: 'detached' });
    await settled(page);
    expect(await changed(page, plain)).toBeGreaterThan(0.005);
    expect(requests.filter((r) => !r.startsWith(harness.url) && !/^(blob|data):/.test(r))).toEqual([]);
    expect(complaints).toEqual([]);
    await context.close();
  });

  it('keeps the tree in sight above the panel of a narrow screen, without faults', async () => {
    const { page, context } = await sheet({ width: 390, height: 844, scheme: 'dark' });
    await page.getByRole('heading', { name: 'Natural origin' }).scrollIntoViewIfNeeded();
    await picture(page, 'evidence-390-sheet');
    await page.getByRole('button', { name: 'Look at it on the map' }).click();
    await settled(page);
    expect(await faults(page, [])).toEqual([]);
    await picture(page, 'evidence-390');
    await context.close();
  });
});
