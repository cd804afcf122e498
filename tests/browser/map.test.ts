/** The map itself: pointing with mouse, finger and keys, and a drawing context that is taken away. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Page } from 'playwright-core';
import { settled, startHarness, type Harness } from './harness.ts';

let harness: Harness;
/** One page for all that a mouse and keys do. */
let page: Page;
let complaints: string[];
beforeAll(async () => {
  harness = await startHarness();
  ({ page, complaints } = await harness.visit({ width: 1100, height: 800 }));
  await page.waitForSelector('.verdict');
  await settled(page);
});
afterAll(() => harness.close());

const scale = (page: Page) => page.locator('.map-scale-label').innerText();
const canvas = async (page: Page) => {
  const box = await page.locator('.maplibregl-canvas').boundingBox();
  if (!box) throw new Error('no map');
  return box;
};
/** Pictures of the map part of the page are compared byte by byte: the software renderer repeats itself. */
const look = async (page: Page) => {
  await settled(page);
  return page.screenshot({ clip: await canvas(page) });
};

/** Whether the pointer at a place means a tree. The map looks once a frame. */
async function pointing(page: Page, x: number, y: number): Promise<boolean> {
  await page.mouse.move(x, y);
  await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
  return (await page.locator('.maplibregl-canvas.pointing').count()) > 0;
}

/** Goes over the map by a coarse grid, from its middle line on, until the pointer finds a tree. */
async function findTree(page: Page): Promise<{ x: number; y: number }> {
  const box = await canvas(page);
  for (let step = 0; step < 30; step++) {
    const y = box.y + box.height / 2 + (step % 2 ? 1 : -1) * Math.ceil(step / 2) * 15;
    if (y < box.y + 20 || y > box.y + box.height - 60) continue;
    for (let x = box.x + 280; x < box.x + box.width - 60; x += 15)
      if (await pointing(page, x, y)) return { x, y };
  }
  throw new Error('no tree on the map');
}

describe('the map', () => {
  it('selects the tree that is clicked, and nothing on bare ground', async () => {
    await page.getByRole('navigation').getByRole('button', { name: 'Candidates' }).click();
    await settled(page);
    const at = await findTree(page);
    await page.mouse.click(at.x, at.y);
    await page.locator('.panel').getByText('Findings').first().waitFor();
    const name = await page.locator('.panel h2').innerText();
    expect(await page.locator('.ledger tr.entry.selected').innerText()).toContain(name);
    const box = await canvas(page);
    await page.mouse.click(box.x + box.width - 20, box.y + box.height / 2);
    await expect.poll(() => page.locator('.panel h2').innerText()).toBe('Candidates');
    expect(await page.locator('.ledger tr.entry.selected').count()).toBe(0);
    expect(complaints).toEqual([]);
  });

  it('moves and zooms by keys and by its buttons', async () => {
    const before = await look(page);
    await page.locator('.maplibregl-canvas').focus();
    await page.keyboard.press('ArrowRight');
    await page.waitForTimeout(400);
    expect(await look(page)).not.toEqual(before);
    const far = await scale(page);
    await page.keyboard.press('Equal');
    await expect.poll(() => scale(page)).not.toBe(far);
    await page.getByRole('button', { name: 'Zoom out' }).click();
    await expect.poll(() => scale(page)).toBe(far);
  });

  it('follows the units and the size of the screen', async () => {
    await settled(page);
    expect(await scale(page)).toMatch(/ (mi|ft)$/);
    await page.getByLabel('Units', { exact: true }).selectOption('metric');
    expect(await scale(page)).toMatch(/ k?m$/);
    await page.setViewportSize({ width: 1000, height: 700 });
    await settled(page);
    const box = await canvas(page);
    const pane = await page.locator('.pane').boundingBox();
    expect(Math.round(box.width)).toBe(Math.round(pane?.width ?? 0));
  });

  it('comes back as it was when the browser takes its drawing context away', async () => {
    const before = await look(page);
    for (let times = 0; times < 2; times++) {
      await page.evaluate(() => {
        const gl = document.querySelector<HTMLCanvasElement>('.maplibregl-canvas')?.getContext('webgl2');
        gl?.getExtension('WEBGL_lose_context')?.loseContext();
      });
      await page.waitForFunction(() => document.documentElement.dataset['map'] === 'busy');
      expect(await look(page)).toEqual(before);
    }
    expect(await page.locator('.maplibregl-canvas').count()).toBe(1);
    expect(complaints.filter((c) => !/context/i.test(c))).toEqual([]);
  });

  it('takes a finger that misses a tree by 13 pixels, where a mouse means bare ground', async () => {
    const open = async (touch: boolean): Promise<Page> => {
      const visit = await harness.visit({ width: 1100, height: 800, touch });
      await visit.page.waitForSelector('.verdict');
      await settled(visit.page);
      return visit.page;
    };
    const mouse = await open(false);
    const title = await mouse.locator('.panel h2').innerText();
    const { x, y } = await findTree(mouse);
    let left = x;
    while (await pointing(mouse, left - 1, y)) left--;
    let right = x;
    while (await pointing(mouse, right + 1, y)) right++;
    const middle = (left + right) / 2;
    let top = y;
    while (await pointing(mouse, middle, top - 1)) top--;
    let foot = y;
    while (await pointing(mouse, middle, foot + 1)) foot++;
    const beside = [(top + foot) / 2 - 13, (top + foot) / 2 + 13];
    const free = [];
    for (const spot of beside) if (!(await pointing(mouse, middle, spot))) free.push(spot);
    expect(free.length).toBeGreaterThan(0);
    await mouse.mouse.click(middle, free[0]);
    expect(await mouse.locator('.panel h2').innerText()).toBe(title);
    await mouse.context().close();
    const touched = await open(true);
    await touched.touchscreen.tap(middle, free[0]);
    await touched.locator('.panel').getByText('Findings').first().waitFor();
    await touched.context().close();
  });
});
