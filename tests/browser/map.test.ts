/** The map itself, on the demo workspace: what is drawn is told by pictures of it, since nothing of it is in the page. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { settled, startHarness, type Harness, type Visit } from './harness.ts';

let harness: Harness;
let visit: Visit;
let page: Page;

/** Keeps the drawing context of the map within reach of the test, so that it can be lost. */
const KEEP_CONTEXT = `
  const get = HTMLCanvasElement.prototype.getContext;
  HTMLCanvasElement.prototype.getContext = function (kind, ...rest) {
    const context = get.call(this, kind, ...rest);
    if (kind === 'webgl2') window.drawing = context;
    return context;
  };`;

beforeAll(async () => {
  harness = await startHarness();
  visit = await harness.visit({ width: 1100, height: 800 });
  page = visit.page;
  await page.addInitScript(KEEP_CONTEXT);
});
afterAll(() => harness.close());
beforeEach(() => reopen());

/** The page anew: nothing selected, the whole set in sight. */
async function reopen(): Promise<void> {
  await page.reload();
  await page.waitForSelector('.verdict');
  await rest();
}

/** At rest: nothing computed, nothing drawn, for a moment. */
async function rest(): Promise<void> {
  await page.waitForTimeout(200);
  await settled(page);
  await page.waitForTimeout(100);
  await settled(page);
}

interface Box {
  x: number;
  y: number;
  width: number;
  height: number;
}

/** The middle of the map, clear of legend, buttons, scale bar and notice. */
async function clear(): Promise<Box> {
  const box = await page.locator('.maplibregl-canvas').boundingBox();
  if (!box) throw new Error('no map');
  return { x: box.x + 270, y: box.y + 10, width: box.width - 350, height: box.height - 90 };
}

const picture = async (clip: Box): Promise<string> => (await page.screenshot({ clip })).toString('base64');

/** Pixels of two pictures that differ by more than a shade: how many, and the middle and size of the box around them. */
function difference(
  a: string,
  b: string,
): Promise<{ count: number; x: number; y: number; width: number; height: number }> {
  return page.evaluate(
    async (pictures) => {
      const [p, q] = await Promise.all(
        pictures.map(async (base64) => {
          const image = new Image();
          image.src = `data:image/png;base64,${base64}`;
          await image.decode();
          const canvas = new OffscreenCanvas(image.width, image.height);
          const pen = canvas.getContext('2d');
          if (!pen) throw new Error('no canvas');
          pen.drawImage(image, 0, 0);
          return pen.getImageData(0, 0, image.width, image.height);
        }),
      );
      let count = 0;
      let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
      for (let i = 0; i < p.data.length; i += 4) {
        if ([0, 1, 2].every((k) => Math.abs(p.data[i + k] - q.data[i + k]) <= 8)) continue;
        const x = (i / 4) % p.width;
        const y = Math.floor(i / 4 / p.width);
        count++;
        [left, right] = [Math.min(left, x), Math.max(right, x)];
        [top, bottom] = [Math.min(top, y), Math.max(bottom, y)];
      }
      return {
        count,
        x: (left + right + 1) / 2,
        y: (top + bottom + 1) / 2,
        width: right - left + 1,
        height: bottom - top + 1,
      };
    },
    [a, b],
  );
}

/** A tree of the ledger and its place on the screen: the ring around it is all that selecting it changes. */
async function someTree(): Promise<{ name: string; x: number; y: number }> {
  const clip = await clear();
  const bare = await picture(clip);
  for (let row = 0; row < 8; row++) {
    const entry = page.locator('.ledger tr.entry').nth(row);
    const name = await entry.locator('td').nth(2).innerText();
    await entry.click();
    await page.mouse.move(1, 1);
    await rest();
    const ring = await difference(bare, await picture(clip));
    // Under the legend or beyond the edge there is no ring, or a part of one.
    if (!(Math.abs(ring.width - ring.height) <= 2 && ring.width > 20 && ring.width < 44)) continue;
    await reopen();
    return { name, x: clip.x + ring.x, y: clip.y + ring.y };
  }
  throw new Error('no tree of the ledger stands clear on the map');
}

const scale = () => page.locator('.maplibregl-ctrl-bottom-left').innerText();
/** Label and length of the bar: twice as near, a bar of 2 miles may still be one of 2 miles, but twice as long. */
const bar = async (): Promise<string> =>
  `${await scale()}, ${await page.locator('.map-scale-bar').evaluate((b) => b.clientWidth)} px`;

describe('the map', () => {
  it('comes back as it was when the graphics processor takes its drawing context away', async () => {
    const clip = await clear();
    const before = await picture(clip);
    expect((await difference(before, before)).count).toBe(0);
    await page.evaluate(() => {
      const { drawing } = window as unknown as { drawing: WebGL2RenderingContext };
      const lose = drawing.getExtension('WEBGL_lose_context');
      if (!lose) throw new Error('this browser cannot lose a context');
      lose.loseContext();
      setTimeout(() => lose.restoreContext(), 300);
    });
    await page.waitForFunction(() => document.documentElement.dataset['map'] === 'busy');
    await rest();
    const changed = (await difference(before, await picture(clip))).count;
    console.log(`${changed} of ${clip.width * clip.height} pixels differ after the rebuild`);
    expect(changed).toBeLessThan(0.002 * clip.width * clip.height);
    // And it still follows the work.
    await page.locator('.ledger tr.entry').first().click();
    await rest();
    expect((await difference(before, await picture(clip))).count).toBeGreaterThan(50);
  });

  it('is moved by the arrow keys and zoomed by plus and minus and by its buttons', async () => {
    const clip = await clear();
    const start = await picture(clip);
    const wide = await bar();
    await page.locator('.maplibregl-canvas').focus();
    await page.keyboard.press('ArrowRight');
    await rest();
    expect((await difference(start, await picture(clip))).count).toBeGreaterThan(1000);
    expect(await bar()).toBe(wide);
    await page.keyboard.press('ArrowLeft');
    await rest();
    expect((await difference(start, await picture(clip))).count).toBeLessThan(200);
    await page.keyboard.press('+');
    await rest();
    const nearer = await bar();
    expect(nearer).not.toBe(wide);
    await page.getByRole('button', { name: 'Zoom out' }).click();
    await rest();
    expect(await bar()).toBe(wide);
    await page.getByRole('button', { name: 'Zoom in' }).click();
    await rest();
    expect(await bar()).toBe(nearer);
  });

  it('has a scale bar in the units of the screen', async () => {
    expect(await scale()).toMatch(/\d (mi|ft)$/);
    await page.getByLabel('Units', { exact: true }).last().selectOption('metric');
    await expect.poll(scale).toMatch(/\d (km|m)$/);
  });

  it('names the tree under the pointer, selects it by a click, and clears by a click on bare ground', async () => {
    const { name, x, y } = await someTree();
    const clip = await clear();
    const bare = await picture(clip);
    await page.mouse.move(x + 2, y + 1);
    await expect.poll(() => page.locator('.ledger tr.hovered td').nth(2).innerText()).toBe(name);
    await rest();
    const pointed = await difference(bare, await picture(clip));
    expect(pointed.width).toBeGreaterThan(60);
    await page.mouse.click(x + 2, y + 1);
    await expect.poll(() => page.locator('.panel h2').innerText()).toBe(name);
    expect(await page.locator('.ledger tr.entry.selected td').nth(2).innerText()).toBe(name);
    // A ring of places around: one of them has nothing under it, which the cursor tells.
    const canvas = page.locator('.maplibregl-canvas');
    for (let k = 0; ; k++) {
      expect(k).toBeLessThan(12);
      const [u, v] = [x + 70 * Math.cos(k), y + 70 * Math.sin(k)];
      await page.mouse.move(u, v);
      await page.waitForTimeout(120);
      if ((await canvas.evaluate((c) => getComputedStyle(c).cursor)) === 'pointer') continue;
      await page.mouse.click(u, v);
      break;
    }
    await expect.poll(() => page.locator('.ledger tr.entry.selected').count()).toBe(0);
  });

  it('hears a click while pictures are still being drawn', async () => {
    const { name, x, y } = await someTree();
    // Much to draw anew at once: other colours, other rasters.
    await page.emulateMedia({ colorScheme: 'dark' });
    await page.waitForFunction(() => document.documentElement.dataset['map'] === 'busy');
    await page.mouse.click(x, y);
    await expect.poll(() => page.locator('.panel h2').innerText()).toBe(name);
    await page.emulateMedia({ colorScheme: 'light' });
  });

  it('follows the size of its place', async () => {
    const fits = () =>
      page.evaluate(() => {
        const canvas = document.querySelector('.maplibregl-canvas') as HTMLCanvasElement;
        const place = (document.querySelector('.maplibregl-map') as HTMLElement).getBoundingClientRect();
        return (
          Math.abs(canvas.clientWidth - place.width) <= 1 && Math.abs(canvas.clientHeight - place.height) <= 1
        );
      });
    await page.setViewportSize({ width: 900, height: 640 });
    await expect.poll(fits).toBe(true);
    await page.setViewportSize({ width: 1100, height: 800 });
    await expect.poll(fits).toBe(true);
  });
});

describe('the map under a finger', () => {
  it('selects a tree that the finger misses by 13 pixels, and none that it misses by 30', async () => {
    const desk = page;
    const phone = await harness.visit({ width: 700, height: 900 });
    page = phone.page;
    try {
      await page.waitForSelector('.verdict');
      await rest();
      // The part of the map above the panel, without the notice and the buttons.
      const clip = { x: 0, y: 80, width: 630, height: 300 };
      const bare = await picture(clip);
      const lone = page.locator('.panel tbody .tree').nth(7);
      const name = await lone.innerText();
      await lone.tap();
      await rest();
      const ring = await difference(bare, await picture(clip));
      expect(ring.width).toBeLessThan(44);
      const [x, y] = [clip.x + ring.x, clip.y + ring.y];
      await reopen();
      await page.touchscreen.tap(x + 30, y);
      await page.waitForTimeout(500);
      expect(await page.locator('.panel h2').innerText()).toBe('Parent set');
      await page.touchscreen.tap(x + 13, y);
      await expect.poll(() => page.locator('.panel h2').innerText()).toBe(name);
    } finally {
      page = desk;
      await phone.context.close();
    }
  });
});
