import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Area, MultiPolygon } from '../../../src/domain/base/geo.ts';
import { edgesOf } from '../../../src/domain/layers/edges.ts';
import { meetings } from '../../../src/domain/layers/meetings.ts';
import { retrace } from '../../../src/domain/layers/retrace.ts';
import { areaOf, mendRings } from '../../../src/domain/layers/rings.ts';

type Points = Array<[number, number]>;
const closed = (points: Points): Points => [...points, points[0]];
const feature = (...polygons: Points[][]): Area => ({
  geometry: polygons.map((rings) => rings.map(closed)),
  attributes: { zone: 'Z7' },
});
const square: Points = [
  [0, 0],
  [10, 0],
  [10, 10],
  [0, 10],
];
const box = (x: number, y: number, side: number): Points =>
  square.map(([a, b]) => [x + (a * side) / 10, y + (b * side) / 10]);
const mend = (...features: Area[]): { areas: readonly Area[]; notes: string[] } => {
  const { areas, notes } = mendRings(features, 'zones.shp', 'zone');
  return { areas, notes: notes.map((n) => `${n.where}: ${n.what}`) };
};
/** Rings that cross or touch themselves, or cross others: what no mended feature has. */
function faults(shape: MultiPolygon): string[] {
  const edges = edgesOf([shape]);
  const found: string[] = [];
  meetings(edges, 0, (m) => {
    if (m.kind !== 'touch' || edges.ring[m.i] === edges.ring[m.j]) found.push(`${m.kind} ${m.x} ${m.y}`);
    return true;
  });
  return found;
}
function inside(rings: MultiPolygon[number], x: number, y: number): boolean {
  let odd = false;
  for (const ring of rings)
    for (let i = 1; i < ring.length; i++) {
      const [[x1, y1], [x2, y2]] = [ring[i - 1], ring[i]];
      if (y1 > y !== y2 > y && x < x1 + ((y - y1) / (y2 - y1)) * (x2 - x1)) odd = !odd;
    }
  return odd;
}

describe('what is mended', () => {
  test('a sound feature stays the same object, whichever way its rings run', () => {
    const sound = feature([square, box(2, 2, 3)], [box(20, 0, 5)]);
    const turned = feature([[...square].reverse()]);
    const { areas, notes } = mend(sound, turned);
    expect(areas[0]).toBe(sound);
    expect(areas[1]).toBe(turned);
    expect(notes).toEqual([]);
  });

  test('corners set twice, spikes, and both at the start of the ring', () => {
    const messy = feature([
      [
        [0, 0],
        [0, 0],
        [10, 0],
        [10, 5],
        [14, 5],
        [10, 5],
        [10, 10],
        [10, 10],
        [10, 12],
        [10, 10],
        [0, 10],
        [0, 0],
        [-3, 0],
      ],
    ]);
    const { areas, notes } = mend(messy);
    expect(new Set(areas[0].geometry[0][0].map(String))).toEqual(new Set([...square, [10, 5]].map(String)));
    expect(areaOf(areas[0].geometry)).toBe(100);
    expect(notes).toEqual([
      'zones.shp: a corner set twice in a row: dropped (1 feature)',
      'zones.shp: a spike without width: taken off (1 feature)',
    ]);
  });

  test('an outline that touches itself in a corner is parted into two', () => {
    const { areas, notes } = mend(
      feature([
        [
          [0, 0],
          [4, 0],
          [4, 4],
          [8, 4],
          [8, 8],
          [4, 8],
          [4, 4],
          [0, 4],
        ],
      ]),
    );
    expect(areas[0].geometry).toHaveLength(2);
    expect(areaOf(areas[0].geometry)).toBe(32);
    expect(faults(areas[0].geometry)).toEqual([]);
    expect(notes).toEqual(['zones.shp: an outline that touches itself: parted there (1 feature)']);
  });

  test('an outline that touches itself from within is an outline with a hole', () => {
    const { areas } = mend(
      feature([
        [
          [0, 0],
          [10, 0],
          [10, 10],
          [5, 10],
          [7, 6],
          [3, 6],
          [5, 10],
          [0, 10],
        ],
      ]),
    );
    expect(areas[0].geometry.map((p) => p.length)).toEqual([2]);
    expect(areaOf(areas[0].geometry)).toBe(92);
  });

  test('a hole joined to its outline by a line run along twice', () => {
    const { areas, notes } = mend(
      feature([
        [
          [0, 0],
          [10, 0],
          [10, 10],
          [0, 10],
          [0, 5],
          [3, 5],
          [3, 7],
          [6, 7],
          [6, 3],
          [3, 3],
          [3, 5],
          [0, 5],
        ],
      ]),
    );
    expect(areas[0].geometry.map((p) => p.length)).toEqual([2]);
    expect(areaOf(areas[0].geometry)).toBe(88);
    expect(notes.join(' ')).toMatch(/a line drawn twice/);
  });

  test('a bow tie so small that the area stays', () => {
    const slip: Points = [...square.slice(0, 3), [5, 10], [5.01, 10.01], [5, 10.01], [5.01, 10], [0, 10]];
    const { areas, notes } = mend(feature([slip]));
    expect(Math.abs(areaOf(areas[0].geometry) - 100)).toBeLessThan(0.01);
    expect(faults(areas[0].geometry)).toEqual([]);
    expect(notes.join(' ')).toMatch(/crosses itself: parted there \(1 feature\)/);
  });

  test('a hole that lies in another outline of its feature', () => {
    const { areas, notes } = mend(feature([square, box(22, 2, 3)], [box(20, 0, 10)]));
    expect(areas[0].geometry.map((p) => p.length).sort()).toEqual([1, 2]);
    expect(areaOf(areas[0].geometry)).toBe(200 - 9);
    expect(notes).toEqual(['zones.shp: a hole outside its outline: put where it belongs (1 feature)']);
  });

  test('a ring without area is left out; a feature of nothing else stays as it is', () => {
    const line: Points = [
      [0, 0],
      [5, 5],
      [0, 0],
    ];
    const { areas, notes } = mend(feature([square, line]), feature([line]));
    expect(areas[0].geometry.map((p) => p.length)).toEqual([1]);
    expect(areas[1].geometry).toHaveLength(1);
    expect(notes.join(' ')).toMatch(/without area: left out \(1 feature\)/);
  });
});

describe('what is left as it is, and listed with key and place', () => {
  test.each([
    [
      'a bow tie',
      [
        [
          [0, 0],
          [10, 10],
          [10, 0],
          [0, 10],
        ],
      ],
      /crosses itself near 5\.00000, 5\.00000/,
    ],
    ['a hole outside', [square, box(22, 2, 3)], /a hole outside its outline near/],
    ['a hole across its outline', [square, box(8, 8, 4)], /crosses itself near/],
  ] as Array<[string, Points[], RegExp]>)('%s', (_name, rings, text) => {
    const drawn = feature(rings);
    const { areas, notes } = mend(drawn, feature([square]));
    expect(areas[0]).toBe(drawn);
    expect(notes).toHaveLength(1);
    expect(notes[0]).toMatch(/^zones\.shp, Z7: /);
    expect(notes[0]).toMatch(text);
  });

  test('no more than twenty are listed one by one', () => {
    const bow = feature([
      [
        [0, 0],
        [10, 10],
        [10, 0],
        [0, 10],
      ],
    ]);
    const { notes } = mend(...Array.from({ length: 30 }, () => bow));
    expect(notes).toHaveLength(21);
    expect(notes[20]).toBe('zones.shp: 10 more features with outlines that were left as they are');
  });
});

describe('outlines drawn anew', () => {
  const lattice = fc.tuple(fc.integer({ min: 0, max: 9 }), fc.integer({ min: 0, max: 9 }));
  const ring = fc.array(lattice, { minLength: 3, maxLength: 9 });

  test('hold the same ground, and neither cross nor touch themselves (property)', () => {
    fc.assert(
      fc.property(fc.array(ring, { minLength: 1, maxLength: 3 }), (rings) => {
        const drawn: MultiPolygon = [rings.map(closed)];
        const anew = retrace(drawn, 1e-9);
        if (anew === null) throw new Error('given up');
        expect(faults(anew).filter((f) => !f.startsWith('touch'))).toEqual([]);
        for (let i = 0; i < 60; i++) {
          // Off the lattice and off every line between its points.
          const [x, y] = [((i * 7919) % 977) / 100 + 0.0031, ((i * 6007) % 991) / 100 + 0.0017];
          expect(anew.filter((p) => inside(p, x, y))).toHaveLength(inside(drawn[0], x, y) ? 1 : 0);
        }
      }),
      { numRuns: 400, seed: 8 },
    );
  });

  test('have the area that GEOS gives them (SpatiaLite, ST_MakeValid)', () => {
    const rows = readFileSync('tests/fixtures/zones/made-valid.csv', 'utf8').trim().split('\n').slice(1);
    expect(rows.length).toBeGreaterThan(50);
    for (const row of rows) {
      const [, text, area] = /^"?POLYGON \(\((.*)\)\)"?,"?([\d.]+)"?$/.exec(row) ?? [];
      const points = text.split(',').map((p) => p.trim().split(' ').map(Number) as [number, number]);
      expect(areaOf(retrace([[points]], 1e-9) ?? [])).toBeCloseTo(Number(area), 6);
    }
  });

  test('a feature is mended or left, never lost, and mended ones are sound and as large (property)', () => {
    fc.assert(
      fc.property(fc.array(ring, { minLength: 1, maxLength: 2 }), (rings) => {
        const drawn = feature(rings);
        const [after] = mend(drawn).areas;
        if (after === drawn) return;
        expect(Math.abs(areaOf(after.geometry) - areaOf(drawn.geometry))).toBeLessThanOrEqual(
          1e-4 * Math.abs(areaOf(drawn.geometry)) + 1e-12,
        );
      }),
      { numRuns: 400, seed: 9 },
    );
  });
});
