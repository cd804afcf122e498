import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readWkb, WkbTrouble } from '../../../src/io/read/vectors/wkb.ts';

const bytes = (hex: string): Uint8Array => Uint8Array.from(Buffer.from(hex, 'hex'));
const square = [[[0, 0], [0, 4], [4, 4], [0, 0]], [[1, 2], [1, 3], [2, 3], [1, 2]]]; // prettier-ignore
const plain = { heights: false, measures: false };

// Written by GDAL 3.6.2 (ExportToIsoWkb, least significant byte first, then most), and the last three by SpatiaLite 5.0.1
// (AsEWKB: flags and number of the system as PostGIS writes them).
const CASES = [
  ['POINT (-83 39)', '01010000000000000000c054c00000000000804340', { geometry: { type: 'Point', coordinates: [-83, 39] }, ...plain }],
  ['the same, most significant first', '0000000001c054c000000000004043800000000000', { geometry: { type: 'Point', coordinates: [-83, 39] }, ...plain }],
  ['POLYGON with a hole', '010300000002000000040000000000000000000000000000000000000000000000000000000000000000001040000000000000104000000000000010400000000000000000000000000000000004000000000000000000f03f0000000000000040000000000000f03f000000000000084000000000000000400000000000000840000000000000f03f0000000000000040', { geometry: { type: 'Polygon', coordinates: square }, ...plain }],
  ['the same, most significant first', '0000000003000000020000000400000000000000000000000000000000000000000000000040100000000000004010000000000000401000000000000000000000000000000000000000000000000000043ff000000000000040000000000000003ff00000000000004008000000000000400000000000000040080000000000003ff00000000000004000000000000000', { geometry: { type: 'Polygon', coordinates: square }, ...plain }],
  ['MULTILINESTRING ZM', '01bd0b00000200000001ba0b0000020000000000000000000000000000000000000000000000000014400000000000001840000000000000f03f000000000000f03f0000000000001440000000000000184001ba0b00000200000000000000000000400000000000000040000000000000f03f000000000000f03f00000000000008400000000000000840000000000000f03f000000000000f03f', { geometry: { type: 'MultiLineString', coordinates: [[[0, 0], [1, 1]], [[2, 2], [3, 3]]] }, heights: true, measures: true }],
  ['MULTIPOINT M', '01d40700000200000001d1070000000000000000f03f0000000000000040000000000000084001d1070000000000000000104000000000000014400000000000001840', { geometry: { type: 'MultiPoint', coordinates: [[1, 2], [4, 5]] }, heights: false, measures: true }],
  ['MULTIPOLYGON Z, most significant first', '00000003ee0000000100000003eb0000000100000004000000000000000000000000000000003ff000000000000000000000000000003ff00000000000003ff00000000000003ff00000000000003ff00000000000003ff0000000000000000000000000000000000000000000003ff0000000000000', { geometry: { type: 'MultiPolygon', coordinates: [[[[0, 0], [0, 1], [1, 1], [0, 0]]]] }, heights: true, measures: false }],
  ['GEOMETRYCOLLECTION', '0107000000020000000101000000000000000000f03f000000000000004001020000000200000000000000000000000000000000000000000000000000f03f000000000000f03f', { geometry: { type: 'GeometryCollection', geometries: [{ type: 'Point', coordinates: [1, 2] }, { type: 'LineString', coordinates: [[0, 0], [1, 1]] }] }, ...plain }],
  ['COMPOUNDCURVE that is straight', '01090000000200000001020000000200000000000000000000000000000000000000000000000000f03f000000000000f03f010200000002000000000000000000f03f000000000000f03f00000000000000400000000000000000', { geometry: { type: 'LineString', coordinates: [[0, 0], [1, 1], [2, 0]] }, ...plain }],
  ['COMPOUNDCURVE with an arc', '01090000000200000001020000000200000000000000000000000000000000000000000000000000f03f000000000000f03f010800000003000000000000000000f03f000000000000f03f000000000000004000000000000000400000000000000840000000000000f03f', { geometry: { type: 'CompoundCurve' }, ...plain }],
  ['MULTICURVE that is straight', '010b0000000100000001020000000200000000000000000000000000000000000000000000000000f03f000000000000f03f', { geometry: { type: 'MultiLineString', coordinates: [[[0, 0], [1, 1]]] }, ...plain }],
  ['TRIANGLE', '01110000000100000004000000000000000000000000000000000000000000000000000000000000000000f03f000000000000f03f000000000000f03f00000000000000000000000000000000', { geometry: { type: 'Triangle', coordinates: [[[0, 0], [0, 1], [1, 1], [0, 0]]] }, ...plain }],
  ['POINT EMPTY', '0101000000000000000000f87f000000000000f87f', { geometry: null, ...plain }],
  ['LINESTRING EMPTY', '010200000000000000', { geometry: null, ...plain }],
  ['MULTIPOLYGON EMPTY', '010600000000000000', { geometry: null, ...plain }],
  ['GEOMETRYCOLLECTION EMPTY', '010700000000000000', { geometry: null, ...plain }],
  ['POINT of EWKB', '0101000020E61000000000000000C054C00000000000804340', { geometry: { type: 'Point', coordinates: [-83, 39] }, ...plain }],
  ['LINESTRINGZ of EWKB', '01020000A02569000002000000000000000000000000000000000000000000000000001440000000000000F03F000000000000F03F0000000000001840', { geometry: { type: 'LineString', coordinates: [[0, 0], [1, 1]] }, heights: true, measures: false }],
  ['MULTIPOINTM of EWKB', '0104000060E6100000020000000101000040000000000000F03F000000000000004000000000000008400101000040000000000000104000000000000014400000000000001840', { geometry: { type: 'MultiPoint', coordinates: [[1, 2], [4, 5]] }, heights: false, measures: true }],
] as const; // prettier-ignore

describe('well-known binary', () => {
  it.each(CASES)('%s', (_, hex, want) => {
    expect(readWkb(bytes(hex))).toEqual(want);
  });

  it.each(CASES)('%s: cut anywhere, a message', (_, hex) => {
    const whole = bytes(hex);
    for (let length = 0; length < whole.length; length++)
      expect(() => readWkb(whole.slice(0, length))).toThrow(WkbTrouble);
  });

  it('of collections in each other without end, or of other parts than it states: a message', () => {
    const nested = '010700000001000000'.repeat(2000) + '010700000000000000';
    expect(() => readWkb(bytes(nested))).toThrow(/without end/);
    const pointInPolygon = '010600000001000000' + '0101000000' + '00'.repeat(16);
    expect(() => readWkb(bytes(pointInPolygon))).toThrow(/its parts are no MultiPolygon/);
  });

  it('of any bytes: a geometry or a message, nothing else (2000 random ones)', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...CASES.map(([, hex]) => hex)),
        fc.array(fc.tuple(fc.nat(), fc.nat(255)), { minLength: 1, maxLength: 4 }),
        (hex, edits) => {
          const damaged = bytes(hex);
          for (const [at, value] of edits) damaged[at % damaged.length] = value;
          try {
            readWkb(damaged);
          } catch (error) {
            if (!(error instanceof WkbTrouble)) throw error;
          }
        },
      ),
      { seed: 20261125, numRuns: 2000 },
    );
  });
});
