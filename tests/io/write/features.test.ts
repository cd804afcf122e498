import { wktToGeoJSON } from 'betterknown';
import { describe, expect, it } from 'vitest';
import { tableOf } from '../../../src/domain/base/table.ts';
import { writeCsv, writeGeojson, type Understood } from '../../../src/io/write/features.ts';
import { wkt } from '../../../src/io/write/wkt.ts';

const whole = (pieces: Iterable<string>): string => [...pieces].join('');
const hole = [
  [
    [0, 0],
    [4, 0],
    [4, 4],
    [0, 4],
    [0, 0],
  ],
  [
    [1, 1],
    [1, 2],
    [2, 2],
    [2, 1],
    [1, 1],
  ],
] as const;

// OGC 06-103r4, Simple Feature Access, 7.2; read back by betterknown (npm, MIT).
describe('well-known text', () => {
  it.each([
    [{ kind: 'place', place: { lon: -84.5, lat: 38 } }, 'POINT (-84.5 38)'],
    [{ kind: 'place', place: { lon: 1e-7, lat: -1e-7 } }, 'POINT (0.0000001 -0.0000001)'],
    [
      {
        kind: 'lines',
        lines: [
          [
            [0, 0],
            [1, 1],
          ],
        ],
      },
      'LINESTRING (0 0, 1 1)',
    ],
    [{ kind: 'area', area: [hole] }, 'POLYGON ((0 0, 4 0, 4 4, 0 4, 0 0), (1 1, 1 2, 2 2, 2 1, 1 1))'],
    [
      { kind: 'area', area: [[hole[0]], [hole[1]]] },
      'MULTIPOLYGON (((0 0, 4 0, 4 4, 0 4, 0 0)), ((1 1, 2 1, 2 2, 1 2, 1 1)))',
    ],
  ] as const)('%# %s', (geometry, text) => {
    expect(wkt(geometry)).toBe(text);
    expect(wktToGeoJSON(text)).not.toBeNull();
  });
});

describe('features written anew', () => {
  it('gathers the attributes of all features into columns', () => {
    const points: Understood = {
      kind: 'point',
      features: [
        { lon: -84, lat: 38, attributes: { id: 'a', LON: 5 } },
        { lon: -84.123456789, lat: 38, attributes: { id: '=b', note: 'x, y' } },
      ],
    };
    expect(whole(writeCsv(points))).toBe(
      'lon,lat,id,LON in file,note\r\n-84,38,a,5,\r\n-84.1234568,38,\'=b,,"x, y"\r\n',
    );
    expect(JSON.parse(whole(writeGeojson(points)))).toMatchObject({
      type: 'FeatureCollection',
      features: [{ properties: { id: 'a', LON: 5 } }, { geometry: { coordinates: [-84.1234568, 38] } }],
    });
  });

  it('keeps the texts of a table, negative numbers without an apostrophe', () => {
    const table = tableOf(
      ['code', 'x', 'y', 'd'],
      [
        ['007', '-84', '38', '-2.50'],
        ['008', '', '', ''],
      ],
    );
    const rows: Understood = {
      kind: 'table',
      table,
      rows: Int32Array.of(0),
      lon: Float64Array.of(-84),
      lat: Float64Array.of(38),
      replaced: [1, 2],
    };
    expect(whole(writeCsv(rows))).toBe('lon,lat,code,d\r\n-84,38,007,-2.5\r\n');
  });

  it('writes an empty collection and many pieces as one document each', () => {
    expect(JSON.parse(whole(writeGeojson({ kind: 'point', features: [] })))).toEqual({
      type: 'FeatureCollection',
      features: [],
    });
    const many = Array.from({ length: 5000 }, (_, i) => ({ lon: i / 100, lat: 0, attributes: { i } }));
    const pieces = [...writeGeojson({ kind: 'point', features: many })];
    expect(pieces.length).toBeGreaterThan(3);
    expect((JSON.parse(pieces.join('')) as { features: unknown[] }).features).toHaveLength(5000);
  });
});
