/** Tiles of the match surface: every pixel is the match at its centre, tiles join, and nothing is read twice or in vain. */
import { describe, expect, it } from 'vitest';
import { Cancelled } from '../../src/domain/base/work.ts';
import { rgb } from '../../src/domain/layers/relief.ts';
import { matchRamp } from '../../src/domain/vetting/match/matchRamp.ts';
import type { Raster } from '../../src/io/read/rasters/raster.ts';
import { forget } from '../../src/jobs/handlers/open.ts';
import { pixelPlaces, TILE } from '../../src/jobs/handlers/mercator.ts';
import { surfaceMatch, surfacePixels } from '../../src/jobs/handlers/surfaceTile.ts';
import { covarianceOf, deskWith, question, value, valuesAt, wavy, type Made } from './surfaceFixture.ts';

/** Pixel centres by EPSG method 1024 (Popular Visualisation Pseudo-Mercator) with e to the n, apart from the program's. */
function centres(z: number, x: number, y: number, side = TILE): { lon: Float64Array; lat: Float64Array } {
  const lon = new Float64Array(side * side);
  const lat = new Float64Array(side * side);
  const size = 2 ** z * TILE;
  for (let i = 0; i < side * side; i++) {
    lon[i] = ((x * TILE + (i % side) + 0.5) / size) * 360 - 180;
    const n = Math.PI * (1 - (2 * (y * TILE + Math.floor(i / side) + 0.5)) / size);
    lat[i] = (2 * Math.atan(Math.exp(n)) * 180) / Math.PI - 90;
  }
  return { lon, lat };
}
const tileAt = (z: number, lon: number, lat: number): [number, number] => {
  const s = Math.asinh(Math.tan((lat * Math.PI) / 180));
  return [Math.floor(((lon + 180) / 360) * 2 ** z), Math.floor(((1 - s / Math.PI) / 2) * 2 ** z)];
};

/** The same 30 km in three systems. */
const ALBERS: Made = {
  crs: 'EPSG:5070',
  at: [1_150_000, 1_900_000, 60, 60],
  width: 600,
  height: 600,
  cell: wavy(1, 10, 1),
};
const DEGREES: Made = {
  crs: 'EPSG:4326',
  at: [-82.6, 39.4, 0.0007, 0.0007],
  width: 700,
  height: 600,
  cell: wavy(2, 1000, 60),
};
const UTM: Made = {
  crs: 'EPSG:26917',
  at: [365_000, 4_362_000, 80, 80],
  width: 500,
  height: 500,
  cell: wavy(3, 300, 25),
};
const PLACE = [-82.3, 39.15] as const;

/** One variable: the match is a function of its value alone. */
const alone = (sd = 1, site = 10) => question(covarianceOf([sd]), [[site]], ['identity']);

describe('pixels', () => {
  it('at a zoom with full cells have the match of a candidate at their centre: three systems, two sites, a logarithm', async () => {
    const made = [ALBERS, DEGREES, UTM];
    const { desk, rasters } = await deskWith(made);
    const { spec, pointMatch } = question(
      covarianceOf([1.2, 0.06, 30]),
      [
        [10, 1000, 300],
        [10.5, 1010, 310],
      ],
      ['identity', 'log', 'identity'],
    );
    const z = 12;
    const [x, y] = tileAt(z, ...PLACE);
    const got = value(await surfaceMatch(desk, spec, { z, x, y }));
    if (!got) throw new Error('nothing in the tile');
    const { lon, lat } = centres(z, x, y);
    const want = pointMatch(await valuesAt(rasters, lon, lat));
    let worst = 0;
    let steepest = 0;
    for (let i = 0; i < want.length; i++) {
      expect(Number.isNaN(got[i])).toBe(Number.isNaN(want[i]));
      if (Number.isNaN(want[i])) continue;
      worst = Math.max(worst, Math.abs(got[i] - want[i]));
      if (i > 0) steepest = Math.max(steepest, Math.abs(want[i] - want[i - 1]) || 0);
    }
    // A position off by a hundredth of a pixel at most.
    expect(steepest).toBeGreaterThan(0.01);
    expect(worst).toBeLessThan(steepest / 50);
    expect(got.some((m) => m > 0.5)).toBe(true);
  });

  it.each([
    ['Albers', ALBERS, 1, 10],
    ['degrees', DEGREES, 60, 1000],
    ['UTM', UTM, 25, 300],
  ] as const)('of neighbouring tiles are as in one big picture, %s', async (_name, made, sd, site) => {
    const { desk, rasters } = await deskWith([made]);
    const { spec } = alone(sd, site);
    for (const z of [10, 12]) {
      const [x, y] = tileAt(z, ...PLACE);
      const big = pixelPlaces(rasters[0], z, x * TILE, y * TILE, 2 * TILE);
      const { lon, lat } = centres(z, x, y, 2 * TILE);
      const exact = rasters[0].toPixel(lon, lat);
      const perPixel = Math.hypot(exact.col[1] - exact.col[0], exact.row[1] - exact.row[0]);
      const parts = await Promise.all(
        [0, 1, 2, 3].map(async (t) => ({
          places: pixelPlaces(rasters[0], z, (x + (t % 2)) * TILE, (y + (t >> 1)) * TILE, TILE),
          match: value(await surfaceMatch(desk, spec, { z, x: x + (t % 2), y: y + (t >> 1) })),
        })),
      );
      const values = value(
        await rasters[0].sample(1, big.col, big.row, 'bilinear', {}, stepAt(rasters[0], z)),
      );
      const single = singleMatch(spec);
      let off = 0;
      let apart = 0;
      let seen = 0;
      for (let i = 0; i < big.col.length; i++) {
        const [px, py] = [i % (2 * TILE), Math.floor(i / (2 * TILE))];
        // Both sides of the edges between the four tiles.
        if (![TILE - 1, TILE].includes(px) && ![TILE - 1, TILE].includes(py)) continue;
        const { places, match } = parts[(px >= TILE ? 1 : 0) + (py >= TILE ? 2 : 0)];
        const k = (py % TILE) * TILE + (px % TILE);
        if (Number.isNaN(values[i]) || !match) continue;
        seen++;
        off = Math.max(
          off,
          Math.hypot(places.col[k] - exact.col[i], places.row[k] - exact.row[i]) / perPixel,
        );
        off = Math.max(off, Math.hypot(big.col[i] - exact.col[i], big.row[i] - exact.row[i]) / perPixel);
        apart = Math.max(apart, Math.abs(match[k] - single(values[i])));
      }
      expect(seen).toBeGreaterThan(200);
      expect(off).toBeLessThan(0.01);
      expect(apart).toBeLessThan(2e-3);
    }
  });

  it('are clear without a value and under the threshold, and otherwise have the colour of their match', async () => {
    const holed: Made = { ...ALBERS, cell: wavy(1, 10, 1, 0.3) };
    const { desk } = await deskWith([holed]);
    const { spec } = alone();
    const z = 12;
    const [x, y] = tileAt(z, ...PLACE);
    const match = value(await surfaceMatch(desk, spec, { z, x, y }));
    if (!match) throw new Error('nothing in the tile');
    for (const scheme of ['light', 'dark'] as const) {
      const ramp = matchRamp(scheme).map(rgb);
      for (const least of [0, 0.4]) {
        const pixels = value(await surfacePixels(desk, { spec, scheme, least, z, x, y }));
        if (!pixels) throw new Error('no picture');
        let drawn = 0;
        match.forEach((m, i) => {
          const [r, g, b, a] = pixels.subarray(4 * i, 4 * i + 4);
          if (!(m >= least)) return expect(a).toBe(0);
          drawn++;
          const at = Math.min(3, Math.floor(4 * m));
          const share = 4 * m - at;
          [r, g, b].forEach((channel, c) => {
            const want = ramp[at][c] + share * (ramp[at + 1][c] - ramp[at][c]);
            if (Math.abs(channel - want) > 1) expect(channel).toBeCloseTo(want, 0);
          });
          if (a !== 255) expect(a).toBe(255);
        });
        expect(drawn).toBeGreaterThan(1000);
        expect(match.some((m) => Number.isNaN(m))).toBe(true);
      }
    }
    expect(value(await surfacePixels(desk, { spec, scheme: 'light', least: 1.1, z, x, y }))).toBeNull();
  });
});

/** What the tile asks of the raster: of the whole raster alike. */
const stepAt = (raster: Raster, z: number): number =>
  ((40_075_016.686 / (TILE * 2 ** z)) *
    Math.cos((((raster.extent[1] + raster.extent[3]) / 2) * Math.PI) / 180)) /
  raster.cellMetres;

/** The match of a single variable against one site: chi-square with one degree of freedom, 1 - erf(|w d| / sqrt 2). */
function singleMatch({ whitening, sites }: ReturnType<typeof alone>['spec']): (v: number) => number {
  return (v) => erfc(Math.abs(whitening[0] * v - sites[0][0]) / Math.SQRT2);
}
/** Abramowitz & Stegun 1964, 7.1.26: good to 1.5e-7. */
function erfc(x: number): number {
  const t = 1 / (1 + 0.3275911 * x);
  const p = ((((1.061405429 * t - 1.453152027) * t + 1.421413741) * t - 0.284496736) * t + 0.254829592) * t;
  return p * Math.exp(-x * x);
}

describe('what is read', () => {
  it('is an overview from afar: a few blocks of the file', async () => {
    let bytes = 0;
    const big: Made = {
      crs: 'EPSG:5070',
      at: [1_150_000, 1_900_000, 30, 30],
      width: 2048,
      height: 2048,
      cell: wavy(4, 10, 1),
    };
    const { desk } = await deskWith([big], (source) => ({
      ...source,
      read: (offset, length) => {
        bytes += length;
        return source.read(offset, length);
      },
    }));
    for (const { opened } of desk.layers.values())
      if (opened.content.kind === 'raster') opened.content.raster.trim();
    const { spec } = alone();
    const at = async (z: number): Promise<number> => {
      bytes = 0;
      const [x, y] = tileAt(z, -82.2, 39.1);
      expect(value(await surfaceMatch(desk, spec, { z, x, y }))).not.toBeNull();
      return bytes;
    };
    const far = await at(8);
    const near = await at(12);
    // At zoom 8 a pixel is some sixteen cells: an image of 128 x 128, one block.
    expect(far).toBeGreaterThan(0);
    expect(far).toBeLessThan(near / 2);
  });

  it('is nothing when only site, threshold or scheme are others, and again when a layer was closed', async () => {
    let reads = 0;
    const { desk, rasters } = await deskWith([ALBERS, DEGREES], (source) => ({
      ...source,
      read: (offset, length) => {
        reads++;
        return source.read(offset, length);
      },
    }));
    const sd = covarianceOf([1.2, 60]);
    const one = question(sd, [[10, 1000]], ['identity', 'log']).spec;
    const other = question(sd, [[10.4, 980]], ['identity', 'log']).spec;
    const z = 12;
    const [x, y] = tileAt(z, ...PLACE);
    const first = value(await surfaceMatch(desk, one, { z, x, y }));
    rasters.forEach((r) => r.trim());
    reads = 0;
    const moved = value(await surfaceMatch(desk, other, { z, x, y }));
    const again = value(await surfaceMatch(desk, one, { z, x, y }));
    expect(reads).toBe(0);
    expect(again).toEqual(first);
    expect(moved).not.toEqual(first);
    forget(desk, 'unrelated');
    rasters.forEach((r) => r.trim());
    expect(value(await surfaceMatch(desk, one, { z, x, y }))).toEqual(first);
    expect(reads).toBeGreaterThan(0);
  });

  it('is nothing where one variable does not reach, and the answer is null', async () => {
    let reads = 0;
    // A kilometre about the place, and 30 km.
    const small: Made = {
      crs: 'EPSG:4326',
      at: [-82.3, 39.15, 0.001, 0.001],
      width: 10,
      height: 10,
      cell: () => 1000,
    };
    const { desk } = await deskWith([ALBERS, small], (source) => ({
      ...source,
      read: (offset, length) => {
        reads++;
        return source.read(offset, length);
      },
    }));
    const { spec } = question(covarianceOf([1.2, 60]), [[10, 1000]], ['identity', 'identity']);
    const z = 12;
    const [x, y] = tileAt(z, -82.15, 39.2);
    desk.layers.forEach(({ opened }) => opened.content.kind === 'raster' && opened.content.raster.trim());
    reads = 0;
    expect(value(await surfaceMatch(desk, spec, { z, x, y }))).toBeNull();
    expect(reads).toBe(0);
    const [fx, fy] = tileAt(z, 10, -50);
    expect(value(await surfaceMatch(desk, spec, { z, x: fx, y: fy }))).toBeNull();
  });

  it('ends when the tile is no longer wanted', async () => {
    const { desk } = await deskWith([ALBERS, DEGREES]);
    const { spec } = question(covarianceOf([1.2, 60]), [[10, 1000]], ['identity', 'identity']);
    const [x, y] = tileAt(12, ...PLACE);
    const pause = (): Promise<void> => Promise.reject(new Cancelled());
    await expect(surfaceMatch(desk, spec, { z: 12, x, y }, { pause })).rejects.toBeInstanceOf(Cancelled);
  });
});

describe('about the 180th meridian and far north', () => {
  /** Degrees east of 170 E and north of 60 as they lie on the earth, whatever the raster counts. */
  const lonOf = (lon: number): number => (((lon - 170) % 360) + 360) % 360;
  const field = (lon: number, lat: number): number => 10 + Math.sin(lonOf(lon) / 2) + Math.cos(lat / 2);
  const degrees = (left: number, width: number, step: number): Made => ({
    crs: 'EPSG:4326',
    at: [left, 72, step, step],
    width,
    height: Math.round(22 / step),
    cell: (c, r) => field(left + (c + 0.5) * step, 72 - (r + 0.5) * step),
  });
  it.each([
    ['from 0 to 360', degrees(0, 720, 0.5)],
    ['from 180 W to 180 E', degrees(-180, 720, 0.5)],
    ['from 170 to 190 E, across it', degrees(170, 40, 0.5)],
    ['Alaska Albers, across it', null],
  ] as const)('tiles of a raster %s are right on both sides', async (name, made) => {
    // EPSG:3338, whose metres cross the meridian without a jump.
    const albers: Made = {
      crs: 'EPSG:3338',
      at: [-2_400_000, 1_400_000, 20_000, 20_000],
      width: 80,
      height: 50,
      cell: wavy(5, 10, 1),
    };
    const { desk, rasters } = await deskWith([made ?? albers]);
    const { spec, pointMatch } = alone();
    for (const z of [3, 5, 6]) {
      for (const [lon, lat] of [
        [179, made ? 65 : 52],
        [-179, made ? 65 : 52],
        [-179, made ? 70.5 : 54],
        [172, made ? 70.5 : 54],
      ] as const) {
        const [x, y] = tileAt(z, lon, lat);
        const got = value(await surfaceMatch(desk, spec, { z, x, y }));
        if (!got) throw new Error(`nothing at ${z}/${x}/${y}, ${name}`);
        const places = centres(z, x, y);
        const { col, row } = rasters[0].toPixel(places.lon, places.lat);
        const read = value(await rasters[0].sample(1, col, row, 'bilinear', {}, stepAt(rasters[0], z)));
        const want = pointMatch([read]);
        let worst = 0;
        let known = 0;
        let unlike = 0;
        for (let i = 0; i < want.length; i++) {
          if (Number.isNaN(got[i]) !== Number.isNaN(want[i])) unlike++;
          else if (!Number.isNaN(want[i])) {
            known++;
            worst = Math.max(worst, Math.abs(got[i] - want[i]));
          }
        }
        expect(known).toBeGreaterThan(200);
        // On the rim of the raster a hundredth of a pixel decides.
        expect(unlike).toBeLessThan(20);
        expect(worst).toBeLessThan(0.02);
      }
    }
  });
});
