/** Mean of the cells of a raster inside an area, against counts by hand and cell by cell. */
import { describe, expect, it } from 'vitest';
import type { MultiPolygon } from '../../src/domain/base/geo.ts';
import { rng } from '../../src/domain/base/rng.ts';
import { areaIndex } from '../../src/domain/layers/areaIndex.ts';
import { areaValue, type AreaValue } from '../../src/jobs/handlers/areaValue.ts';
import { functionRaster } from './functionRaster.ts';
import { gridOf, rasterOf, type Grid } from './grids.ts';

const box = (west: number, south: number, east: number, north: number): MultiPolygon => [
  [
    [
      [west, south],
      [east, south],
      [east, north],
      [west, north],
      [west, south],
    ],
  ],
];
const read = async (...args: Parameters<typeof areaValue>): Promise<AreaValue> => {
  const result = await areaValue(...args);
  if (!result.ok) throw new Error(result.failure.what);
  return result.value;
};
const WHERE = 'North slope';

/** Cells of a tenth of a degree, centres at -81.95, -81.85 ... and 39.35, 39.25 ... */
const HAND: Grid = {
  left: -82,
  bottom: 39,
  cell: 0.1,
  rows: [
    [1, 2, 3, 4],
    [5, 6, 7, NaN],
    [9, 10, NaN, NaN],
    [13, 14, NaN, NaN],
  ],
};

describe('the value of an area', () => {
  it('is the mean of the cells whose centre lies inside, with the lowest and highest', async () => {
    const raster = await rasterOf(HAND);
    // Centres of columns 1 and 2 of rows 0 and 1: 2, 3, 6, 7. Corners of other cells reach in, their centres do not.
    expect(await read(raster, 1, box(-81.88, 39.22, -81.72, 39.38), WHERE)).toEqual({
      ...{ mean: 4.5, low: 2, high: 7, cells: 4, known: 4, step: 1 },
    });
    // A triangle on the left edge holds the centres of 1, 5, 9, 13 and 6, 10, 14, one of nothing, and one north of the raster.
    const triangle: MultiPolygon = [
      [
        [
          [-82, 39],
          [-81.7, 39],
          [-82, 39.6],
          [-82, 39],
        ],
      ],
    ];
    const some = await read(raster, 1, triangle, WHERE);
    expect([some.cells, some.known, some.mean]).toEqual([9, 7, (1 + 5 + 9 + 13 + 6 + 10 + 14) / 7]);
  });

  it('leaves out a hole, and counts a cell of two polygons once', async () => {
    const raster = await rasterOf(HAND);
    const [[outer]] = box(-82, 39.2, -81.7, 39.4);
    const [[hole]] = box(-81.88, 39.22, -81.82, 39.38);
    expect((await read(raster, 1, [[outer, hole]], WHERE)).mean).toBe((1 + 3 + 5 + 7) / 4);
    const twice = [...box(-82, 39.3, -81.8, 39.4), ...box(-81.9, 39.3, -81.7, 39.4)];
    expect(await read(raster, 1, twice, WHERE)).toMatchObject({ mean: 2, cells: 3 });
  });

  it('leaves out cells without a value, and is unknown where more than half are, inside the raster or off it', async () => {
    const raster = await rasterOf(HAND);
    expect(await read(raster, 1, box(-81.9, 39.2, -81.6, 39.3), WHERE)).toMatchObject({
      ...{ mean: 6.5, cells: 3, known: 2 },
    });
    expect(await read(raster, 1, box(-81.9, 39, -81.6, 39.2), WHERE)).toMatchObject({
      ...{ mean: NaN, low: 10, high: 14, cells: 6, known: 2 },
    });
    // Two of four columns lie west of the raster: half is enough. Of five, three do: it is not.
    expect(await read(raster, 1, box(-82.2, 39.3, -81.8, 39.4), WHERE)).toMatchObject({
      ...{ mean: 1.5, cells: 4, known: 2 },
    });
    expect((await read(raster, 1, box(-82.3, 39.3, -81.8, 39.4), WHERE)).mean).toBeNaN();
    expect(await read(raster, 1, box(-70, 39, -69, 40), WHERE)).toMatchObject({
      ...{ mean: NaN, low: NaN, cells: 100, known: 0 },
    });
  });

  it('has no cells where it lies between their centres', async () => {
    const raster = await rasterOf(HAND);
    expect((await read(raster, 1, box(-81.93, 39.32, -81.87, 39.38), WHERE)).cells).toBe(0);
    expect((await read(raster, 1, [], WHERE)).cells).toBe(0);
  });

  it('is that of the same cells when the raster is of another system (by brute force, seeds 1 to 5)', async () => {
    // 2 km cells of an equal-area system about 82 W, 39 N, whose columns lean by 9 degrees against the meridians.
    const grid = gridOf([1_150_000, 1_820_000, 2000, 60, 60], (c, r) => Math.sin(c / 7) * 50 + r);
    const raster = await rasterOf(grid, 'EPSG:5070');
    const at = Array.from({ length: 3600 }, (_, i) => [i % 60, Math.floor(i / 60)] as const);
    const place = raster.toPlace(
      Float64Array.from(at, ([c]) => c + 0.5),
      Float64Array.from(at, ([, r]) => r + 0.5),
    );
    const middle = raster.toPlace(Float64Array.of(30), Float64Array.of(30));
    for (const seed of [1, 2, 3, 4, 5]) {
      const random = rng(seed);
      const star = Array.from({ length: 9 }, (_, k) => {
        const [turn, far] = [(2 * Math.PI * k) / 9, 0.1 + 0.3 * random()];
        return [middle.lon[0] + far * Math.cos(turn), middle.lat[0] + far * Math.sin(turn)] as const;
      });
      const area: MultiPolygon = [[[...star, star[0]]]];
      const { areaOf } = areaIndex([area]);
      const inside = at.filter((_, i) => areaOf(place.lon[i], place.lat[i]) === 0);
      const values = inside.map(([c, r]) => grid.rows[r][c]);
      const found = await read(raster, 1, area, WHERE);
      expect(found.cells, `seed ${seed}`).toBe(inside.length);
      expect(inside.length).toBeGreaterThan(200);
      expect(found.mean).toBeCloseTo(values.reduce((a, b) => a + b, 0) / values.length, 9);
      expect([found.low, found.high]).toEqual([Math.min(...values), Math.max(...values)]);
    }
  });

  it('of a huge area is that of a regular sample', async () => {
    // West to east 0 to 400 cells: the mean is 200 by symmetry.
    const raster = functionRaster([-84, 38, -80, 42], 0.01, (lon) => (lon + 84) * 100);
    const whole = await read(raster, 1, box(-84, 38, -80, 42), WHERE);
    expect([whole.cells, whole.step]).toEqual([160_000, 1]);
    expect(whole.mean).toBeCloseTo(200, 6);
    const before = raster.read;
    const some = await read(raster, 1, box(-84, 38, -80, 42), WHERE, {}, 1600);
    expect([some.cells, some.step, raster.read - before]).toEqual([1600, 10, 1600]);
    expect(some.mean).toBeCloseTo(200, 6);
    // Places of the sample are centres of blocks of ten by ten cells.
    expect(some.low).toBeCloseTo(5, 6);
  });

  it('on both sides of the 180th meridian is right where it is cut there, and refused where it is not', async () => {
    const raster = await rasterOf({ left: 179, bottom: 51, cell: 0.5, rows: [[1, 2, 3, 4]] });
    const cut = [...box(179.5, 51, 180, 51.5), ...box(-180, 51, -179.5, 51.5)];
    expect(await read(raster, 1, cut, WHERE)).toMatchObject({ mean: 2.5, low: 2, high: 3, cells: 2 });
    const uncut = await areaValue(raster, 1, box(179.5, 51, -179.5, 51.5), WHERE);
    expect(uncut.ok ? '' : `${uncut.failure.where} ${uncut.failure.what}`).toBe(
      'North slope has an outline that crosses the 180th meridian',
    );
  });

  it('is refused where the columns of the raster are torn inside it', async () => {
    // Round the earth from 0 to 360: an area about Greenwich has its east at the left edge and its west at the right.
    const raster = await rasterOf(gridOf([0, 50, 10, 36, 1], (c) => c));
    const result = await areaValue(raster, 1, box(-15, 50, 15, 60), WHERE);
    expect(result.ok ? '' : result.failure.what).toContain('seam');
    expect(await read(raster, 1, box(20, 50, 40, 60), WHERE)).toMatchObject({ mean: 2.5, cells: 2 });
  });
});
