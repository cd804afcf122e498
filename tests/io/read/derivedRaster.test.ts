/** Rasters computed from elevation: a brute-force oracle, properties on random ground (seeds printed), grids of every lie. */
import { describe, expect, it } from 'vitest';
import { localFrame } from '../../../src/domain/base/localFrame.ts';
import { rng } from '../../../src/domain/base/rng.ts';
import type { Derivation } from '../../../src/domain/layers/definition.ts';
import { crsFrom } from '../../../src/io/crs/crs.ts';
import { BlockRaster } from '../../../src/io/read/rasters/blockRaster.ts';
import { BlockCache } from '../../../src/io/read/rasters/blocks.ts';
import { derivedRaster, MANY_CELLS } from '../../../src/io/read/rasters/derivedRaster.ts';
import { cutInto, partOf, type Level } from '../../../src/io/read/rasters/levels.ts';
import type { Affine } from '../../../src/io/read/rasters/raster.ts';

type Height = (col: number, row: number) => number;
interface Made {
  readonly crs?: string;
  readonly transform?: Affine;
  readonly block?: number;
  /** Sizes of overviews, cells along a side. */
  readonly overviews?: readonly number[];
  readonly mask?: (col: number, row: number) => boolean;
}

const NODATA = -9999;
let made = 0;

/** A raster in memory; NaN is written as nodata. */
async function ground(width: number, height: number, z: Height, more: Made = {}): Promise<BlockRaster> {
  const crs = await crsFrom(more.crs ?? 'EPSG:32617', 'test');
  if (!crs.ok) throw new Error(crs.failure.what);
  const key = `test ${made++}`;
  const level = (w: number, h: number, n: number): Level => {
    const cut = cutInto(w, h, more.block ?? 13, more.block ?? 11);
    const cells = (value: (c: number, r: number) => number) => (block: number) => {
      const { left, top, right, bottom } = partOf(cut, block);
      const out = new Float64Array((right - left) * (bottom - top));
      for (let r = top; r < bottom; r++)
        for (let c = left; c < right; c++) out[(r - top) * (right - left) + c - left] = value(c, r);
      return Promise.resolve([out]);
    };
    const { mask } = more;
    const base = { ...cut, together: 1, cellBytes: 8 };
    return {
      ...base,
      key: `${key}/${n}`,
      mask: mask
        ? { ...base, key: `${key}/m${n}`, mask: null, decode: cells((c, r) => (mask(c, r) ? 0 : 255)) }
        : null,
      decode: cells((c, r) => {
        const v = z(((c + 0.5) * width) / w - 0.5, ((r + 0.5) * height) / h - 0.5);
        return Number.isNaN(v) ? NODATA : v;
      }),
    };
  };
  const sizes = more.overviews ?? [];
  return new BlockRaster(
    key,
    key,
    [level(width, height, 0), ...sizes.map((s, i) => level(s, Math.round((s * height) / width), i + 1))],
    [{ nodata: NODATA, scale: 1, offset: 0, dtype: 'Float64', description: '' }],
    crs.value,
    more.transform ?? [400_000, 10, 0, 4_300_000, 0, -10],
    new BlockCache(),
  );
}

async function cells(
  of: BlockRaster,
  derivation: Derivation,
  radius = 0,
  side?: number,
): Promise<Float32Array> {
  const raster = derivedRaster(of, 1, { derivation, radius }, 'terrain', side);
  if (!raster.ok) throw new Error(`${raster.failure.what} ${raster.failure.todo}`);
  const { width, height } = raster.value;
  const picture = await raster.value.picture(1, [0, 0, width, height], width, height);
  if (!picture.ok) throw new Error(picture.failure.what);
  return picture.value;
}

/** Hills with a little noise; some cells missing. */
function hills(seed: number, gaps = 0): Height {
  const random = rng(seed);
  const noise = Float64Array.from({ length: 90 * 90 }, () => random());
  return (c, r) => {
    const n = noise[(Math.round(r) % 90) * 90 + (Math.round(c) % 90)];
    return n < gaps ? NaN : 300 + 40 * Math.sin(c / 5) * Math.cos(r / 7) + 3 * c + 8 * n;
  };
}
const SEEDS = [20261129, 7, 41];
const same = (a: number, b: number, digits = 4): void => {
  if (Number.isNaN(b)) expect(a).toBeNaN();
  else expect(a).toBeCloseTo(b, digits);
};

describe('relative position within a radius', () => {
  /** Each cell of the raster, one by one; lengths of one step along columns and rows in metres. */
  function brute(
    width: number,
    height: number,
    z: Height,
    radius: number,
    at: (row: number) => [number, number],
  ) {
    return Array.from({ length: width * height }, (_, i) => {
      const [col, row] = [i % width, Math.floor(i / width)];
      const [dx, dy] = at(row);
      const reach = Math.ceil(radius / Math.min(dx, dy)) + 1;
      let [sum, n] = [0, 0];
      for (let r = row - reach; r <= row + reach; r++)
        for (let c = col - reach; c <= col + reach; c++) {
          if (Math.hypot((c - col) * dx, (r - row) * dy) > radius * (1 + 1e-9) || (c === col && r === row))
            continue;
          sum += c >= 0 && r >= 0 && c < width && r < height ? z(c, r) : NaN;
          n++;
        }
      return z(col, row) - sum / n;
    });
  }

  it.each(SEEDS)('equals a count of every cell, seed %i', async (seed) => {
    const z = hills(seed, 0.004);
    for (const [radius, transform] of [
      [30, [400_000, 10, 0, 4_300_000, 0, -10]],
      [50, [400_000, 10, 0, 4_300_000, 0, -10]],
      [47, [400_000, 10, 0, 4_300_000, 0, -7]],
    ] as ReadonlyArray<[number, Affine]>) {
      const of = await ground(44, 37, z, { transform });
      const want = brute(44, 37, z, radius, () => [transform[1], -transform[5]]);
      const got = await cells(of, 'relative position', radius, 16);
      expect(want.filter((x) => !Number.isNaN(x)).length).toBeGreaterThan(100);
      want.forEach((w, i) => same(got[i], w));
    }
  });

  it('counts by the latitude on a grid in degrees', async () => {
    const z = hills(5);
    const [north, cell] = [60, 1 / 1200];
    const of = await ground(40, 36, z, { crs: 'EPSG:4326', transform: [-82, cell, 0, north, 0, -cell] });
    const want = brute(40, 36, z, 300, (row) => {
      const { lonMetres, latMetres } = localFrame(north - (row + 0.5) * cell);
      return [lonMetres * cell, latMetres * cell];
    });
    const got = await cells(of, 'relative position', 300, 16);
    want.forEach((w, i) => same(got[i], w));
  });

  it('of 4 neighbours by hand, cells on the circle among them', async () => {
    const z: Height = (c, r) => (c === 2 && r === 2 ? 10 : c === 2 ? 4 : r === 2 ? 2 : 0);
    const got = await cells(await ground(5, 5, z), 'relative position', 10);
    // Above and below 4, left and right 2: their mean is 3.
    expect(got[12]).toBe(7);
    // 14.2 m takes the corners in: (4 + 4 + 2 + 2) / 8.
    expect((await cells(await ground(5, 5, z), 'relative position', 14.2))[12]).toBe(8.5);
    expect((await cells(await ground(5, 5, z), 'relative position'))[12]).toBe(8.5);
  });
});

describe('slope and facing', () => {
  it('of a cone are the same all round, and face away from its top', async () => {
    const of = await ground(41, 41, (c, r) => 800 - 5 * Math.hypot(c - 20, r - 20));
    const [slope, north, east] = [
      await cells(of, 'slope'),
      await cells(of, 'northness'),
      await cells(of, 'eastness'),
    ];
    const steep = (Math.atan(0.5) * 180) / Math.PI;
    for (let i = 0; i < 41 * 41; i++) {
      const [dx, dy] = [(i % 41) - 20, 20 - Math.floor(i / 41)];
      const far = Math.hypot(dx, dy);
      if (far < 10 || Math.abs(dx) > 19 || Math.abs(dy) > 19) continue;
      expect(Math.abs(slope[i] - steep)).toBeLessThan(0.2);
      const sine = Math.sin(Math.atan(0.5));
      expect(Math.abs(north[i] - (dy / far) * sine)).toBeLessThan(0.01);
      expect(Math.abs(east[i] - (dx / far) * sine)).toBeLessThan(0.01);
    }
    // The very top is level.
    expect([slope[20 * 41 + 20], north[20 * 41 + 20], east[20 * 41 + 20]]).toEqual([0, 0, 0]);
  });

  it.each(SEEDS)('turn with the ground by a quarter, seed %i', async (seed) => {
    const n = 30;
    const z = hills(seed, 0.01);
    // What lay north lies east: clockwise.
    const turned: Height = (c, r) => z(r, n - 1 - c);
    const [of, other] = [await ground(n, n, z), await ground(n, n, turned)];
    const at = (c: number, r: number): number => (n - 1 - c) * n + r;
    const [slope, north, east] = [
      await cells(of, 'slope'),
      await cells(of, 'northness'),
      await cells(of, 'eastness'),
    ];
    const [slope2, north2, east2] = [
      await cells(other, 'slope'),
      await cells(other, 'northness'),
      await cells(other, 'eastness'),
    ];
    for (let r = 0; r < n; r++)
      for (let c = 0; c < n; c++) {
        const [i, j] = [r * n + c, at(c, r)];
        same(slope2[i], slope[j], 3);
        same(east2[i], north[j], 5);
        same(north2[i], -east[j], 5);
      }
  });

  it.each(SEEDS)('and relative position do not change when all ground is lifted, seed %i', async (seed) => {
    const z = hills(seed, 0.01);
    for (const derivation of ['slope', 'northness', 'eastness', 'relative position'] as const) {
      const radius = derivation === 'relative position' ? 35 : 0;
      const low = await cells(await ground(30, 25, z), derivation, radius);
      const high = await cells(await ground(30, 25, (c, r) => z(c, r) + 1000), derivation, radius);
      low.forEach((v, i) => same(high[i], v, 4));
    }
  });

  it('are the same whatever the blocks, the file’s own and those that are computed', async () => {
    const z = hills(11, 0.01);
    const more = { crs: 'EPSG:3857', transform: [-9_100_000, 12, 0, 4_700_000, 0, -12] as Affine };
    for (const [derivation, radius] of [
      ['slope', 0],
      ['relative position', 0],
      ['relative position', 60],
    ] as const) {
      const whole = await cells(await ground(150, 40, z, { ...more, block: 200 }), derivation, radius, 256);
      for (const [block, side] of [
        [7, 5],
        [64, 33],
        [1, 256],
      ])
        expect(await cells(await ground(150, 40, z, { ...more, block }), derivation, radius, side)).toEqual(
          whole,
        );
    }
  });

  it('have no value at the edge, beside nodata and beside a masked cell, and nowhere else', async () => {
    const hole = (c: number, r: number): boolean => c === 5 && r === 4;
    const flat: Height = () => 100;
    const bitten = await ground(10, 9, (c, r) => (hole(c, r) ? NaN : 100));
    const masked = await ground(10, 9, flat, { mask: hole });
    const endless = await ground(10, 9, (c, r) => (hole(c, r) ? Infinity : 100));
    for (const of of [bitten, masked, endless])
      for (const derivation of ['slope', 'northness', 'relative position'] as const) {
        const got = await cells(of, derivation);
        for (let i = 0; i < 90; i++) {
          const [c, r] = [i % 10, Math.floor(i / 10)];
          const edge = c === 0 || r === 0 || c === 9 || r === 8;
          const beside = Math.abs(c - 5) <= 1 && Math.abs(r - 4) <= 1;
          expect(got[i]).toBe(edge || beside ? NaN : 0);
        }
      }
  });
});

describe('how the grid lies', () => {
  /** Ground that rises eastward by 0.3 and northward by 0.4 m a metre of the map: slope atan(0.5), faces south-west. */
  const rises = (transform: Affine): Height => {
    const [a, b, c, d, e, f] = transform;
    return (col, row) => {
      const [x, y] = [a + (col + 0.5) * b + (row + 0.5) * c, d + (col + 0.5) * e + (row + 0.5) * f];
      return 500 + 0.3 * (x - a) + 0.4 * (y - d);
    };
  };
  it.each([
    ['north up', [400_000, 10, 0, 4_300_000, 0, -10]],
    ['rows from the south', [400_000, 10, 0, 4_300_000, 0, 10]],
    ['columns from the east', [400_000, -10, 0, 4_300_000, 0, -10]],
    ['oblong', [400_000, 10, 0, 4_300_000, 0, -25]],
    ['turned by 30 degrees', [400_000, 8.660254, 5, 4_300_000, 5, -8.660254]],
  ] as ReadonlyArray<[string, Affine]>)('does not change slope and facing: %s', async (_, transform) => {
    const of = await ground(12, 12, rises(transform), { transform });
    const i = 6 * 12 + 6;
    expect((await cells(of, 'slope'))[i]).toBeCloseTo((Math.atan(0.5) * 180) / Math.PI, 4);
    expect((await cells(of, 'northness'))[i]).toBeCloseTo(-0.4 / Math.sqrt(1.25), 5);
    expect((await cells(of, 'eastness'))[i]).toBeCloseTo(-0.3 / Math.sqrt(1.25), 5);
  });

  it('takes lengths on the ground where the projection stretches it, and says so', async () => {
    // Web Mercator at 40 degrees: a metre of the map is 0.767 m on the ground (cosine of the latitude, less the ellipsoid's
    // part), so 0.5 on the map is steeper than that on the ground.
    const transform: Affine = [-9_200_000, 10, 0, 4_865_942, 0, -10];
    const of = await ground(12, 12, rises(transform), { crs: 'EPSG:3857', transform });
    const raster = derivedRaster(of, 1, { derivation: 'slope', radius: 0 }, 'Slope');
    expect(raster.ok && raster.value.notes.map((n) => n.what).join()).toMatch(
      /off from lengths on the ground by up to 2[34] %/,
    );
    const { lonMetres, latMetres } = localFrame(40);
    // A degree of longitude is 111,319.49 m of the map; one of latitude 1 / cos(40°) times that.
    const x = lonMetres / 111_319.490793;
    const y = (latMetres * Math.cos((40 * Math.PI) / 180)) / 111_319.490793;
    const want = (Math.atan(Math.hypot(0.3 / x, 0.4 / y)) * 180) / Math.PI;
    expect((await cells(of, 'slope'))[6 * 12 + 6]).toBeCloseTo(want, 2);
    expect(want).toBeGreaterThan(33);
  });

  it('takes the grid’s own feet as feet', async () => {
    // Ohio South (US survey feet): ten of them a cell, 3.048006 m.
    const transform: Affine = [1_800_000, 10, 0, 500_000, 0, -10];
    const of = await ground(12, 12, (c) => 3.048006096 * c, { crs: 'EPSG:3735', transform });
    expect((await cells(of, 'slope'))[6 * 12 + 6]).toBeCloseTo(45, 4);
  });

  it('says how far its north is off, where facing hangs on it', async () => {
    // Conus Albers at 82.3 degrees west: sine of the parallels' mean, 0.6029, times 13.7 degrees from the meridian of 96.
    const of = await ground(12, 12, () => 5, {
      crs: 'EPSG:5070',
      transform: [1_170_000, 30, 0, 1_850_000, 0, -30],
    });
    const note = (derivation: Derivation): string => {
      const raster = derivedRaster(of, 1, { derivation, radius: 0 }, 'x');
      return raster.ok ? raster.value.notes.map((n) => n.what).join() : 'failed';
    };
    expect(note('northness')).toMatch(/north is the grid's: 8\.\d° east of true north/);
    expect(note('slope')).toBe('');
  });
});

describe('a large raster', () => {
  const wave: Height = (c, r) => 100 * Math.sin(c / 6) * Math.cos(r / 6);
  it('is drawn from afar from its overviews, and says so; measures are of full cells', async () => {
    const side = Math.ceil(Math.sqrt(MANY_CELLS)) + 50;
    const of = await ground(side, side, wave, { block: 256, overviews: [Math.ceil(side / 8)] });
    const raster = derivedRaster(of, 1, { derivation: 'slope', radius: 0 }, 'Slope');
    if (!raster.ok) throw new Error(raster.failure.what);
    expect(raster.value.notes.map((n) => n.what)).toEqual([expect.stringMatching(/from coarser ground/)]);
    const afar = await raster.value.picture(1, [0, 0, side, side], 100, 100);
    if (!afar.ok) throw new Error(afar.failure.what);
    // Only the overview's blocks were computed: a hundredth of the cells, four bytes each.
    expect(raster.value.heldBytes()).toBeLessThan((4 * side * side) / 50);
    const at = await raster.value.sample(1, Float64Array.of(500.5), Float64Array.of(400.5), 'nearest');
    const gain = (f: Height, c: number, r: number): number => f(c, r) / 20;
    const horn = Math.hypot(
      gain(
        (c, r) =>
          [-1, 0, 1].reduce(
            (s, k) => s + ((2 - Math.abs(k)) / 4) * (wave(c + 1, r + k) - wave(c - 1, r + k)),
            0,
          ),
        500,
        400,
      ),
      gain(
        (c, r) =>
          [-1, 0, 1].reduce(
            (s, k) => s + ((2 - Math.abs(k)) / 4) * (wave(c + k, r + 1) - wave(c + k, r - 1)),
            0,
          ),
        500,
        400,
      ),
    );
    expect(at.ok && at.value[0]).toBeCloseTo((Math.atan(horn) * 180) / Math.PI, 4);
  });

  it('of fewer cells is drawn from them all', async () => {
    const of = await ground(200, 200, wave, { overviews: [25] });
    const raster = derivedRaster(of, 1, { derivation: 'slope', radius: 0 }, 'Slope');
    expect(raster.ok && [raster.value.levels.length, raster.value.notes.length]).toEqual([1, 0]);
  });
});
