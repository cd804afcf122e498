import { describe, expect, test } from 'vitest';
import { SETTINGS } from '../../../src/domain/layers/settings.ts';
import type { Piece } from '../../../src/domain/vetting/origin/piece.ts';
import { pieceOf, pieces } from '../../../src/domain/vetting/origin/pieces.ts';
import { THEMES } from '../../../src/domain/vetting/origin/types.ts';
import { make, type Short } from '../candidates/make.ts';
import { originInput } from '../vetting/make.ts';

const piece = (id: string): Piece => {
  const found = pieceOf(id);
  if (!found) throw new Error(id);
  return found;
};
function words(
  id: string,
  records: readonly Short[],
  values: Parameters<typeof originInput>[1] = {},
): string[] {
  const p = piece(id);
  const value = p.measure(originInput(make(records), values));
  return [...value].map((x) => (Number.isNaN(x) ? 'not known' : (p.words?.[x] ?? String(x))));
}
const texts = (
  field: 'notes' | 'regeneration' | 'setting' | 'establishmentMeans' | 'degreeOfEstablishment',
  ...given: string[]
): Short[] => given.map((text) => ({ text: { [field]: text } }));

test('ids are unique, themes are those of the method, every piece says what to check', () => {
  expect(new Set(pieces.map((p) => p.id)).size).toBe(pieces.length);
  for (const p of pieces) {
    expect(THEMES).toContain(p.theme);
    expect(p.check).not.toBe('');
    expect(p.unit === '').toBe(p.words !== null);
  }
});

test('nothing measured and nothing on record: no piece is known', () => {
  const input = originInput(make([{}, {}]));
  for (const p of pieces) expect([p.id, ...p.measure(input)]).toEqual([p.id, NaN, NaN]);
});

describe('ground at the tree', () => {
  test.each([
    [41, 1, 'closed forest'],
    [90, 0.8, 'closed forest'],
    [43, 0.79, 'forest edge'],
    [81, 0.2, 'forest edge'],
    [82, 0.1, 'crop field'],
    [81, 0.1, 'pasture'],
    [71, 0.1, 'opening'],
    [95, 0, 'opening'],
    [31, 0, 'opening'],
    [21, 0.5, 'developed beside forest'],
    [21, 0.1, 'developed, open space'],
    [24, 0.5, 'developed'],
    [11, 0.5, 'not known'],
    [0, 0.5, 'not known'],
    [41, NaN, 'not known'],
  ])('cover %d with a forest share of %d is %s', (cover, forest, word) => {
    expect(words('cover', [{}], { cover: [cover], forest100: [forest] })).toEqual([word]);
  });
});

describe('setting', () => {
  test('polygons before the record, the record before nothing', () => {
    const park = SETTINGS.indexOf('park');
    const given = [
      { text: { setting: 'old field' } },
      { text: { setting: 'old field' } },
      {},
      { text: { setting: 'quarry' } },
    ];
    expect(words('setting', given, { setting: [park, -1, park, -1] })).toEqual([
      'park',
      'old field',
      'park',
      'not known',
    ]);
  });
});

describe('inventory', () => {
  test('within 5 m, or within the accuracy, it is listed', () => {
    const records = [{}, {}, { accuracy: 20 }, { accuracy: 20 }, { accuracy: 2 }];
    expect(words('inventory', records, { inventory: [4.9, 5.1, 19, 21, 4.9] })).toEqual([
      'listed',
      'not listed',
      'listed',
      'not listed',
      'listed',
    ]);
  });
  test('a poor position with an entry near it tells nothing; a list that holds no such tree does', () => {
    expect(
      words('inventory', [{ accuracy: 500 }, { accuracy: 500 }, {}, {}], {
        inventory: [100, 600, Infinity, NaN],
      }),
    ).toEqual(['not known', 'not listed', 'not listed', 'not known']);
  });
});

describe('Darwin Core', () => {
  test('terms in any case, and as addresses', () => {
    const given = [
      'native',
      'Native',
      'introducedAssistedColonisation',
      'introduced assisted colonisation',
      'http://rs.tdwg.org/dwcem/values/e003',
      'dwcem:e001',
      'wild',
      '',
    ];
    expect(words('establishmentMeans', texts('establishmentMeans', ...given))).toEqual([
      'native',
      'native',
      'introducedAssistedColonisation',
      'introducedAssistedColonisation',
      'introduced',
      'native',
      'not known',
      'not known',
    ]);
    expect(
      words(
        'degreeOfEstablishment',
        texts('degreeOfEstablishment', 'cultivated', 'http://rs.tdwg.org/dwcdoe/values/d011', 'd003', 'd099'),
      ),
    ).toEqual(['cultivated', 'widespreadInvasive', 'cultivated', 'not known']);
  });
  test('"uncertain" tells nothing', () => {
    expect(words('establishmentMeans', texts('establishmentMeans', 'uncertain', 'e006'))).toEqual([
      'not known',
      'not known',
    ]);
  });
});

test.each([
  ['Planted about 1950 by the owner', 'words of planting'],
  ['nursery tag seen on branch', 'words of planting'],
  ['in a row with five others', 'words of planting'],
  ['old staked tree', 'words of planting'],
  ['surely not planted', 'words of wild growth'],
  ['never been planted; steep bluff', 'words of wild growth'],
  ['unplanted corner', 'words of wild growth'],
  ['remnant of the old woods', 'words of wild growth'],
  ['naturally seeded', 'words of wild growth'],
  ['not planted itself, but pines planted beside it', 'not known'],
  ['wild look, yet planted?', 'not known'],
  ['forked at 3 m, heavy crop', 'not known'],
  ['implanted sensor', 'not known'],
  ['mistaken for a bur oak', 'not known'],
])('notes "%s": %s', (text, word) => {
  expect(words('notes', texts('notes', text))).toEqual([word]);
});

test.each([
  ['yes', 'seen'],
  ['Many', 'seen'],
  ['12', 'seen'],
  ['saplings to the north', 'seen'],
  ['none', 'none seen'],
  ['0', 'none seen'],
  ['no seedlings in sight', 'none seen'],
  ['not looked', 'not known'],
  ['?', 'not known'],
])('regeneration "%s": %s', (text, word) => {
  expect(words('regeneration', texts('regeneration', text))).toEqual([word]);
});

describe('age against the year of the ground', () => {
  // 100 years (70 to 130) measured 2020: begun between 1890 and 1950.
  const known = { age: [100], measuredYear: [2020] };
  const of = (name: (typeof SETTINGS)[number]): number[] => [SETTINGS.indexOf(name)];
  test.each([
    [1951, 'older than the development'],
    [1950, 'as old as the development, within the error'],
    [1920, 'as old as the development, within the error'],
    [1890, 'as old as the development, within the error'],
    [1889, 'younger than the development'],
    [NaN, 'not known'],
  ])('developed %d: %s', (year, word) => {
    expect(words('ageDeveloped', [{}], { ...known, developedYear: [year] })).toEqual([word]);
  });

  test('the earliest known year counts; a setting only where people plant, a burial ground for itself', () => {
    const both = { ...known, developedYear: [1960], buildingYear: [1880] };
    expect(words('ageDeveloped', [{}], both)).toEqual(['younger than the development']);
    const within = (name: (typeof SETTINGS)[number]) => ({
      ...known,
      setting: of(name),
      settingYear: [1960],
    });
    for (const name of ['yard', 'campus', 'park', 'golf course', 'street verge'] as const)
      expect(words('ageDeveloped', [{}], within(name))).toEqual(['older than the development']);
    for (const name of ['woodland', 'burial ground', 'old field', 'plantation'] as const)
      expect(words('ageDeveloped', [{}], within(name))).toEqual(['not known']);
    expect(words('ageBurialGround', [{}], within('burial ground'))).toEqual(['older than the burial ground']);
    expect(words('ageBurialGround', [{}], within('park'))).toEqual(['not known']);
  });

  test('without an age, or the year in which it was measured, nothing is known', () => {
    const ground = { developedYear: [1960] };
    expect(words('ageDeveloped', [{}], { ...ground, age: [100] })).toEqual(['not known']);
    expect(words('ageDeveloped', [{}], { ...ground, measuredYear: [2020] })).toEqual(['not known']);
  });

  test('says in words what was compared, and which measure the year is from', () => {
    const { detail, fromAt } = piece('ageDeveloped');
    const say = (values: Parameters<typeof originInput>[1]): [string | undefined, string | undefined] => {
      const input = originInput(make([{}]), values);
      return [detail?.(input, 0), fromAt?.(input, 0)];
    };
    const age = 'about 112 years (78 to 146) by its diameter, measured 2025';
    const tree = { age: [112], measuredYear: [2025] };
    expect(say({ ...tree, developedYear: [1958] })).toEqual([
      `${age}; ground developed 1958`,
      'developedYear',
    ]);
    expect(say({ ...tree, setting: of('park'), settingYear: [1921], developedYear: [1958] })).toEqual([
      `${age}; park since 1921`,
      'settingYear',
    ]);
    expect(say({ ...tree, buildingYear: [1931] })).toEqual([
      `${age}; nearest building of 1931`,
      'buildingYear',
    ]);
    const grave = originInput(make([{}]), { ...tree, setting: of('burial ground'), settingYear: [1850] });
    expect(piece('ageBurialGround').detail?.(grave, 0)).toBe(`${age}; burial ground since 1850`);
  });
});

test('the nearest road is told by its edge', () => {
  expect(words('road', [{}], { road: [12], roadEdge: [9] })).toEqual(['9']);
});

describe('the age against the burial ground', () => {
  const idle = (settings: readonly string[]): number[] => [
    ...(piece('ageBurialGround').idle?.(
      originInput(make(settings.map((setting) => ({ text: { setting } })))),
    ) ?? []),
  ];

  test('is no question for a tree that is known to stand elsewhere', () => {
    expect(idle(['campus', 'burial ground', ''])).toEqual([1, 0, 0]);
  });
});
