/** Tables of GDAL, Python and the fixtures' notebook with bytes changed, cut or put in: a layer or one Failure, and nothing else. */
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { LayerEntry } from '../../src/domain/plan/schema.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import { createDesk } from '../../src/jobs/handlers/desk.ts';
import { openLayer } from '../../src/jobs/handlers/open.ts';

const FILES = [
  'tables/points-xy.csv',
  'tables/points-wkt.csv',
  'tables/points-utm.csv',
  'tables/stands-wkt.csv',
  'tables/semicolon-utf16le-bom.csv',
  'tables/semicolon-windows-1252.csv',
  'tables/tab-utf16le-nobom.txt',
  'county/notebook.csv',
].map((name) => ({ name, bytes: readFileSync(`tests/fixtures/${name}`) }));

/** What hurts tables: quotation marks, ends of lines, zeros, delimiters, signs, letters of the sky, parts of letters. */
const BITE = fc.constantFrom(
  ...[
    '"',
    '""',
    '\n',
    '\r',
    '\0',
    ',',
    ';',
    '\t',
    '-',
    'N',
    'W',
    '0',
    '9'.repeat(400),
    'POINT(',
    '°',
    '1e999',
    'x',
  ].map((t) => [...new TextEncoder().encode(t)]),
  [0xff],
  [0xc3],
  [0xff, 0xfe],
);
const CHANGE = fc.record({ at: fc.nat(), cut: fc.integer({ min: 0, max: 12 }), put: BITE });

test('1,000 damaged tables', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.constantFrom(...FILES),
      fc.array(CHANGE, { minLength: 1, maxLength: 8 }),
      fc.constantFrom<Partial<LayerEntry>>(
        {},
        { crs: 'EPSG:32616' },
        { mend: ['axes', 'sign', 'zeros', 'degrees'] },
        { columns: { lon: 'X', lat: 'Y' } },
        { names: { 'bur oak': '' } },
      ),
      fc.constantFrom('candidates', 'zones', 'inventory'),
      async ({ name, bytes }, changes, more, definition) => {
        let damaged = [...bytes];
        for (const { at, cut, put } of changes) damaged.splice(at % (damaged.length + 1), cut, ...put);
        if (changes.length > 6) damaged = damaged.slice(0, damaged.length / 2);
        const entry = { id: 'x', definition, path: name, band: 1, ...more } as LayerEntry;
        const desk = createDesk();
        const opened = await openLayer(
          desk,
          entry,
          memorySource(name.split('/')[1], Uint8Array.from(damaged)),
          {},
        );
        if (!opened.ok) {
          const { where, what, todo } = opened.failure;
          expect([where, what, todo].every((t) => t.length > 0 && t.length < 2_000)).toBe(true);
          expect(desk.layers.size).toBe(0);
          return;
        }
        const { candidates: c, notes } = opened.value;
        for (const n of notes) expect(n.where.length > 0 && n.what.length > 0).toBe(true);
        if (!c) return;
        expect(new Set(c.id).size).toBe(c.n);
        for (let i = 0; i < c.n; i++) {
          expect(Math.abs(c.lon[i])).toBeLessThanOrEqual(180);
          expect(Math.abs(c.lat[i])).toBeLessThanOrEqual(90);
          expect(c.duplicateOf[i]).toBeLessThan(i);
          expect(Number.isNaN(c.dbh[i]) || (c.dbh[i] > 0 && c.dbh[i] <= 500)).toBe(true);
        }
      },
    ),
    { numRuns: 1000, seed: 71 },
  );
});
