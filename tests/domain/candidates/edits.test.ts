/** Edits by hand laid over candidates. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  fieldsOf,
  fieldText,
  EDIT_FIELDS,
  type FieldTexts,
} from '../../../src/domain/candidates/hand/editFields.ts';
import { applyEdits, type Edited } from '../../../src/domain/candidates/hand/edits.ts';
import { join } from '../../../src/domain/candidates/join.ts';
import { freshPlan } from '../../../src/domain/plan/fresh.ts';
import type { CandidateEdits } from '../../../src/domain/plan/schema.ts';
import { OAKS } from '../../../src/domain/species/species.ts';
import { at } from '../zones/grid.ts';
import { make, type Short } from './make.ts';

const tree = (x: number, y: number, more: Short = {}): Short => {
  const [lon, lat] = at(x, y);
  return { lon, lat, ...more };
};
const none = freshPlan('').candidates;
const edit = (part: Partial<CandidateEdits>): CandidateEdits => ({ ...none, ...part });
const three = () =>
  make([
    tree(0, 0, { id: 'A', dbh: 50, text: { file: 'a.csv', row: '2' } }),
    tree(3, 0, { id: 'B', dbh: 52, text: { file: 'a.csv', row: '3' } }),
    tree(500, 0, { id: 'C' }),
  ]);
const ids = (e: Edited): readonly string[] => e.candidates.id;
const notes = (e: Edited): string[] => e.notes.map((n) => `${n.where}: ${n.what}`);

describe('changed fields', () => {
  test('are read as the cells of a table are', () => {
    const { candidates: c, notes } = applyEdits(
      three(),
      edit({
        changed: {
          A: { dbh: '22 in', species: 'bur oak', permission: 'yes', owner: 'Somebody', accuracy: '20 ft' },
          C: { lat: "N 38° 30'", lon: '84.25 W', crop: '3' },
        },
      }),
    );
    expect(notes).toEqual([]);
    expect(c.dbh[0]).toBeCloseTo(55.88, 10);
    expect(c.accuracy[0]).toBeCloseTo(6.096, 10);
    expect(OAKS[c.species[0]].name).toBe('Quercus macrocarpa');
    expect(c.speciesText[0]).toBe('bur oak');
    expect(c.text.owner).toEqual(['Somebody', '', '']);
    expect(fieldText(c, 0, 'permission')).toBe('granted');
    expect([c.lat[2], c.lon[2], c.crop[2]]).toEqual([38.5, -84.25, 3]);
    // Not the same species any more, so not the same tree.
    expect([...c.duplicateOf]).toEqual([-1, -1, -1]);
  });

  test('an empty text takes away what the file says', () => {
    const { candidates: c } = applyEdits(three(), edit({ changed: { A: { dbh: '', species: '' } } }));
    expect(c.dbh[0]).toBeNaN();
    expect(c.species[0]).toBe(-1);
  });

  test('a value that is not understood is noted by the tree and field; a tree keeps its place', () => {
    const base = three();
    const done = applyEdits(
      base,
      edit({ changed: { B: { dbh: 'thick', lat: 'north', lon: '-84', colour: 'red' } } }),
    );
    expect(notes(done)).toHaveLength(3);
    expect(notes(done).join('\n')).toMatch(/B, lat: "north" is not a number of degrees/);
    expect(notes(done).join('\n')).toMatch(/B, dbh: "thick" is not a diameter/);
    expect(notes(done).join('\n')).toMatch(/B: "colour" is no field/);
    expect(done.candidates.dbh[1]).toBeNaN();
    expect([done.candidates.lat[1], done.candidates.lon[1]]).toEqual([base.lat[1], -84]);
  });

  test('one longitude typed without its minus sign is not "put right" by the others', () => {
    const done = applyEdits(three(), edit({ changed: { A: { lon: '84.5' } } }));
    expect(done.candidates.lon[0]).toBe(84.5);
  });

  test('a date of either order, or a comma, is read by itself: no edit changes what another says', () => {
    const changed = { A: { date: '9/10/2026', dbh: '22,5' } };
    const alone = applyEdits(three(), edit({ changed }));
    const more = applyEdits(
      three(),
      edit({ changed: { ...changed, B: { date: '9/30/2026', dbh: '1,250.5' } } }),
    );
    expect(more.candidates.text.date?.[0]).toBe(alone.candidates.text.date?.[0]);
    expect(more.candidates.text.date?.[0]).toBe('9/10/2026');
    expect([more.candidates.dbh[0], alone.candidates.dbh[0]]).toEqual([22.5, 22.5]);
  });

  test('the files’ columns are not touched', () => {
    const base = three();
    const before = structuredClone(base);
    applyEdits(
      base,
      edit({
        changed: { A: { dbh: '1', owner: 'x', species: 'pin oak', permission: 'no' } },
        removed: ['C'],
      }),
    );
    expect(base).toEqual(before);
  });
});

describe('added and removed', () => {
  test('candidates set down by hand come last, under an id of their own', () => {
    const done = applyEdits(
      three(),
      edit({
        added: [
          { id: 'H1', lat: '38.2', lon: '-84.9', species: 'Q. alba', notes: 'by the spring' },
          { id: 'A', lat: '38.3', lon: '-84.9' },
          { id: 'H2', lat: '38.3' },
        ],
      }),
    );
    expect(ids(done)).toEqual(['A', 'B', 'C', 'H1', 'A-2']);
    expect(done.candidates.text.notes?.[3]).toBe('by the spring');
    expect(done.candidates.text.file?.[3]).toBe('by hand');
    expect(notes(done).join('\n')).toMatch(/H2: was added by hand without a usable position/);
    expect(notes(done).join('\n')).toMatch(
      /A: was added by hand under an id that is there already; called "A-2"/,
    );
  });

  test('work without any file', () => {
    const done = applyEdits(join([]), edit({ added: [{ id: 'H1', lat: '38.2', lon: '-84.9' }] }));
    expect(ids(done)).toEqual(['H1']);
  });

  test('removed ones are gone, the others keep their order', () => {
    expect(ids(applyEdits(three(), edit({ removed: ['B'] })))).toEqual(['A', 'C']);
  });

  test('an edit of a candidate that is not there is noted and does no harm', () => {
    const base = three();
    const done = applyEdits(
      base,
      edit({
        removed: ['X1'],
        changed: { X2: { dbh: '1' } },
        merged: [
          { keep: 'X3', repeats: ['A'] },
          { keep: 'A', repeats: ['X4'] },
        ],
      }),
    );
    expect(done.candidates).toEqual(base);
    expect(notes(done).map((n) => n.slice(0, 2))).toEqual(['X2', 'X1', 'X3', 'X4']);
  });
});

describe('merged records', () => {
  test('are one tree: the one that stands has a row, the other is kept with file and row', () => {
    const { candidates: c } = applyEdits(three(), edit({ merged: [{ keep: 'B', repeats: ['A'] }] }));
    expect(c.id).toEqual(['B', 'C']);
    expect([...c.duplicateOf]).toEqual([-1, -1]);
    expect(c.behind?.get(0)).toEqual([
      {
        id: 'A',
        species: 'Quercus alba',
        lat: expect.any(String) as string,
        lon: expect.any(String) as string,
        dbh: '50',
        file: 'a.csv',
        row: '2',
      },
    ]);
  });

  test('a chain ends at the one that stands; a ring does not hang', () => {
    const chain = applyEdits(
      three(),
      edit({
        merged: [
          { keep: 'B', repeats: ['A'] },
          { keep: 'C', repeats: ['B'] },
        ],
      }),
    );
    expect(chain.candidates.id).toEqual(['C']);
    expect(
      chain.candidates.behind
        ?.get(0)
        ?.map((r) => r['id'])
        .sort(),
    ).toEqual(['A', 'B']);
    const ring = applyEdits(
      three(),
      edit({
        merged: [
          { keep: 'B', repeats: ['A'] },
          { keep: 'A', repeats: ['B'] },
        ],
      }),
    );
    expect(ring.candidates.id).toEqual(['B', 'C']);
    expect(ring.notes).toHaveLength(1);
  });

  test('removing the tree removes its records with it', () => {
    const done = applyEdits(three(), edit({ merged: [{ keep: 'B', repeats: ['A'] }], removed: ['B'] }));
    expect(ids(done)).toEqual(['C']);
  });

  test('pairs that are two trees are never called one', () => {
    expect([...three().duplicateOf]).toEqual([-1, 0, -1]);
    for (const apart of [[['A', 'B']], [['B', 'A']]] as Array<Array<[string, string]>>) {
      expect([...applyEdits(three(), edit({ apart })).candidates.duplicateOf]).toEqual([-1, -1, -1]);
    }
  });
});

const figure = fc.integer({ min: 1, max: 200 }).map(String);
const fields: fc.Arbitrary<FieldTexts> = fc.record(
  {
    dbh: figure,
    accuracy: figure,
    owner: fc.constantFrom('Ash', 'Birch', ''),
    species: fc.constantFrom('white oak', 'Quercus rubra', 'who knows', ''),
    permission: fc.constantFrom('granted', 'asked', ''),
    lat: fc.double({ min: 36, max: 40, noNaN: true }).map(String),
    lon: fc.double({ min: -87, max: -82, noNaN: true }).map(String),
  },
  { requiredKeys: [] },
);
const ID = fc.integer({ min: 0, max: 11 }).map((i) => `t${i}`);
const base = () =>
  make(Array.from({ length: 10 }, (_, i) => tree((i % 4) * 4, Math.floor(i / 4) * 300, { accuracy: 6 })));
const anyEdits: fc.Arbitrary<CandidateEdits> = fc.record({
  added: fc
    .array(
      fields.map((f) => ({ lat: '38.9', lon: '-84.1', ...f })),
      { maxLength: 3 },
    )
    .map((all) => all.map((f, i) => ({ ...f, id: `H${i}` }))),
  changed: fc.dictionary(ID, fields, { maxKeys: 5 }),
  removed: fc.uniqueArray(ID, { maxLength: 4 }),
  merged: fc.array(fc.record({ keep: ID, repeats: fc.uniqueArray(ID, { maxLength: 3 }) }), { maxLength: 3 }),
  apart: fc.array(fc.tuple(ID, ID), { maxLength: 3 }),
});
const FIXED = { numRuns: 300, seed: 11 };

describe('properties', () => {
  test('no edits change nothing: the very same candidates', () => {
    const c = base();
    expect(applyEdits(c, none)).toEqual({ candidates: c, notes: [] });
    expect(applyEdits(c, none).candidates).toBe(c);
  });

  test('every candidate has an id of its own and a place, and every record is somewhere or was removed', () => {
    fc.assert(
      fc.property(anyEdits, (edits) => {
        const c = base();
        const { candidates } = applyEdits(c, edits);
        expect(new Set(candidates.id).size).toBe(candidates.n);
        for (const column of [candidates.lon, candidates.lat]) expect(column.some(Number.isNaN)).toBe(false);
        const shown = new Set([
          ...candidates.id,
          ...[...(candidates.behind?.values() ?? [])].flat().map((r) => r['id']),
        ]);
        for (const id of c.id) {
          if (shown.has(id)) continue;
          // Out with the tree that it belongs to.
          const removedWith = edits.merged.some((m) => m.repeats.includes(id));
          expect(edits.removed.includes(id) || removedWith).toBe(true);
        }
        for (const [row, of] of candidates.duplicateOf.entries()) if (of >= 0) expect(of).toBeLessThan(row);
      }),
      FIXED,
    );
  });

  test('the order in which things were changed, removed and told apart does not matter', () => {
    fc.assert(
      fc.property(anyEdits, (edits) => {
        const turned: CandidateEdits = {
          ...edits,
          changed: Object.fromEntries(Object.entries(edits.changed).reverse()),
          removed: [...edits.removed].reverse(),
          apart: edits.apart.map(([a, b]): [string, string] => [b, a]).reverse(),
        };
        expect(applyEdits(base(), turned).candidates).toEqual(applyEdits(base(), edits).candidates);
      }),
      FIXED,
    );
  });

  test('a record written out as text and laid on again is the same record', () => {
    fc.assert(
      fc.property(anyEdits, (edits) => {
        const once = applyEdits(base(), edits).candidates;
        const again = applyEdits(once, {
          ...none,
          changed: Object.fromEntries(
            once.id.map((id, row) => [
              id,
              Object.fromEntries(EDIT_FIELDS.map((f) => [f, fieldsOf(once, row)[f] ?? ''])),
            ]),
          ),
        }).candidates;
        const pairs = edits.apart.length > 0;
        for (let row = 0; row < once.n; row++) expect(fieldsOf(again, row)).toEqual(fieldsOf(once, row));
        expect(again.species).toEqual(once.species);
        if (!pairs) expect(again.duplicateOf).toEqual(once.duplicateOf);
      }),
      FIXED,
    );
  });
});
