// Reference: HiGHS (Huangfu & Hall 2018, Mathematical Programming Computation 10:119-142), a solver of mixed integer
// programmes that shares nothing with the search under test. Model: one 0-1 variable a tree, at most one of each group of
// trees that are mutually too close (groups grown here, covering every pair), the sum of the variables K.
import loadHighs from 'highs';
import { describe, expect, it } from 'vitest';
import { geodesicDirect, geodesicMetres } from '../../src/domain/base/geodesy.ts';
import { drawInteger, rng } from '../../src/domain/base/rng.ts';
import { chooseParents } from '../../src/domain/parents/choose.ts';
import type { ParentProblem } from '../../src/domain/parents/types.ts';

interface Layout {
  readonly seed: number;
  readonly n: number;
  /** Metres. */
  readonly side: number;
  /** Trees stand around so many centres, within about 400 m; 0: all over the square. */
  readonly centres: number;
  /** Weights are whole numbers 1-5, so that many sets are equal. */
  readonly whole: boolean;
}

/** Trees in a square whose south-west corner is at (-82, 39); n trees, all asked for. */
function forest({ seed, n, side, centres, whole }: Layout): ParentProblem {
  const random = rng(seed);
  const lon = new Float64Array(n);
  const lat = new Float64Array(n);
  const middle = Array.from({ length: centres }, () => [side * random(), side * random()]);
  for (let i = 0; i < n; i++) {
    let [east, north] = [side * random(), side * random()];
    if (centres > 0) {
      const [x, y] = middle[drawInteger(random, centres)];
      [east, north] = [x + 800 * (random() - 0.5), y + 800 * (random() - 0.5)];
    }
    const along = geodesicDirect(-82, 39, 90, east);
    ({ lon: lon[i], lat: lat[i] } = geodesicDirect(along.lon, along.lat, 0, north));
  }
  return {
    lon,
    lat,
    weight: Float64Array.from({ length: n }, () =>
      whole ? 1 + drawInteger(random, 5) : 0.1 + 0.9 * random(),
    ),
    id: Array.from({ length: n }, (_, i) => `T${String(i).padStart(3, '0')}`),
    spacing: 402.336,
    count: n,
    locks: [],
    bans: [],
  };
}

/** Groups of trees that are mutually too close, which together hold every pair that is. */
function groups({ lon, lat, spacing }: ParentProblem): number[][] {
  const n = lon.length;
  const close = Array.from({ length: n }, (_, i) =>
    Array.from({ length: n }, (_j, j) => i !== j && geodesicMetres(lon[i], lat[i], lon[j], lat[j]) < spacing),
  );
  const covered = close.map((row) => row.map((c) => !c));
  const found: number[][] = [];
  for (let i = 0; i < n; i++) {
    for (let j = i + 1; j < n; j++) {
      if (covered[i][j]) continue;
      const group = [i, j];
      for (let k = 0; k < n; k++) if (group.every((m) => close[m][k])) group.push(k);
      for (const a of group) for (const b of group) covered[a][b] = true;
      found.push(group);
    }
  }
  return found;
}

const highs = await loadHighs();

/** Greatest sum of `worth` over sets without two of one group; of exactly `count` members, or of any number. */
function byHighs(worth: ArrayLike<number>, together: readonly number[][], count: number | null): number {
  const n = worth.length;
  const rows = count === null ? together : [...together, Array.from({ length: n }, (_, i) => i)];
  const starts = [0];
  for (const row of rows) starts.push(starts[starts.length - 1] + row.length);
  const { constants, infinity } = highs;
  return highs.withModel(
    {
      numCols: n,
      numRows: rows.length,
      sense: constants.objectiveSense.maximize,
      colCost: Array.from(worth),
      colLower: new Array<number>(n).fill(0),
      colUpper: new Array<number>(n).fill(1),
      rowLower: rows.map((_, r) => (r < together.length ? -infinity : (count ?? 0))),
      rowUpper: rows.map((_, r) => (r < together.length ? 1 : (count ?? 0))),
      matrix: {
        format: 'csr',
        numRows: rows.length,
        numCols: n,
        starts,
        indices: rows.flat(),
        values: rows.flatMap((row) => row.map(() => 1)),
      },
      integrality: new Array<1>(n).fill(constants.variableType.integer),
    },
    (model) => {
      model.options.set({ output_flag: false, random_seed: 1, mip_rel_gap: 0, mip_abs_gap: 1e-9 });
      model.run();
      expect(model.getModelStatus()).toBe(constants.modelStatus.optimal);
      const { colValue } = model.getSolution();
      return Array.from(colValue).reduce((sum, x, i) => sum + Math.round(x) * worth[i], 0);
    },
  );
}

const LAYOUTS: readonly Layout[] = [
  { seed: 11, n: 150, side: 3000, centres: 0, whole: false },
  { seed: 12, n: 150, side: 3000, centres: 0, whole: true },
  { seed: 13, n: 200, side: 6000, centres: 14, whole: false },
  { seed: 14, n: 250, side: 6000, centres: 0, whole: false },
  { seed: 15, n: 300, side: 8000, centres: 0, whole: false },
  { seed: 16, n: 400, side: 10_000, centres: 0, whole: true },
  // So crowded that about one in eight fits: the bound by groups alone is a member or two too high.
  { seed: 18, n: 300, side: 3000, centres: 0, whole: true },
  { seed: 19, n: 400, side: 3000, centres: 0, whole: false },
  { seed: 20, n: 400, side: 4000, centres: 6, whole: false },
  { seed: 17, n: 400, side: 10_000, centres: 40, whole: false },
];

describe('parent sets against a solver of integer programmes', () => {
  describe.each(LAYOUTS)(
    '$n trees in $side m, $centres centres, whole weights $whole (seed $seed)',
    (layout) => {
      const all = forest(layout);
      const together = groups(all);

      it.each([10, 30])('has the same total for %i trees', (count) => {
        const set = chooseParents({ ...all, count });
        expect(set.status).toBe('optimal');
        expect(set.members.length).toBe(count);
        expect(set.bound).toBeCloseTo(set.total, 9);
        expect(Math.abs(set.total - byHighs(all.weight, together, count))).toBeLessThan(1e-6);
      });

      it('has the same largest number, and the same total at that number', () => {
        const set = chooseParents(all);
        const ones = new Float64Array(layout.n).fill(1);
        const largest = byHighs(ones, together, null);
        expect(set.status).toBe('fewer');
        expect(set.largest).toBe(largest);
        expect(set.largestBound).toBe(largest);
        expect(set.members.length).toBe(largest);
        expect(Math.abs(set.total - byHighs(all.weight, together, largest))).toBeLessThan(1e-6);
        // Asked for as that number, it is the same set.
        const asked = chooseParents({ ...all, count: largest });
        expect(asked.status).toBe('optimal');
        expect(asked.total).toBeCloseTo(set.total, 9);
      });
    },
  );
});
