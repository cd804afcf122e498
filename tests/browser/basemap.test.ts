/** A basemap by choice: nothing is asked for until it is set; then the host that was named, or no host at all for a file. */
import { mkdtempSync, writeFileSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { pmtiles, png } from '../fixtures/pmtiles.ts';
import { startHarness, type Harness, type Visit } from './harness.ts';

let harness: Harness;
let host: Server;
let address = '';

beforeAll(async () => {
  harness = await startHarness();
  const tile = png(190, 40, 40);
  host = createServer((request, response) => {
    const there = /^\/\d+\/\d+\/\d+\.png$/.test(request.url ?? '');
    response.writeHead(there ? 200 : 404, {
      'Content-Type': 'image/png',
      'Access-Control-Allow-Origin': '*',
    });
    response.end(there ? tile : undefined);
  });
  await new Promise<void>((done) => host.listen(0, '127.0.0.1', done));
  address = `http://127.0.0.1:${(host.address() as AddressInfo).port}`;
});
afterAll(async () => {
  host.closeAllConnections();
  host.close();
  await harness.close();
});

const elsewhere = (visit: Visit): string[] =>
  visit.requests.filter((r) => /^https?:/.test(r) && !r.startsWith(harness.url));

/** An empty workspace with the Layers stage open at its basemap. */
async function start(visit: Visit): Promise<void> {
  const { page } = visit;
  await page.getByRole('button', { name: /Workspace/ }).click();
  await page.getByRole('button', { name: /New/ }).click();
  await expect.poll(() => page.getByLabel('Workspace title').inputValue()).toBe('Untitled workspace');
  await page.getByRole('button', { name: 'Layers' }).click();
  await page.getByRole('heading', { name: 'Basemap' }).click();
}

/** Mean red, green and blue of the middle of the map. */
async function colour({ page }: Visit): Promise<number[]> {
  await page.waitForFunction(() => document.documentElement.dataset['map'] === 'idle');
  const box = await page.locator('.maplibregl-canvas').boundingBox();
  if (!box) throw new Error('no map');
  const clip = { x: box.x + box.width / 2, y: box.y + box.height / 2, width: 40, height: 40 };
  const shot = (await page.screenshot({ clip })).toString('base64');
  return page.evaluate(async (data) => {
    const bytes = Uint8Array.from(atob(data), (c) => c.charCodeAt(0));
    const picture = await createImageBitmap(new Blob([bytes], { type: 'image/png' }));
    const context = new OffscreenCanvas(40, 40).getContext('2d');
    if (!context) throw new Error('no canvas');
    context.drawImage(picture, 0, 0);
    const cells = context.getImageData(0, 0, 40, 40).data;
    return [0, 1, 2].map((band) => {
      let sum = 0;
      for (let i = band; i < cells.length; i += 4) sum += cells[i];
      return sum / 1600;
    });
  }, shot);
}

describe('the basemap', () => {
  it('comes from an address only when it is set, with its credit, and is gone when it is taken off', async () => {
    const visit = await harness.visit();
    const { page } = visit;
    await start(visit);
    expect(elsewhere(visit)).toEqual([]);
    const before = await colour(visit);

    await page.getByLabel('Or by address').last().fill(`${address}/{z}/{x}.png`);
    await page.getByRole('button', { name: 'Use it' }).click();
    await expect.poll(() => page.getByText('has no {y}').isVisible()).toBe(true);
    await page.getByLabel('Or by address').last().fill(`${address}/{z}/{x}/{y}.png`);
    await page.getByRole('button', { name: 'Use it' }).click();
    await page.getByLabel('Credit shown on the map').fill('© Invented maps');
    await page.getByLabel('Credit shown on the map').press('Enter');
    await expect.poll(() => page.locator('.attribution').textContent()).toBe('© Invented maps');
    await expect.poll(async () => (await colour(visit))[0] - (await colour(visit))[1]).toBeGreaterThan(60);
    expect(elsewhere(visit).every((r) => r.startsWith(address))).toBe(true);

    await page.getByRole('button', { name: 'Take it off' }).click();
    // Lines of outlines may fall a fraction of a pixel elsewhere.
    const away = async () => Math.max(...(await colour(visit)).map((c, i) => Math.abs(c - before[i])));
    await expect.poll(away).toBeLessThan(2);
    expect(visit.complaints).toEqual([]);
    await visit.context.close();
  });

  it('comes from a file without any host, and is there again after a reload', async () => {
    const visit = await harness.visit({ scheme: 'dark' });
    const { page } = visit;
    await start(visit);
    const green = png(20, 160, 60);
    const file = join(mkdtempSync(join(tmpdir(), 'kinstand-')), 'ground.pmtiles');
    const tiles = { '0/0/0': green, '1/0/0': green, '1/0/1': green, '1/1/1': green, '1/1/0': green };
    writeFileSync(file, pmtiles(tiles, 'png', { attribution: 'Invented' }));
    await page.getByLabel('PMTiles file').setInputFiles(file);
    const greenness = async () => (await colour(visit))[1] - (await colour(visit))[0];
    await expect.poll(greenness).toBeGreaterThan(30);
    await expect.poll(() => page.locator('.attribution').textContent()).toBe('Invented');
    await expect.poll(() => page.getByText('Kept in this browser').last().isVisible()).toBe(true);
    await page.reload();
    await expect.poll(greenness).toBeGreaterThan(30);
    expect(elsewhere(visit)).toEqual([]);
    expect(visit.complaints).toEqual([]);
    await visit.context.close();
  });

  it('says what is wrong with a file that is none', async () => {
    const visit = await harness.visit();
    await start(visit);
    await visit.page.getByLabel('PMTiles file').setInputFiles({
      name: 'ground.pmtiles',
      mimeType: 'application/octet-stream',
      buffer: Buffer.from('not tiles at all'),
    });
    await expect.poll(() => visit.page.getByText('is not a PMTiles file').isVisible()).toBe(true);
    await visit.context.close();
  });
});
