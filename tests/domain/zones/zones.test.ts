import pointInPolygon from '@turf/boolean-point-in-polygon';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Area } from '../../../src/domain/base/geo.ts';
import { areaIndex } from '../../../src/domain/layers/areaIndex.ts';
import { zoneIndex, zonesFrom } from '../../../src/domain/layers/zones.ts';
import { at, box, zone } from './grid.ts';

const area = (ring: Array<[number, number]>, attributes: Area['attributes']): Area => ({
  geometry: zone('', ring).area.geometry,
  attributes,
});
const value = <T>(r: { ok: true; value: T } | { ok: false; failure: { what: string } }): T => {
  if (!r.ok) throw new Error(r.failure.what);
  return r.value;
};

describe('zonesFrom', () => {
  const areas = [
    area(box(0, 0, 10, 10), { OBJECTID: 1, Zone: 7, Zone_Name: 'Knobs' }),
    area(box(20, 0, 30, 10), { OBJECTID: 2, Zone: 8, Zone_Name: 'Plateau' }),
    area(box(40, 0, 50, 10), { OBJECTID: 3, Zone: 7, Zone_Name: 'Knobs' }),
  ];

  test('polygons with one key are one zone', () => {
    const { zones, keyField, nameField, notes } = value(zonesFrom(areas));
    expect([keyField, nameField]).toEqual(['Zone', 'Zone_Name']);
    expect(zones.map((z) => [z.key, z.name, z.area.geometry.length])).toEqual([
      ['7', 'Knobs', 2],
      ['8', 'Plateau', 1],
    ]);
    expect(notes[0].what).toContain('"Zone"');
  });

  test('the key can be named', () => {
    expect(value(zonesFrom(areas, 'OBJECTID')).zones).toHaveLength(3);
    expect(value(zonesFrom(areas, 'OBJECTID')).notes).toEqual([]);
  });

  test('an attribute that does not exist is refused with the ones that do', () => {
    const r = zonesFrom(areas, 'zonee');
    expect(r.ok ? '' : r.failure.what + r.failure.todo).toMatch(
      /no attribute "zonee".*OBJECTID, Zone, Zone_Name/,
    );
  });

  test('without a usual name the attribute that differs most is taken', () => {
    const odd = areas.map((a, i) => ({ ...a, attributes: { state: 'KY', ecotype: ['a', 'b', 'c'][i] } }));
    expect(value(zonesFrom(odd)).keyField).toBe('ecotype');
  });

  test('polygons without a key belong to no zone and are noted', () => {
    const some = [...areas, area(box(60, 0, 70, 10), { Zone: null })];
    const { zones, notes } = value(zonesFrom(some, 'Zone'));
    expect(zones).toHaveLength(2);
    expect(notes[0].what).toBe('1 of 4 polygons have no value in "Zone" and belong to no zone');
  });

  test('nothing to read, nothing to tell apart', () => {
    expect(zonesFrom([]).ok).toBe(false);
    expect(zonesFrom(areas.map((a) => ({ ...a, attributes: {} }))).ok).toBe(false);
    expect(
      zonesFrom(
        areas.map((a) => ({ ...a, attributes: { Zone: '' } })),
        'Zone',
      ).ok,
    ).toBe(false);
  });
});

describe('zoneIndex', () => {
  const ring = zone('ring', box(0, 0, 10_000, 10_000), box(4_000, 4_000, 6_000, 6_000));
  const island = zone('island', box(4_000, 4_000, 6_000, 6_000));
  const { zoneOf, zonesOf } = zoneIndex([ring, island, zone('copy', box(0, 0, 1_000, 1_000))]);

  test('holes, islands, outside, overlaps', () => {
    expect(zoneOf(...at(1_500, 1_500))).toBe(0);
    expect(zoneOf(...at(5_000, 5_000))).toBe(1);
    expect(zoneOf(...at(-1, 5_000))).toBe(-1);
    // Both hold it: the first of the list.
    expect(zoneOf(...at(500, 500))).toBe(0);
    expect(zoneOf(NaN, NaN)).toBe(-1);
    const [a, b] = [at(5_000, 5_000), at(20_000, 0)];
    expect([...zonesOf(Float64Array.of(a[0], b[0]), Float64Array.of(a[1], b[1]))]).toEqual([1, -1]);
  });

  test('a place on a common edge or vertex is in exactly one of the zones that meet there', () => {
    const zones = [box(0, 0, 1, 1), box(1, 0, 2, 1), box(0, 1, 1, 2), box(1, 1, 2, 2)];
    const each = zones.map((r) => areaIndex([[[...r, r[0]]]].map((rings) => [rings])));
    for (const [x, y] of [
      [1, 0.5],
      [0.5, 1],
      [1, 1.5],
      [1.5, 1],
      [1, 1],
    ]) {
      expect(each.filter((i) => i.areaOf(x, y) >= 0)).toHaveLength(1);
    }
  });

  test('no zones', () => {
    expect(zoneIndex([]).zoneOf(0, 0)).toBe(-1);
  });

  test('the same as turf on star-shaped polygons with a hole (property)', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0.5, max: 1, noNaN: true }), { minLength: 3, maxLength: 300 }),
        fc.array(
          fc.tuple(
            fc.double({ min: -1.1, max: 1.1, noNaN: true }),
            fc.double({ min: -1.1, max: 1.1, noNaN: true }),
          ),
          { minLength: 20, maxLength: 60 },
        ),
        (radii, points) => {
          const circle = (scale: number): Array<[number, number]> => {
            const open = radii.map((r, i): [number, number] => {
              const t = (2 * Math.PI * i) / radii.length;
              return [scale * r * Math.cos(t), scale * r * Math.sin(t)];
            });
            return [...open, open[0]];
          };
          const polygon = [circle(1), circle(0.4)];
          const index = areaIndex([[polygon]]);
          for (const [x, y] of points) {
            expect(index.areaOf(x, y) === 0).toBe(
              pointInPolygon([x, y], { type: 'Polygon', coordinates: polygon }),
            );
          }
        },
      ),
      { numRuns: 100, seed: 3 },
    );
  });

  test('with many areas, level edges and places on lines: the same as asking every edge of every area (property)', () => {
    const coordinate = fc.integer({ min: 0, max: 40 });
    fc.assert(
      fc.property(
        fc.array(fc.tuple(coordinate, coordinate, coordinate, coordinate, fc.integer({ min: -3, max: 3 })), {
          minLength: 70,
          maxLength: 120,
        }),
        fc.array(
          fc.tuple(
            fc.integer({ min: -2, max: 84 }),
            fc.integer({ min: -2, max: 84 }),
            fc.double({ min: 0, max: 1, noNaN: true }),
          ),
          { minLength: 50, maxLength: 200 },
        ),
        (boxes, points) => {
          const rings = boxes.map(([x1, y1, x2, y2, lean]): Array<[number, number]> => [
            [x1, y1],
            [x2, y1],
            [x2 + lean, y2],
            [x1, y2],
            [x1, y1],
          ]);
          const { areaOf } = areaIndex(rings.map((ring) => [[ring]]));
          const inside = (ring: Array<[number, number]>, x: number, y: number): boolean => {
            let odd = false;
            for (let i = 1; i < ring.length; i++) {
              const [low, high] =
                ring[i - 1][1] < ring[i][1] ? [ring[i - 1], ring[i]] : [ring[i], ring[i - 1]];
              if (y < low[1] || y >= high[1]) continue;
              if (x < low[0] + ((y - low[1]) / (high[1] - low[1])) * (high[0] - low[0])) odd = !odd;
            }
            return odd;
          };
          for (const [px, py, off] of points) {
            // On the lattice, half way, and anywhere beside.
            for (const [x, y] of [
              [px / 2, py / 2],
              [px / 2 + off, py / 2],
              [px / 2, py / 2 - off],
            ]) {
              expect(areaOf(x, y)).toBe(rings.findIndex((ring) => inside(ring, x, y)));
              // Asked again, from what is kept.
              expect(areaOf(x, y)).toBe(rings.findIndex((ring) => inside(ring, x, y)));
            }
          }
        },
      ),
      { numRuns: 60, seed: 7 },
    );
  });
});
