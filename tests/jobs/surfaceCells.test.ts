/** The match of every cell is the match of a candidate at its centre. */
import { describe, expect, it } from 'vitest';
import { rng } from '../../src/domain/base/rng.ts';
import { Cancelled } from '../../src/domain/base/work.ts';
import { createDesk } from '../../src/jobs/handlers/desk.ts';
import { surface } from '../../src/jobs/handlers/surface.ts';
import { surfaceCells, surfaceGrid } from '../../src/jobs/handlers/surfaceCells.ts';
import { openGeotiff } from '../../src/io/read/rasters/geotiff.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import { covarianceOf, deskWith, question, value, valuesAt, wavy, type Made } from './surfaceFixture.ts';

/** About 39 N, 82.3 W: the same ground in three systems and four grids. */
const GRIDS: readonly Made[] = [
  // NAD83 / Conus Albers, 30 m; the next on the same grid; then one of 90 m, shifted by a part of a cell.
  {
    crs: 'EPSG:5070',
    at: [1_160_000, 1_890_000, 30, 30],
    width: 700,
    height: 600,
    cell: wavy(1, 10, 1, 0.02),
  },
  {
    crs: 'EPSG:5070',
    at: [1_160_000, 1_890_000, 30, 30],
    width: 700,
    height: 600,
    cell: wavy(2, 1000, 60, 0.02),
  },
  {
    crs: 'EPSG:5070',
    at: [1_158_010, 1_891_040, 90, 90],
    width: 300,
    height: 260,
    cell: wavy(3, 300, 25, 0.02),
  },
  // Degrees, about 1 km; it ends within the others.
  {
    crs: 'EPSG:4326',
    at: [-82.36, 39.27, 1 / 120, 1 / 120],
    width: 60,
    height: 40,
    cell: wavy(4, -4, 0.5, 0.02),
  },
  // NAD83 / UTM zone 17N, 100 m.
  {
    crs: 'EPSG:26917',
    at: [378_000, 4_352_000, 100, 100],
    width: 220,
    height: 400,
    cell: wavy(5, 160, 5, 0.02),
  },
];
const SITES = [
  [10, 1000, 300, -4, 160],
  [10.8, 1040, 320, -4.3, 163],
];
const TRANSFORMS = ['identity', 'log', 'identity', 'identity', 'identity'] as const;
const SD = [1.2, 0.06, 30, 0.6, 6];

describe('every cell', () => {
  it('has the match that a candidate at its centre has: four grids in three systems, holes, two sites, a logarithm', async () => {
    const { desk, rasters } = await deskWith(GRIDS);
    const { spec, pointMatch } = question(covarianceOf(SD), SITES, TRANSFORMS);
    const grid = value(surfaceGrid(desk, spec));
    expect(grid.raster).toBe(rasters[0]);
    const all = new Float32Array(grid.width * grid.height);
    let rows = 0;
    value(
      await surfaceCells(desk, spec, grid, {}, (strip) => {
        expect(strip.row).toBe(rows);
        expect(strip.match.length).toBe(strip.rows * grid.width);
        all.set(strip.match, strip.row * grid.width);
        rows += strip.rows;
      }),
    );
    expect(rows).toBe(600);
    const random = rng(77);
    const cells = Array.from({ length: 10_000 }, () => Math.floor(random() * all.length));
    const { lon, lat } = grid.raster.toPlace(
      Float64Array.from(cells, (c) => (c % 700) + 0.5),
      Float64Array.from(cells, (c) => Math.floor(c / 700) + 0.5),
    );
    const want = pointMatch(await valuesAt(rasters, lon, lat));
    let worst = 0;
    let known = 0;
    cells.forEach((c, i) => {
      expect(Number.isNaN(all[c])).toBe(Number.isNaN(want[i]));
      if (Number.isNaN(want[i])) return;
      known++;
      worst = Math.max(worst, Math.abs(all[c] - want[i]));
    });
    expect(known).toBeGreaterThan(3000);
    expect(known).toBeLessThan(10_000);
    expect(new Set(want).size).toBeGreaterThan(3000);
    expect(worst).toBeLessThan(1e-6);
  });

  it('is the same from a window of the grid', async () => {
    const { desk } = await deskWith(GRIDS);
    const { spec } = question(covarianceOf(SD), SITES, TRANSFORMS);
    const rowsOf = async (window?: readonly [number, number, number, number]): Promise<Float32Array> => {
      const grid = value(surfaceGrid(desk, spec, window));
      const out: Float32Array[] = [];
      value(await surfaceCells(desk, spec, grid, {}, ({ match }) => void out.push(match)));
      return Float32Array.from(out.flatMap((m) => [...m]));
    };
    const all = await rowsOf();
    const part = await rowsOf([130, 200, 430, 530]);
    expect(part.length).toBe(300 * 330);
    let worst = 0;
    part.forEach((m, i) => {
      const same = all[(200 + Math.floor(i / 300)) * 700 + 130 + (i % 300)];
      if (Number.isNaN(m) !== Number.isNaN(same)) worst = NaN;
      else if (!Number.isNaN(m)) worst = Math.max(worst, Math.abs(m - same));
    });
    // Positions on other grids are interpolated between other places.
    expect(worst).toBeLessThan(1e-6);
  });

  it('is read once: no block of a file twice, whatever its grid', async () => {
    const read = new Map<string, number>();
    const { desk } = await deskWith(GRIDS.slice(0, 3), (source) => ({
      ...source,
      read: (offset, length) => {
        if (length > 2000)
          read.set(`${source.name} ${offset}`, (read.get(`${source.name} ${offset}`) ?? 0) + 1);
        return source.read(offset, length);
      },
    }));
    for (const { opened } of desk.layers.values())
      if (opened.content.kind === 'raster') opened.content.raster.trim();
    read.clear();
    const { spec } = question(covarianceOf(SD.slice(0, 3)), [SITES[0].slice(0, 3)], TRANSFORMS.slice(0, 3));
    value(await surfaceCells(desk, spec, value(surfaceGrid(desk, spec)), {}, () => undefined));
    expect(read.size).toBeGreaterThan(15);
    expect([...read.values()].filter((n) => n > 1)).toEqual([]);
  });

  it('stops when the work is cancelled', async () => {
    const { desk } = await deskWith(GRIDS.slice(0, 2));
    const { spec } = question(covarianceOf(SD.slice(0, 2)), [SITES[0].slice(0, 2)], TRANSFORMS.slice(0, 2));
    const grid = value(surfaceGrid(desk, spec));
    let pauses = 0;
    let strips = 0;
    const pause = (): Promise<void> => (++pauses > 4 ? Promise.reject(new Cancelled()) : Promise.resolve());
    await expect(surfaceCells(desk, spec, grid, { pause }, () => void strips++)).rejects.toBeInstanceOf(
      Cancelled,
    );
    expect(strips).toBeLessThan(3);
  });

  it('has no match from a layer that is not open, and that is said', () => {
    const { spec } = question(covarianceOf([1]), [[1]], ['identity']);
    const got = surfaceGrid(createDesk(), spec);
    expect(got).toMatchObject({ ok: false, failure: { code: 'variables', where: 'v0' } });
  });
});

describe('the file of the surface', () => {
  it('holds the cells on the grid of the finest variable', async () => {
    const { desk, rasters } = await deskWith(GRIDS.slice(0, 3));
    const { spec, pointMatch } = question(
      covarianceOf(SD.slice(0, 3)),
      [SITES[0].slice(0, 3)],
      TRANSFORMS.slice(0, 3),
    );
    const told: number[] = [];
    const blob = value(
      await surface(
        desk,
        { spec, about: { title: 'Match', notice: '', lines: { k: '3' } } },
        { progress: (done, total) => told.push(done / total) },
      ),
    );
    expect(told.at(-1)).toBe(1);
    const file = value(
      await openGeotiff(memorySource('match.tif', new Uint8Array(await blob.arrayBuffer()))),
    );
    expect([file.width, file.height, file.crs]).toEqual([700, 600, 'EPSG:5070']);
    expect(file.transform).toEqual(rasters[0].transform);
    const col = Float64Array.of(3.5, 350.5, 699.5, 410.5);
    const row = Float64Array.of(4.5, 599.5, 0.5, 300.5);
    const got = value(await file.sample(1, col, row, 'nearest'));
    const { lon, lat } = file.toPlace(col, row);
    const want = pointMatch(await valuesAt(rasters, lon, lat));
    got.forEach((m, i) => (Number.isNaN(want[i]) ? expect(m).toBeNaN() : expect(m).toBeCloseTo(want[i], 6)));
    expect(want.some((m) => m > 0)).toBe(true);
  });
});
