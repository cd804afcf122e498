import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Area } from '../../../src/domain/base/geo.ts';
import { adjacency } from '../../../src/domain/layers/adjacency.ts';
import { areaIndex } from '../../../src/domain/layers/areaIndex.ts';
import { dissolve } from '../../../src/domain/layers/dissolve.ts';
import { overlaps } from '../../../src/domain/layers/overlaps.ts';
import { areaOf } from '../../../src/domain/layers/rings.ts';
import { zonesFrom, type Zone } from '../../../src/domain/layers/zones.ts';
import { at, box, dense, zone } from './grid.ts';

const area = (ring: Array<[number, number]>, key: string): Area => ({
  geometry: zone('', ring).area.geometry,
  attributes: { zone: key },
});
const zonesOf = (...areas: Area[]): { zones: readonly Zone[]; notes: string[] } => {
  const read = zonesFrom(areas, 'zone');
  if (!read.ok) throw new Error(read.failure.what);
  return { zones: read.value.zones, notes: read.value.notes.map((n) => n.what) };
};
const rings = (z: Zone): number[] => z.area.geometry.map((p) => p.length);

describe('polygons of one zone', () => {
  test('that share a side exactly become one, without the line between them', () => {
    const { zones, notes } = zonesOf(
      area(box(0, 0, 5_000, 5_000), 'a'),
      area(box(5_000, 0, 10_000, 5_000), 'a'),
    );
    expect(rings(zones[0])).toEqual([1]);
    expect(zones[0].area.geometry[0][0]).toHaveLength(7);
    expect(notes).toEqual([]);
  });

  test('whose common side has other vertices, rounded to six decimals, become one too', () => {
    const round = (a: Area): Area => ({
      ...a,
      geometry: a.geometry.map((p) =>
        p.map((r) => r.map(([x, y]): [number, number] => [Number(x.toFixed(6)), Number(y.toFixed(6))])),
      ),
    });
    const { zones } = zonesOf(
      round(area(dense(box(0, 0, 5_000, 5_000), 320), 'a')),
      round(area(dense(box(5_000, 0, 10_000, 5_000), 450), 'a')),
    );
    expect(rings(zones[0])).toEqual([1]);
  });

  test('that enclose another zone become one with a hole, and it is a neighbour all round', () => {
    const u: Array<[number, number]> = [
      [0, 0],
      [9_000, 0],
      [9_000, 9_000],
      [6_000, 9_000],
      [6_000, 3_000],
      [3_000, 3_000],
      [3_000, 9_000],
      [0, 9_000],
    ];
    const { zones } = zonesOf(
      area(u, 'about'),
      area(box(3_000, 6_000, 6_000, 9_000), 'about'),
      area(box(3_000, 3_000, 6_000, 6_000), 'within'),
    );
    expect(rings(zones[0])).toEqual([2]);
    const [pair] = adjacency(zones, 30).pairs;
    expect(pair.contact).toBe('edge');
    expect(pair.sharedMetres).toBeGreaterThan(11_950);
    expect(pair.sharedMetres).toBeLessThan(12_050);
  });

  test('that lie apart or meet at a corner stay side by side', () => {
    const { zones } = zonesOf(
      area(box(0, 0, 5_000, 5_000), 'a'),
      area(box(5_000, 5_000, 9_000, 9_000), 'a'),
      area(box(50_000, 0, 55_000, 5_000), 'a'),
    );
    expect(rings(zones[0])).toEqual([1, 1, 1]);
  });

  test('that lie over one another stay side by side and are noted; their ground is the zone’s', () => {
    const { zones, notes } = zonesOf(
      area(box(0, 0, 5_000, 5_000), 'a'),
      area(box(4_000, 0, 9_000, 5_000), 'a'),
    );
    expect(rings(zones[0])).toEqual([1, 1]);
    expect(notes).toEqual([
      expect.stringMatching(/^polygons of zone a lie over one another by 5(\.0\d)? km² near/),
    ]);
    expect(areaIndex([zones[0].area.geometry]).areaOf(...at(4_500, 2_500))).toBe(0);
  });

  test('any tiling of a square put together is the square (property)', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 1, max: 9 }), { minLength: 1, maxLength: 4 }),
        fc.array(fc.integer({ min: 1, max: 9 }), { minLength: 1, maxLength: 4 }),
        (across, up) => {
          const lines = (cuts: number[]): number[] => [...new Set([0, ...cuts, 10])].sort((p, q) => p - q);
          const [xs, ys] = [lines(across), lines(up)];
          const tiles = xs
            .slice(1)
            .flatMap((x, i) => ys.slice(1).map((y, j) => zone('', box(xs[i], ys[j], x, y)).area.geometry[0]));
          const [shape] = dissolve([tiles]).shapes;
          expect(shape.map((p) => p.length)).toEqual([1]);
          const whole = zone('', box(0, 0, 10, 10)).area.geometry;
          expect(areaOf(shape) / areaOf(whole)).toBeCloseTo(1, 9);
        },
      ),
      { numRuns: 200, seed: 10 },
    );
  });
});

describe('zones that lie over one another', () => {
  test('are noted with the pair and the area, and the one that counts', () => {
    const { notes } = zonesOf(
      area(box(0, 0, 10_000, 10_000), 'a'),
      area(box(9_000, 2_000, 20_000, 8_000), 'b'),
    );
    expect(notes).toEqual([
      expect.stringMatching(
        /^zones a and b lie over one another by (5\.9\d|6|6\.0\d) km² near -84\.8\d+, 38\.0\d+; what stands there is in a$/,
      ),
    ]);
  });

  test('one within another, three at once', () => {
    const shapes = [
      box(0, 0, 10_000, 10_000),
      box(2_000, 2_000, 4_000, 4_000),
      box(3_000, 3_000, 5_000, 5_000),
    ].map((ring) => zone('', ring).area.geometry);
    const found = overlaps(shapes);
    expect(found.map((o) => [o.a, o.b])).toEqual(
      expect.arrayContaining([
        [0, 1],
        [0, 2],
        [1, 2],
      ]),
    );
    for (const [a, b, km2] of [
      [0, 1, 4],
      [0, 2, 4],
      [1, 2, 1],
    ]) {
      const one = found.find((o) => o.a === a && o.b === b);
      expect(Math.abs((one?.squareMetres ?? 0) / 1e6 - km2)).toBeLessThan(0.15);
      expect(areaIndex([shapes[b]]).areaOf(one?.lon ?? 0, one?.lat ?? 0)).toBe(0);
    }
  });

  test('by a sliver, or side by side, are not', () => {
    const west = zone('', box(0, 0, 10_000, 10_000)).area.geometry;
    for (const x of [10_000, 9_960, 10_020])
      expect(overlaps([west, zone('', box(x, 0, 20_000, 10_000)).area.geometry])).toEqual([]);
    // A sliver along a line that runs east and west.
    expect(overlaps([west, zone('', box(0, 9_970, 10_000, 20_000)).area.geometry])).toEqual([]);
    expect(overlaps([])).toEqual([]);
    expect(overlaps([[]])).toEqual([]);
  });
});
