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
  test('a poor position with an entry near it tells nothing, nor does an inventory that ends elsewhere', () => {
    expect(
      words('inventory', [{ accuracy: 500 }, { accuracy: 500 }, {}], { inventory: [100, 600, 5_000] }),
    ).toEqual(['not known', 'not listed', 'not known']);
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
