import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { tableOf } from '../../../src/domain/base/table.ts';
import { PERMISSIONS } from '../../../src/domain/candidates/candidates.ts';
import { degrees } from '../../../src/domain/candidates/table/degrees.ts';
import {
  candidatesFrom,
  candidatesFromSpots,
  type CandidatesRead,
} from '../../../src/domain/candidates/table/fromTable.ts';
import { join } from '../../../src/domain/candidates/join.ts';
import { OAKS } from '../../../src/domain/species/species.ts';

async function read(header: string, ...lines: string[]): Promise<CandidatesRead> {
  const r = await candidatesFrom(
    tableOf(
      header.split(';'),
      lines.map((l) => l.split(';')),
    ),
    'trees.csv',
  );
  if (!r.ok) throw new Error(r.failure.what);
  return r.value;
}
const refused = async (header: string, ...lines: string[]): Promise<string> => {
  const r = await candidatesFrom(
    tableOf(
      header.split(';'),
      lines.map((l) => l.split(';')),
    ),
    'trees.csv',
  );
  return r.ok ? 'not refused' : `${r.failure.where}: ${r.failure.what}. ${r.failure.todo}`;
};
const NO_SPECIES = 'there is no column for the species; it is unknown in every row';
/** Notes but the one on a species column that most tables here lack. */
const told = (r: CandidatesRead): string[] =>
  r.notes.filter((n) => n.what !== NO_SPECIES).map((n) => `${n.where}: ${n.what}`);

describe('headers', () => {
  test.each([
    ['id;lon;lat'],
    ['Tree ID;Longitude;Latitude'],
    ['TreeNo;LONG;LAT'],
    ['occurrenceID;decimalLongitude;decimalLatitude'],
    ['tag_no;x;y'],
    ['tree;lon_dd;lat_dd'],
  ])('%s', async (header) => {
    const { candidates } = await read(header, 'A1;-85.5;38.25');
    expect([candidates.id[0], candidates.lon[0], candidates.lat[0]]).toEqual(['A1', -85.5, 38.25]);
  });

  test('Darwin Core terms', async () => {
    const { candidates: c, notes } = await read(
      'occurrenceID;decimalLongitude;decimalLatitude;coordinateUncertaintyInMeters;scientificName;vernacularName;establishmentMeans;degreeOfEstablishment;eventDate;recordedBy;identifiedBy',
      'o1;-85;38;12;Quercus alba L.;white oak;native;native;2024-09-30;A. Collector;B. Botanist',
    );
    expect(notes).toEqual([]);
    expect(OAKS[c.species[0]].name).toBe('Quercus alba');
    expect(c.accuracy[0]).toBe(12);
    expect([c.text.establishmentMeans?.[0], c.text.degreeOfEstablishment?.[0], c.text.date?.[0]]).toEqual([
      'native',
      'native',
      '2024-09-30',
    ]);
    // Who wrote the record down did not thereby identify the tree.
    expect(c.text.identifiedBy?.[0]).toBe('B. Botanist');
  });

  test('a notebook', async () => {
    const { candidates: c } = await read(
      'ID;Lat;Lon;GPS accuracy (ft);Species;DBH (in);Form;Crown;Crop class;Owner;Permission;Stand;Setting;Notes;County;Key used;Regeneration',
      '7;38;-85;30;N. red oak;22;4;3;2;J. Doe;yes;Knob;old field;forked;Hill;Smith key;saplings',
    );
    expect(c.accuracy[0]).toBeCloseTo(9.144, 9);
    expect(c.dbh[0]).toBeCloseTo(55.88, 9);
    expect([c.form[0], c.crown[0], c.crop[0]]).toEqual([4, 3, 2]);
    expect(PERMISSIONS[c.permission[0]]).toBe('granted');
    expect(
      [
        c.text.owner,
        c.text.stand,
        c.text.setting,
        c.text.notes,
        c.text.county,
        c.text.keyUsed,
        c.text.regeneration,
      ].map((t) => t?.[0]),
    ).toEqual(['J. Doe', 'Knob', 'old field', 'forked', 'Hill', 'Smith key', 'saplings']);
    expect([c.text.file?.[0], c.text.row?.[0]]).toEqual(['trees.csv', '2']);
    expect(c.text.name).toBeUndefined();
  });

  test('the plan may name columns; a name that is not there is refused', async () => {
    const table = tableOf(['E', 'N', 'what'], [['-85', '38', 'bur oak']]);
    const r = await candidatesFrom(table, 'f', { mapping: { lon: 'E', lat: 'N', species: 'what' } });
    expect(r.ok && OAKS[r.value.candidates.species[0]].common).toBe('bur oak');
    const bad = await candidatesFrom(table, 'f', { mapping: { lon: 'East', lat: 'N' } });
    expect(!bad.ok && bad.failure.what).toContain('"East"');
  });

  test('no position: one sentence with the columns that are there', async () => {
    expect(await refused('id;species', 'a;white oak')).toMatch(
      /^trees.csv: the table has no column for longitude and latitude \(columns: id, species\)\. Name the columns "lon" and "lat"/,
    );
    expect(await refused('id;lat', 'a;38')).toMatch(/no column for longitude/);
  });

  test('projected metres are no degrees: the coordinate system is asked for', async () => {
    expect(await refused('id;x;y', 'a;523411;4210000')).toMatch(
      /does not say its coordinate system \(its positions run from 523411, 4210000/,
    );
  });
});

describe('rows', () => {
  test('a bad row is noted with its number and field, the good ones stay', async () => {
    const r = await read('id;lon;lat', 'a;-85;38', 'b;;38', 'c;-85;north', 'd;-85;38.1', 'e;-85;95');
    expect(r.candidates.id).toEqual(['a', 'd']);
    expect(r.candidates.text.row).toEqual(['2', '5']);
    expect(told(r)).toEqual([
      'trees.csv, row 3, lon: no value; row left out',
      'trees.csv, row 4, lat: "north" is not a number of degrees; row left out',
      'trees.csv, row 6, lat: 95 is outside the earth; row left out',
    ]);
  });

  test('a bad value leaves the field empty and the row in place', async () => {
    const r = await read(
      'id;lon;lat;dbh_cm;accuracy_m;crown;permission;species',
      'a;-85;38;big;-3;7;perhaps;some oak',
    );
    const { candidates: c } = r;
    expect([c.dbh[0], c.accuracy[0], c.crown[0], c.species[0], c.permission[0]]).toEqual([
      NaN,
      NaN,
      NaN,
      -1,
      0,
    ]);
    expect(told(r)).toEqual([
      'trees.csv, row 2, accuracy: "-3" is not a distance above 0; left empty',
      'trees.csv, row 2, dbh: "big" is not a diameter of a tree; left empty',
      'trees.csv, row 2, crown: "7" is not a score from 0 to 4; left empty',
      'trees.csv, row 2, permission: "perhaps" is not understood; taken as unknown',
      'trees.csv, row 2, species: "some oak" is not in the table of oaks',
    ]);
  });

  test('empty lines are no rows, short lines are filled', async () => {
    const r = await read('id;lon;lat;notes', ';;;', 'a;-85;38', '');
    expect(r.candidates.id).toEqual(['a']);
    expect(r.candidates.text.notes).toEqual(['']);
    expect(told(r)).toEqual([]);
  });

  test('many bad rows are counted, not listed without end', async () => {
    const r = await read('id;lon;lat', 'a;-85;38', ...Array.from({ length: 80 }, (_, i) => `b${i};x;38`));
    expect(told(r)).toHaveLength(51);
    expect(told(r)[50]).toBe('trees.csv: 30 more rows of the same kind (position)');
  });

  test('units in cells and headers; a diameter without a unit is noted', async () => {
    const r = await read('id;lon;lat;dbh;accuracy', 'a;-85;38;22 in;30 ft', 'b;-85;39;55,5;12');
    expect(r.candidates.dbh[0]).toBeCloseTo(55.88, 9);
    expect(r.candidates.dbh[1]).toBe(55.5);
    expect(r.candidates.accuracy[0]).toBeCloseTo(9.144, 9);
    expect(told(r)).toEqual([
      'trees.csv: "dbh" names no unit: diameters without one are taken as centimetres',
    ]);
  });

  test('a table without species says so once; an empty cell is noted', async () => {
    expect((await read('id;lon;lat', 'a;-85;38', 'b;-85;39')).notes).toEqual([
      { where: 'trees.csv', what: NO_SPECIES },
    ]);
    expect(told(await read('id;lon;lat;species', 'a;-85;38;', 'b;-85;39;bur oak'))).toEqual([
      'trees.csv, row 2, species: no species recorded',
    ]);
  });

  test('0 is a score, not a gap', async () => {
    const { candidates: c } = await read('id;lon;lat;crop', 'a;-85;38;0', 'b;-85;39;');
    expect([...c.crop]).toEqual([0, NaN]);
  });
});

describe('ids', () => {
  test('repeats get a suffix and a note, gaps a name of their own', async () => {
    const r = await read('id;lon;lat', 'a;-85;38', 'a;-85;39', 'a-2;-85;40', 'a;-85;41', ';-85;42');
    expect(r.candidates.id).toEqual(['a', 'a-3', 'a-2', 'a-4', 'row 6']);
    expect(told(r)[0]).toBe('trees.csv, row 3, id: "a" is there already; called "a-3"');
  });

  test('always unique (property)', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.constantFrom('a', 'a-2', 'a-3', '', 'row 3', 'b'), { minLength: 1, maxLength: 25 }),
        async (ids) => {
          const { candidates } = await read('id;lon;lat', ...ids.map((id, i) => `${id};-85;${30 + i}`));
          expect(new Set(candidates.id).size).toBe(ids.length);
          const both = join([candidates, candidates]);
          expect(new Set(both.id).size).toBe(2 * ids.length);
        },
      ),
      { numRuns: 200, seed: 8 },
    );
  });
});

describe('positions', () => {
  test('longitude and latitude in each other’s place in all rows are offered for mending, not mended', async () => {
    const r = await read('id;lon;lat', 'a;38;-85', 'b;39;-86');
    expect([...r.candidates.lon]).toEqual([38, 39]);
    expect(r.offers).toEqual([
      {
        mend: 'axes',
        what: expect.stringMatching(/^in 2 of 2 positions/) as string,
        extent: [-86, 38, -85, 39],
      },
    ]);
    expect(told(r)[0]).toMatch(/each other's place/);
  });

  test('one row against all others is put right, and it is said', async () => {
    const r = await read('id;lon;lat', 'a;38;-85', 'b;-86;39', 'c;-86.5;39');
    expect([...r.candidates.lon]).toEqual([-85, -86, -86.5]);
    expect(told(r)).toEqual([
      'trees.csv, row 2, lon, lat: longitude and latitude stand in each other’s place, unlike in the other rows; put right',
    ]);
    expect(r.offers).toEqual([]);
  });

  test('a lost minus sign among others is put right and noted', async () => {
    const r = await read('id;lon;lat', 'a;-85;38', 'b;85.25;38', 'c;-86;38');
    expect([...r.candidates.lon]).toEqual([-85, -85.25, -86]);
    expect(told(r)).toEqual([
      'trees.csv, row 3, lon: 85.25 has lost its minus sign (most rows lie west of Greenwich); taken as -85.25',
    ]);
  });

  test('where all are positive nothing is changed, and it is said', async () => {
    const r = await read('id;lon;lat', 'a;85;38', 'b;86;38');
    expect([...r.candidates.lon]).toEqual([85, 86]);
    expect(told(r)[0]).toMatch(/2 of 2 longitudes are positive/);
  });

  test('other continents are left alone', async () => {
    const r = await read('id;lon;lat', 'a;2.35;48.85', 'b;151;-33');
    expect([...r.candidates.lon]).toEqual([2.35, 151]);
    expect(told(r)).toEqual([]);
  });
});

describe('degrees', () => {
  test.each([
    ['-85.25', -85.25],
    ['85.25 W', -85.25],
    ['W85.25', -85.25],
    ['40,446', 40.446],
    ['40 26 46 N', 40.446111],
    ['79 58 56 W', -79.982222],
    ['N 40°26′46″', 40.446111],
    [`40° 26' 46" N`, 40.446111],
    ['40:26.7667', 40.446111],
    ['−85', -85],
  ])('%s', (text, value) => {
    expect(degrees(text)).toBeCloseTo(value, 5);
  });
  test.each(['', 'x', '40 60 0', '40 10 61', '40.5 10', '1 2 3 4', 'N40W80', '4-0', '1e2', 'NaN', '--5'])(
    '"%s" is none',
    (text) => {
      expect(degrees(text)).toBeNaN();
    },
  );
});

describe('points and several files', () => {
  test('points of a spatial file: attributes are the columns, the position is the point', async () => {
    const r = await candidatesFromSpots(
      [
        {
          lon: -85,
          lat: 38,
          attributes: { tree: 'a', species: 'bur oak', dbh_cm: 80, lon: 'wrong', ok: null },
        },
        { lon: -85, lat: 39, attributes: { tree: 'b', crop: 3 } },
      ],
      'trees.fgb',
    );
    const c = r.ok ? r.value.candidates : null;
    expect(c?.id).toEqual(['a', 'b']);
    expect([...(c?.lon ?? [])]).toEqual([-85, -85]);
    expect([c?.dbh[0], c?.crop[1]]).toEqual([80, 3]);
  });

  test('two layers joined: ids stay unique, repeats are found across them', async () => {
    const a = (await read('id;lon;lat;species;owner', 'a;-85;38;white oak;X')).candidates;
    const b = (await read('id;lon;lat;species;notes', 'a;-85;38;white oak;big', 'c;-85;39;white oak;'))
      .candidates;
    const both = join([a, b]);
    expect(both.id).toEqual(['a', 'a-2', 'c']);
    expect([...both.duplicateOf]).toEqual([-1, 0, -1]);
    expect(both.text.owner).toEqual(['X', '', '']);
    expect(both.text.notes).toEqual(['', 'big', '']);
    expect(join([]).n).toBe(0);
  });
});
