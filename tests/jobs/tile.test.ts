/** Pictures of raster layers: every pixel is the raster's own value at the pixel's centre, in the colours of the layer. */
import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { legendPixels } from '../../src/domain/layers/relief.ts';
import { openGeotiff } from '../../src/io/read/rasters/geotiff.ts';
import type { Raster } from '../../src/io/read/rasters/raster.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import type { OpenLayer } from '../../src/jobs/handlers/desk.ts';
import { pixelPlaces, TILE } from '../../src/jobs/handlers/mercator.ts';
import { tile, tilePixels } from '../../src/jobs/handlers/tile.ts';
import { createDesk } from '../../src/jobs/handlers/desk.ts';
import { layerDefinition } from '../../layers/index.ts';
import { parsePlan } from '../../src/domain/plan/parse.ts';

const folder = new URL('../../demo-data/', import.meta.url);

async function rasterOf(url: URL): Promise<Raster> {
  const opened = await openGeotiff(memorySource(url.pathname, new Uint8Array(readFileSync(url))));
  if (!opened.ok) throw new Error(opened.failure.what);
  return opened.value;
}

function layerOf(id: string, raster: Raster, low: number, high: number): OpenLayer {
  const plan = parsePlan(JSON.parse(readFileSync(new URL('plan.json', folder), 'utf8')), 'demo');
  if (!plan.ok) throw new Error(plan.failure.what);
  const entry = plan.value.layers.find((l) => l.id === id);
  const definition = entry && layerDefinition(entry.definition);
  if (!entry || !definition) throw new Error(`no layer ${id}`);
  return {
    entry,
    definition,
    opened: { content: { kind: 'raster', raster }, notes: [] } as unknown as OpenLayer['opened'],
    figures: {
      low,
      high,
      least: low,
      most: high,
      cells: 0,
      missing: 0,
      whole: true,
      bars: null,
      classes: null,
    },
    zones: null,
    candidates: null,
    notes: [],
  };
}

/** Pixel centres of a tile by EPSG method 1024 (Popular Visualisation Pseudo-Mercator) with e to the n, apart from the program's. */
function centres(z: number, x: number, y: number): { lon: Float64Array; lat: Float64Array } {
  const lon = new Float64Array(TILE * TILE);
  const lat = new Float64Array(TILE * TILE);
  const size = 2 ** z * TILE;
  for (let i = 0; i < TILE * TILE; i++) {
    lon[i] = ((x * TILE + (i % TILE) + 0.5) / size) * 360 - 180;
    const n = Math.PI * (1 - (2 * (y * TILE + Math.floor(i / TILE) + 0.5)) / size);
    lat[i] = (2 * Math.atan(Math.exp(n)) * 180) / Math.PI - 90;
  }
  return { lon, lat };
}
const tileAt = (z: number, lon: number, lat: number): [number, number] => {
  const s = Math.asinh(Math.tan((lat * Math.PI) / 180));
  return [Math.floor(((lon + 180) / 360) * 2 ** z), Math.floor(((1 - s / Math.PI) / 2) * 2 ** z)];
};

const inside = ({ width, height }: Raster, col: number, row: number): boolean =>
  col >= 0 && row >= 0 && col < width && row < height;

let elevation: Raster;
let cover: Raster;
beforeAll(async () => {
  elevation = await rasterOf(new URL('elevation.tif', folder));
  cover = await rasterOf(new URL('land-cover.tif', folder));
});

describe('positions of pixels', () => {
  it('are within a hundredth of a pixel of the exact projection from z 3 to 15', async () => {
    for (const file of ['../tests/fixtures/rasters/float32-degrees.tif', 'elevation.tif']) {
      const raster = await rasterOf(new URL(file, folder));
      for (let z = 3; z <= 15; z++) {
        const [x, y] = tileAt(
          z,
          (raster.extent[0] + raster.extent[2]) / 2,
          (raster.extent[1] + raster.extent[3]) / 2,
        );
        const { lon, lat } = centres(z, x, y);
        const exact = raster.toPixel(lon, lat);
        const got = pixelPlaces(raster, z, x * TILE, y * TILE, TILE);
        const perPixel = Math.abs(exact.col[1] - exact.col[0]);
        let worst = 0;
        for (let i = 0; i < exact.col.length; i++) {
          const off = Math.hypot(got.col[i] - exact.col[i], got.row[i] - exact.row[i]);
          // Far outside the raster there is no position.
          if (!Number.isNaN(off) || inside(raster, exact.col[i], exact.row[i])) worst = Math.max(worst, off);
        }
        expect(worst).toBeLessThan(perPixel / 100);
      }
    }
  });
});

describe('values', () => {
  it('of numbers are the bilinear samples of the raster at the pixel centres', async () => {
    for (const z of [13, 14]) {
      const [x, y] = tileAt(z, -82.31, 39.01);
      const { lon, lat } = centres(z, x, y);
      const { col, row } = elevation.toPixel(lon, lat);
      const sampled = await elevation.sample(1, col, row, 'bilinear');
      if (!sampled.ok) throw new Error(sampled.failure.what);
      const layer = layerOf('elevation', elevation, 0, 1000);
      const got = await tilePixels(layer, { style: 'values', scheme: 'light', z, x, y });
      if (!got.ok || !got.value) throw new Error('no picture');
      const want = legendPixels(Float32Array.from(sampled.value), layer.definition.legend, 0, 1000);
      // A position off by a fiftieth of a pixel may round to the next of 256 levels, no further.
      let worst = 0;
      for (let i = 0; i < want.length; i++) worst = Math.max(worst, Math.abs(want[i] - got.value[i]));
      expect(new Set(want).size).toBeGreaterThan(20);
      expect(worst).toBeLessThanOrEqual(1);
    }
  });

  it('of classes are the nearest cells, but for pixels at the very edge of a cell', async () => {
    const z = 14;
    const [x, y] = tileAt(z, -82.31, 39.01);
    const { lon, lat } = centres(z, x, y);
    const { col, row } = cover.toPixel(lon, lat);
    const sampled = await cover.sample(1, col, row, 'nearest');
    if (!sampled.ok) throw new Error(sampled.failure.what);
    const layer = layerOf('land-cover', cover, 0, 95);
    const got = await tilePixels(layer, { style: 'values', scheme: 'light', z, x, y });
    if (!got.ok || !got.value) throw new Error('no picture');
    const want = legendPixels(Float32Array.from(sampled.value), layer.definition.legend, 0, 95);
    let wrong = 0;
    let far = 0;
    for (let i = 0; i < sampled.value.length; i++) {
      if ([0, 1, 2, 3].every((k) => want[4 * i + k] === got.value?.[4 * i + k])) continue;
      wrong++;
      const edge = Math.min(Math.abs(col[i] - Math.round(col[i])), Math.abs(row[i] - Math.round(row[i])));
      if (edge > 0.02) far++;
    }
    expect(far).toBe(0);
    expect(wrong).toBeLessThan(sampled.value.length / 100);
  });

  it('are transparent outside the raster, and there is no picture of a tile that does not touch it', async () => {
    const layer = layerOf('elevation', elevation, 0, 1000);
    const z = 11;
    const [x, y] = tileAt(z, elevation.extent[0] + 0.001, elevation.extent[3] - 0.001);
    const got = await tilePixels(layer, { style: 'relief', scheme: 'light', z, x, y });
    if (!got.ok || !got.value) throw new Error('no picture');
    const { lon, lat } = centres(z, x, y);
    const { col, row } = elevation.toPixel(lon, lat);
    let inside = 0;
    for (let i = 0; i < col.length; i++) {
      // A pixel on the rim may fall either way.
      const rim = Math.min(...[col[i], row[i], elevation.width - col[i], elevation.height - row[i]]);
      if (Math.abs(rim) < 1) continue;
      if (rim > 0) inside++;
      expect(got.value[4 * i + 3]).toBe(rim > 0 ? 255 : 0);
    }
    expect(inside).toBeGreaterThan(0);
    expect(inside).toBeLessThan(col.length);
    for (const [lon0, lat0] of [
      [-100, 39],
      [10, 50],
      [-82.3, -39],
    ]) {
      const [tx, ty] = tileAt(9, lon0, lat0);
      expect(await tilePixels(layer, { style: 'relief', scheme: 'light', z: 9, x: tx, y: ty })).toEqual({
        ok: true,
        value: null,
      });
    }
  });

  it('join at the edges of tiles without a seam', async () => {
    // The relief of two neighbours, compared across their common edge with the step inside a tile: no seam stands out.
    const layer = layerOf('elevation', elevation, 150, 650);
    for (const z of [9, 10, 12, 14]) {
      const [x, y] = tileAt(z, -82.31, 39.01);
      const pair = [];
      for (const dx of [0, 1]) {
        const t = await tilePixels(layer, { style: 'relief', scheme: 'light', z, x: x + dx, y });
        if (!t.ok || !t.value) throw new Error('no picture');
        pair.push(t.value);
      }
      const [a, b] = pair;
      const step = (p: Uint8ClampedArray, i: number, q: Uint8ClampedArray, j: number): number =>
        Math.abs(p[4 * i] - q[4 * j]);
      let across = 0;
      let within = 0;
      let n = 0;
      for (let r = 0; r < TILE; r++) {
        if (a[4 * (r * TILE + 255) + 3] === 0 || b[4 * (r * TILE) + 3] === 0) continue;
        across += step(a, r * TILE + 255, b, r * TILE);
        within += (step(a, r * TILE + 254, a, r * TILE + 255) + step(b, r * TILE, b, r * TILE + 1)) / 2;
        n++;
      }
      expect(n).toBeGreaterThan(40);
      expect(across).toBeLessThan(1.5 * within + n);
    }
  });
});

describe('a tile of something else', () => {
  it('is nothing, for a layer that is not open or has no range', async () => {
    const place = { style: 'values', scheme: 'light', z: 13, x: 2223, y: 3133 } as const;
    expect(await tile(createDesk(), { layer: 'gone', ...place })).toEqual({ ok: true, value: null });
    const layer = { ...layerOf('elevation', elevation, 0, 1), figures: null };
    expect(await tilePixels(layer, place)).toEqual({ ok: true, value: null });
  });
});
