import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { misplaced, type Positions } from '../../../src/domain/layers/misplaced.ts';

type Pair = readonly [number, number];

/** Positions in degrees, so that the file's coordinates are the degrees. */
function degrees(pairs: readonly Pair[]): Positions {
  const x = Float64Array.from(pairs, (p) => p[0]);
  const y = Float64Array.from(pairs, (p) => p[1]);
  const place: Positions['place'] = (lon, lat) => ({ lon, lat });
  return { x, y, lon: x, lat: y, geographic: true, place };
}

/** A made-up plane system: metres east and north of 96 W, 23 N, so 111,320 to a degree both ways. */
const M = 111_320;
function metres(pairs: readonly Pair[]): Positions {
  const x = Float64Array.from(pairs, (p) => p[0]);
  const y = Float64Array.from(pairs, (p) => p[1]);
  const place: Positions['place'] = (px, py) => ({
    lon: px.map((v) => v / M - 96),
    lat: py.map((v) => v / M + 23),
  });
  return { x, y, ...place(x, y), geographic: false, place };
}

const mistakes = (p: Positions): string[] => misplaced(p).map((m) => m.mistake);
const trees: readonly Pair[] = [[-83.1, 39.2], [-82.9, 39.3], [-83.4, 39.25], [-82.7, 38.9]]; // prettier-ignore

describe('mistakes of position', () => {
  it('are none where positions lie in eastern North America', () => {
    expect(misplaced(degrees(trees))).toEqual([]);
    expect(misplaced(metres(trees.map(([x, y]) => [(x + 96) * M, (y - 23) * M])))).toEqual([]);
  });

  it('zeros: some at 0, 0, far from the others', () => {
    const found = misplaced(degrees([...trees, [0, 0], [0, 0]]));
    expect(found).toEqual([{ mistake: 'zeros', count: 2, extent: [-83.4, 38.9, -82.7, 39.3] }]);
  });

  it('zeros: in a system of metres too, and where all are 0, 0', () => {
    expect(mistakes(metres([[900_000, 1_500_000], [0, 0]]))).toEqual(['zeros']); // prettier-ignore
    expect(misplaced(degrees([[0, 0], [0, 0]]))).toEqual([{ mistake: 'zeros', count: 2, extent: null }]); // prettier-ignore
  });

  it('a place at 0, 0 among others around it is one like any other', () => {
    expect(mistakes(degrees([[-20, -10], [20, 10], [0, 0]]))).toEqual([]); // prettier-ignore
  });

  it('axes: every position would lie in the region with its coordinates exchanged', () => {
    const found = misplaced(degrees(trees.map(([x, y]) => [y, x])));
    expect(found).toEqual([{ mistake: 'axes', count: 4, extent: [-83.4, 38.9, -82.7, 39.3] }]);
    expect(mistakes(metres(trees.map(([x, y]) => [(y - 23) * M, (x + 96) * M])))).not.toContain('sign');
  });

  it('axes: in a system of metres, northing before easting', () => {
    // 76 W, 33 N: 20 degrees east, 10 north; exchanged, 86 W, 43 N, which is home as well: nothing can be said.
    expect(mistakes(metres([[10 * M, 20 * M]]))).toEqual([]);
    // 53.5 W, 25 N: 42.5 degrees east, 2 north; exchanged 94 W, 65.5 N.
    expect(mistakes(metres([[2 * M, 42.5 * M]]))).toEqual(['axes']);
  });

  it('axes and sign at once: first the axes, since nothing grows at 83 N', () => {
    expect(mistakes(degrees(trees.map(([x, y]) => [y, -x])))).toEqual(['axes']);
  });

  it('sign: all of them, or some among others that are right', () => {
    const all = misplaced(degrees(trees.map(([x, y]) => [-x, y])));
    expect(all).toEqual([{ mistake: 'sign', count: 4, extent: [-83.4, 38.9, -82.7, 39.3] }]);
    const some = misplaced(degrees([...trees, [83, 39.1]]));
    expect(some).toEqual([{ mistake: 'sign', count: 1, extent: [-83.4, 38.9, -82.7, 39.3] }]);
  });

  it('degrees: in a system of metres', () => {
    const found = misplaced(metres(trees));
    expect(found).toEqual([{ mistake: 'degrees', count: 4, extent: [-83.4, 38.9, -82.7, 39.3] }]);
    expect(mistakes(metres(trees.map(([x, y]) => [-x, y])))).toEqual(['degrees']);
    expect(mistakes(metres(trees.map(([x, y]) => [y, x])))).toEqual(['degrees']);
  });

  it('degrees and zeros at once are both seen', () => {
    expect(mistakes(metres([...trees, [0, 0]]))).toEqual(['zeros', 'degrees']);
  });

  it('are not seen in data that are simply elsewhere', () => {
    const elsewhere: Record<string, Pair[]> = {
      Japan: [[130.5, 31.2], [145.3, 43.9], [139.7, 35.7]],
      'Asia, from the Urals to the sea of Japan': [[60, 50], [75, 30], [135, 45]],
      India: [[68.5, 23.5], [77.2, 28.6], [80.3, 13.1]],
      Europe: [[-9.1, 38.7], [24.9, 60.2], [2.3, 48.9]],
      Russia: [[37.6, 55.7], [30.3, 59.9], [49.1, 55.8]],
      'both sides of the date line': [[179.2, 51.9], [-179.5, 51.6], [178.1, 52.3]],
      'south of the equator': [[-70.6, -33.5], [-58.4, -34.6]],
      California: [[-122.4, 37.8], [-118.2, 34.1]],
      'the whole world': [[-179, -60], [179, 80], [84, 40], [-84, 40], [10, 0]],
    }; // prettier-ignore
    for (const [name, pairs] of Object.entries(elsewhere)) expect(mistakes(degrees(pairs)), name).toEqual([]);
  });

  it('are not seen where only some positions would be home', () => {
    expect(mistakes(degrees([[84, 40], [120, 30]]))).toEqual([]); // prettier-ignore
    // A sign may be lost only where the mended place falls among the others: these two lie 20 degrees apart.
    expect(mistakes(degrees([[-60, 46], [83, 39]]))).toEqual([]); // prettier-ignore
  });

  it('mending what was found leaves nothing to find, wherever in the region (seed 20251)', () => {
    const pair = fc.tuple(
      fc.double({ min: -99, max: -53, noNaN: true }),
      fc.double({ min: 25, max: 55, noNaN: true }),
    );
    fc.assert(
      fc.property(
        fc.array(pair, { minLength: 1, maxLength: 20 }),
        fc.constantFrom('axes', 'sign'),
        (pairs, which) => {
          const wrong = pairs.map(([x, y]): Pair => (which === 'axes' ? [y, x] : [-x, y]));
          const found = misplaced(degrees(wrong));
          expect(found.map((f) => f.mistake)).toEqual([which]);
          const right = misplaced(degrees(pairs));
          expect(right).toEqual([]);
          const box = [0, 1].map((k) => [
            Math.min(...pairs.map((p) => p[k])),
            Math.max(...pairs.map((p) => p[k])),
          ]);
          expect(found[0].extent).toEqual([box[0][0], box[1][0], box[0][1], box[1][1]]);
        },
      ),
      { seed: 20251 },
    );
  });

  it('positions that are none are passed over', () => {
    expect(mistakes(degrees([[NaN, NaN], ...trees]))).toEqual([]);
    expect(mistakes(degrees([[NaN, NaN]]))).toEqual([]);
  });
});
