/** Ways about the screens: counts lead into the ledger, the keyboard finds its place again, the panel of a narrow screen moves in steps. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { settled, startHarness, type Harness } from './harness.ts';

let harness: Harness;
beforeAll(async () => {
  harness = await startHarness();
});
afterAll(() => harness.close());

async function demo(width = 1440, height = 900) {
  const visit = await harness.visit({ width, height });
  await visit.page.waitForSelector('.verdict');
  await settled(visit.page);
  return visit;
}

describe('the ledger', () => {
  it('shows what a count of the Candidates stage counts', async () => {
    const { page, context, complaints } = await demo();
    await page.keyboard.press('3');
    for (const standing of ['Eligible', 'Needs a check', 'Ruled out']) {
      const line = page.locator('.panel tr', {
        has: page.getByRole('button', { name: standing, exact: true }),
      });
      const count = (await line.locator('.num').innerText()).trim();
      await line.getByRole('button').click();
      await expect
        .poll(() => page.locator('.ledger .name').innerText())
        .toMatch(new RegExp(`\\b${count} of `));
      const shown = await page.locator('.ledger tr.entry').allInnerTexts();
      expect(shown.length).toBeGreaterThan(0);
      for (const text of shown) expect(text).toContain(standing.toLowerCase());
      await line.getByRole('button').click();
    }
    await page.getByLabel('Species in the ledger').selectOption('all');
    await page.getByLabel('Filter the ledger').fill('no tree is called so');
    await page.getByText(/^None of the \d+ is let through/).waitFor();
    await page.getByRole('button', { name: 'Show all' }).click();
    await expect.poll(() => page.locator('.ledger tr.entry').count()).toBeGreaterThan(0);
    expect(complaints).toEqual([]);
    await context.close();
  });

  it('and the map number the trees of a day as the list of stops does', async () => {
    const { page, context } = await demo();
    await page.keyboard.press('5');
    await page.locator('.panel .stops').waitFor();
    const names = await page.locator('.panel .stops .tree').allInnerTexts();
    const rows = await page.locator('.ledger tr.entry').allInnerTexts();
    const marks = await page.locator('.ledger tr.entry .mark text').allTextContents();
    expect(marks.slice(0, 5)).toEqual(['1', '2', '3', '4', '5']);
    for (let i = 0; i < 5; i++) expect(rows[i]).toContain(names[i]);
    await context.close();
  });
});

describe('the map', () => {
  it('goes to the site of another planting when that is out of sight', async () => {
    const { page, context } = await demo();
    await page
      .getByLabel('Planting', { exact: true })
      .selectOption({ label: 'Chestnut oak for the Notional Ridges' });
    await expect.poll(() => page.locator('.verdict').innerText()).toContain('6 of 10');
    await settled(page);
    await page.keyboard.press('1');
    const site = async (): Promise<number[]> => {
      const text = await page.getByLabel('Position: latitude, longitude').inputValue();
      return text.split(', ').map(Number).reverse();
    };
    const [lon, lat] = await site();
    // The map says where its middle is when a place is picked there.
    await page.getByRole('button', { name: 'Set it on the map' }).click();
    const box = await page.locator('.maplibregl-canvas').boundingBox();
    if (!box) throw new Error('no map');
    await page.mouse.click(box.x + box.width / 2, box.y + box.height / 2);
    // The figures may be the same to the last decimal that is shown: that it was set is told by what can be undone.
    await page.getByRole('button', { name: /^Undo: Move/ }).waitFor();
    const [x, y] = await site();
    // Half a pixel of the map is less than this.
    expect(Math.hypot((x - lon) * Math.cos((lat * Math.PI) / 180), y - lat)).toBeLessThan(0.001);
    await context.close();
  });
});

describe('the keyboard', () => {
  it('goes from a tree to its sheet and back to the same tree, at the same place of the list', async () => {
    // So low that the reserves are below the fold.
    const { page, context } = await demo(1440, 600);
    const tree = page.locator('.panel .reserves .tree').nth(5);
    const name = await tree.innerText();
    await tree.focus();
    const before = await page.locator('.panel .body').evaluate((b) => b.scrollTop);
    expect(before).toBeGreaterThan(0);
    await page.keyboard.press('Enter');
    await expect.poll(() => page.locator('.panel h2').innerText()).toBe(name);
    expect(await page.evaluate(() => document.activeElement?.closest('.panel') !== null)).toBe(true);
    await page.keyboard.press('Escape');
    await expect.poll(() => page.locator('.panel h2').innerText()).toBe('Parent set');
    await expect.poll(() => page.evaluate(() => document.activeElement?.textContent)).toBe(name);
    expect(await page.locator('.panel .body').evaluate((b) => b.scrollTop)).toBe(before);
    await context.close();
  });

  it('still opens stages and undoes after a box was ticked or a list was used', async () => {
    const { page, context } = await demo();
    await page.keyboard.press('1');
    const strength = page.getByLabel('Zone: strength');
    await strength.selectOption('prefer');
    await strength.focus();
    await page.keyboard.press('Control+z');
    await expect.poll(() => strength.inputValue()).toBe('must');
    await page.locator('.panel input[type=checkbox]').first().focus();
    await page.keyboard.press('2');
    await expect.poll(() => page.locator('.panel h2').innerText()).toBe('Layers');
    await context.close();
  });
});

describe('the panel of a narrow screen', () => {
  it('goes up in two steps and down at once by presses, and follows a swipe', async () => {
    const { page, context } = await demo(390, 844);
    const height = () => page.locator('.panel').evaluate((p) => Math.round(p.getBoundingClientRect().height));
    const half = await height();
    const grip = page.locator('.grip');
    await grip.click();
    const tall = await height();
    expect(tall).toBeGreaterThan(half);
    await grip.click();
    expect(await height()).toBe(44);
    await grip.click();
    expect(await height()).toBe(half);
    const swipe = async (by: number): Promise<void> => {
      const box = await grip.boundingBox();
      if (!box) throw new Error('the panel has no grip');
      const y = box.y + box.height / 2;
      await page.mouse.move(195, y);
      await page.mouse.down();
      await page.mouse.move(195, y + by, { steps: 4 });
      await page.mouse.up();
    };
    await swipe(-90);
    expect(await height()).toBe(tall);
    await swipe(90);
    expect(await height()).toBe(half);
    await swipe(90);
    expect(await height()).toBe(44);
    await context.close();
  });
});
