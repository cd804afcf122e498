/** The match surface on the map and the screen that ranks zones, on the demo workspace (invented): told by pictures and files. */
import { readFile } from 'node:fs/promises';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { faults, picture, settled, startHarness, type Harness } from './harness.ts';

let harness: Harness;
beforeAll(async () => {
  harness = await startHarness();
});
afterAll(() => harness.close());

interface Asked {
  readonly key: string;
  readonly least: number;
}

/** Notes what the page asks its workers for: keys of tiles of the surface. */
const WATCH = `
  window.asked = [];
  const post = Worker.prototype.postMessage;
  Worker.prototype.postMessage = function (m, ...rest) {
    if (m && m.job === 'surfaceTile') window.asked.push({ key: m.input.spec.key, least: m.input.least });
    return post.call(this, m, ...rest);
  };`;
const asked = (page: Page): Promise<Asked[]> =>
  page.evaluate(() => (window as unknown as { asked: Asked[] }).asked.splice(0));

async function demo(width = 1440, height = 900, scheme: 'light' | 'dark' = 'light') {
  const visit = await harness.visit({ width, height, scheme });
  await visit.page.addInitScript(WATCH);
  await visit.page.reload();
  await visit.page.waitForSelector('.verdict');
  await settled(visit.page);
  return visit;
}

const key = (page: Page): Promise<string> =>
  page.evaluate(() => document.documentElement.dataset['surface'] ?? '');

/** At rest with the surface of another key than `old` on it. */
async function drawn(page: Page, old: string): Promise<string> {
  await page.waitForFunction(
    (before) => {
      const { map, surface } = document.documentElement.dataset;
      return map === 'idle' && surface !== undefined && surface !== '' && surface !== before;
    },
    old,
    { timeout: 60_000 },
  );
  await settled(page);
  return key(page);
}

const legend = (page: Page) => page.getByRole('region', { name: 'Match surface' });

async function switchOn(page: Page): Promise<string> {
  await legend(page).getByRole('checkbox', { name: 'Match surface on the map' }).check();
  return drawn(page, '');
}

/** Of the map, clear of legend, buttons and scale bar. */
async function ground(page: Page): Promise<string> {
  const box = await page.locator('.maplibregl-canvas').boundingBox();
  if (!box) throw new Error('no map');
  const clip = { x: box.x + 300, y: box.y + 60, width: box.width - 400, height: box.height - 160 };
  return (await page.screenshot({ clip })).toString('base64');
}

/** Share of the pixels of two pictures that differ by more than a shade. */
const differing = (page: Page, a: string, b: string): Promise<number> =>
  page.evaluate(
    async (pictures) => {
      const [p, q] = await Promise.all(
        pictures.map(async (base64) => {
          const image = new Image();
          image.src = `data:image/png;base64,${base64}`;
          await image.decode();
          const pen = new OffscreenCanvas(image.width, image.height).getContext('2d');
          if (!pen) throw new Error('no canvas');
          pen.drawImage(image, 0, 0);
          return pen.getImageData(0, 0, image.width, image.height).data;
        }),
      );
      let count = 0;
      for (let i = 0; i < p.length; i += 4) {
        if ([0, 1, 2].some((k) => Math.abs(p[i + k] - q[i + k]) > 8)) count++;
      }
      return count / (p.length / 4);
    },
    [a, b],
  );

/** In the Planting stage. */
async function moveSite(page: Page, to: string): Promise<void> {
  const place = page.getByLabel('Position: latitude, longitude');
  await place.fill(to);
  await place.press('Tab');
}

describe('the match surface', () => {
  it('is switched on in the legend, says what it is, and goes again', async () => {
    const { page, context, complaints } = await demo();
    const before = await ground(page);
    await switchOn(page);
    const text = await legend(page).innerText();
    for (const part of [
      '0 unlike',
      '1 like the site',
      'Match with Old pasture above Sketch Valley',
      'within 8 zones',
      'Climate of 1991-2020',
      'As the planting’s rule on match',
    ])
      expect(text).toContain(part);
    expect(await differing(page, before, await ground(page))).toBeGreaterThan(0.5);
    // Kept with the workspace.
    await page.waitForTimeout(700);
    await page.reload();
    expect(await drawn(page, '')).not.toBe('');
    await legend(page).getByRole('checkbox').uncheck();
    await page.waitForFunction(() => document.documentElement.dataset['surface'] === '');
    await settled(page);
    expect(await differing(page, before, await ground(page))).toBeLessThan(0.01);
    expect(complaints).toEqual([]);
    await context.close();
  });

  it('is another with every place of the site; no tile of the old place is asked for or left', async () => {
    const { page, context, complaints } = await demo();
    const first = await switchOn(page);
    const pictureOfFirst = await ground(page);
    expect(new Set((await asked(page)).map((a) => a.key))).toEqual(new Set([first]));
    await page.keyboard.press('1');
    await moveSite(page, '39.1, -82.3681');
    const second = await drawn(page, first);
    const keys = new Set((await asked(page)).map((a) => a.key));
    expect(keys).toEqual(new Set([second]));
    const pictureOfSecond = await ground(page);
    expect(await differing(page, pictureOfFirst, pictureOfSecond)).toBeGreaterThan(0.2);
    // Back where it was, it is what it was.
    await page.getByRole('button', { name: /^Undo/ }).click();
    await drawn(page, second);
    expect(await differing(page, pictureOfFirst, await ground(page))).toBeLessThan(0.01);
    expect(complaints).toEqual([]);
    await context.close();
  });

  it('leaves clear what matches by less than the threshold', async () => {
    const { page, context } = await demo();
    const bare = await ground(page);
    await switchOn(page);
    const field = legend(page).getByRole('spinbutton', { name: 'Hide under' });
    const covered: number[] = [];
    for (const least of ['0', '0.5', '1']) {
      await asked(page);
      await field.fill(least);
      await field.press('Tab');
      await expect.poll(async () => (await asked(page)).some((a) => a.least === Number(least))).toBe(true);
      await settled(page);
      covered.push(await differing(page, bare, await ground(page)));
    }
    console.log(
      'share of the map under the surface at 0, 0.5 and 1:',
      covered.map((c) => c.toFixed(3)).join(', '),
    );
    expect(covered[0]).toBeGreaterThan(covered[1] + 0.1);
    expect(covered[1]).toBeGreaterThan(covered[2] + 0.1);
    expect(covered[2]).toBeLessThan(0.02);
    await legend(page).getByRole('button', { name: 'As the rule on match: 0.05' }).click();
    await expect.poll(() => field.inputValue()).toBe('0.05');
    await context.close();
  });

  it('says in place of its legend why it cannot be drawn', async () => {
    const { page, context } = await demo();
    await switchOn(page);
    await page.keyboard.press('1');
    // Off every layer: in the Atlantic.
    await moveSite(page, '39, -60');
    await expect
      .poll(() => legend(page).getByRole('alert').innerText())
      .toMatch(/Old pasture above Sketch Valley\s+has no value of .*Move the site/);
    await expect.poll(() => key(page)).toBe('');
    await context.close();
  });
});

/** Nothing may be a mother tree: no tree is exactly as the site. */
async function emptySet(page: Page): Promise<void> {
  await page.keyboard.press('1');
  const least = page.getByRole('spinbutton', { name: 'At least', exact: true });
  await least.fill('1');
  await least.press('Tab');
  await page.getByRole('navigation').getByRole('button', { name: 'Parent set' }).click();
  await expect.poll(() => page.locator('.panel .verdict').innerText()).toContain('0 of 10');
  await settled(page);
}

const rowsOf = async (page: Page): Promise<string[]> => {
  await page.locator('.panel tbody tr').first().waitFor();
  return (await page.locator('.panel tbody tr').allInnerTexts()).map((t) => t.replace(/\s+/g, ' '));
};

describe('where to look', () => {
  it('is one click from an empty set, with the zones ranked and shaded', async () => {
    const { page, context, complaints } = await demo();
    await emptySet(page);
    const before = await ground(page);
    await page.getByRole('button', { name: 'Where to look', exact: true }).click();
    await page.getByRole('heading', { name: 'Where to look' }).waitFor();
    expect((await rowsOf(page)).length).toBe(8);
    // The rule asks for 1, and no ground is exactly like the site but the site's own.
    const field = page.locator('.panel').getByRole('spinbutton', { name: 'Match at least' });
    expect(await field.inputValue()).toBe('1');
    await field.fill('0.5');
    await field.press('Tab');
    await expect.poll(() => page.locator('.panel .advice').innerText()).toContain('at 0.50 or better');
    expect(await page.locator('.panel .advice').innerText()).toMatch(
      /Figment Plateau, the home zone, has \d+.%.*other zones? ha(s|ve) more than a tenth|No other zone/s,
    );
    expect(await page.locator('.panel').innerText()).toMatch(/Every cell of [\d,]+ (ft|mi) was taken/);
    await settled(page);
    expect(await differing(page, before, await ground(page))).toBeGreaterThan(0.3);
    // And a way back.
    await page.getByRole('button', { name: '← Parent set' }).click();
    await page.getByRole('heading', { name: 'Parent set' }).waitFor();
    // Opened again it is there without being worked out anew.
    const ranked = `
      const post = Worker.prototype.postMessage;
      window.ranked = 0;
      Worker.prototype.postMessage = function (m, ...rest) {
        if (m && m.job === 'rankZones') window.ranked++;
        return post.call(this, m, ...rest);
      };`;
    await page.evaluate(ranked);
    await page.getByRole('button', { name: 'Where to look', exact: true }).click();
    expect((await rowsOf(page)).length).toBe(8);
    await page.waitForTimeout(500);
    expect(await page.evaluate(() => (window as unknown as { ranked: number }).ranked)).toBe(0);
    expect(complaints).toEqual([]);
    await context.close();
  });

  it('sorts by each figure, and a row moves the map to its zone', async () => {
    const { page, context } = await demo();
    await page.getByRole('button', { name: 'Where to look: zones by match' }).click();
    const shares = async (): Promise<number[]> =>
      (await rowsOf(page)).map((t) => Number(/(\d+(?:\.\d+)?).%/.exec(t)?.[1]));
    const first = await shares();
    expect(first).toEqual([...first].sort((a, b) => b - a));
    await page.locator('.panel').getByRole('button', { name: 'Away' }).click();
    const near = await rowsOf(page);
    expect(near[0]).toContain('Figment Plateau home zone');
    expect(near[0]).toContain('here');
    const miles = near.slice(1).map((t) => Number(/([\d.]+) mi$/.exec(t)?.[1]));
    expect(miles).toEqual([...miles].sort((a, b) => a - b));
    expect(await page.locator('.panel th[aria-sort="ascending"]').innerText()).toContain('Away');
    await page.locator('.panel').getByRole('button', { name: 'Away' }).click();
    expect(await page.locator('.panel th[aria-sort="descending"]').innerText()).toContain('Away');
    await settled(page);
    const before = await ground(page);
    const far = page.locator('.panel tbody tr').first().getByRole('button');
    await far.press('Enter');
    await expect.poll(() => far.getAttribute('aria-pressed')).toBe('true');
    await page.waitForTimeout(300);
    await settled(page);
    expect(await differing(page, before, await ground(page))).toBeGreaterThan(0.2);
    await page.keyboard.press('Escape');
    await page.getByRole('heading', { name: 'Parent set' }).waitFor();
    await context.close();
  });

  it('gives its zones and the surface as files', async () => {
    const { page, context, complaints } = await demo();
    await page.getByRole('button', { name: 'Where to look: zones by match' }).click();
    const rows = await rowsOf(page);
    const file = async (button: string): Promise<{ name: string; bytes: Buffer }> => {
      const [download] = await Promise.all([
        page.waitForEvent('download', { timeout: 60_000 }),
        page.getByRole('button', { name: button }).click(),
      ]);
      return { name: download.suggestedFilename(), bytes: await readFile(await download.path()) };
    };
    const csv = await file('Zones as CSV');
    expect(csv.name).toBe('white-oak-for-the-figment-plateau-zones.csv');
    const lines = csv.bytes.toString().trim().split(/\r?\n/);
    expect(lines.filter((l) => !l.startsWith('#')).length).toBeGreaterThan(rows.length);
    for (const name of ['Figment Plateau', 'Conjecture Knobs']) expect(csv.bytes.toString()).toContain(name);
    const geojson = await file('Zones as GeoJSON');
    const { features } = JSON.parse(geojson.bytes.toString()) as { features: unknown[] };
    expect(features).toHaveLength(rows.length);
    const tiff = await file('Match surface as GeoTIFF');
    expect(tiff.name).toBe('white-oak-for-the-figment-plateau-match.tif');
    // TIFF 6.0, section 2: byte order, then 42.
    expect([...tiff.bytes.subarray(0, 4)]).toEqual([0x49, 0x49, 42, 0]);
    expect(tiff.bytes.length).toBeGreaterThan(10_000);
    await page.getByText(/^row /).waitFor({ state: 'detached' });
    expect(complaints).toEqual([]);
    await context.close();
  });
});

describe('surface and ranking on both sizes of screen', () => {
  for (const scheme of ['light', 'dark'] as const) {
    for (const [width, height] of [
      [1440, 900],
      [390, 844],
    ]) {
      it(`pass the accessibility checks at ${width} x ${height}, ${scheme}`, async () => {
        const { page, context } = await demo(width, height, scheme);
        // Where there is little room the legend is folded until somebody asks for it.
        expect(await page.locator('details.legend').evaluate((d: HTMLDetailsElement) => d.open)).toBe(
          width > 1200,
        );
        await page.getByRole('button', { name: 'Where to look: zones by match' }).click();
        await rowsOf(page);
        await settled(page);
        await picture(page, `where-${width}-${scheme}`);
        expect(await faults(page)).toEqual([]);
        await page.locator('.panel').getByRole('checkbox', { name: 'Match surface on the map' }).check();
        await drawn(page, '');
        if (width < 720) await page.locator('.legend summary').click();
        await picture(page, `surface-${width}-${scheme}`);
        expect(await faults(page)).toEqual([]);
        await context.close();
      });
    }
  }
});
