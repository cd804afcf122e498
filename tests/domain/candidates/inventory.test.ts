/** Lists of street, park and campus trees against candidates; all data invented. */
import { describe, expect, it } from 'vitest';
import type { Attributes, Spot } from '../../../src/domain/base/geo.ts';
import { geodesicMetres } from '../../../src/domain/base/geodesy.ts';
import { localFrame } from '../../../src/domain/base/localFrame.ts';
import { rng } from '../../../src/domain/base/rng.ts';
import type { Candidates } from '../../../src/domain/candidates/candidates.ts';
import {
  inventory,
  type InventoryColumns,
  type InventoryList,
} from '../../../src/domain/candidates/inventory.ts';
import { plantingReader } from '../../../src/domain/candidates/inventoryPlanting.ts';
import { nearest, spotShapes } from '../../../src/domain/layers/nearest.ts';
import { make, type Short } from './make.ts';

const LON = -85;
const LAT = 38;
const frame = localFrame(LAT);
const spot = (east: number, attributes: Attributes, north = 0): Spot => ({
  lon: LON + east / frame.lonMetres,
  lat: LAT + north / frame.latMetres,
  attributes,
});
const tree = (some: Short = {}): Candidates => make([{ lon: LON, lat: LAT, ...some }]);

function found(candidates: Candidates, ...lists: InventoryList[]): InventoryColumns {
  const any = nearest(spotShapes(...lists.map((l) => l.entries)), candidates.lon, candidates.lat).metres;
  return inventory(candidates, lists, any);
}
const list = (entries: readonly Spot[], some: Partial<InventoryList> = {}): InventoryList => ({
  title: 'Street and park trees',
  entries,
  ...some,
});
const sentence = (candidates: Candidates, ...lists: InventoryList[]): string =>
  found(candidates, ...lists).plantedOnRecord.get(0) ?? '';

describe('planted by record', () => {
  it('names list, entry, year and distance', () => {
    const entries = [spot(2, { id: 'T-104', species: 'white oak', planted: 1987 })];
    expect(sentence(tree(), list(entries))).toBe(
      'Planted by record: Street and park trees, entry T-104, planted 1987, 2 m from the position',
    );
  });

  it('names the words where there is no year, and the number of the entry where it has no name', () => {
    const entries = [spot(0.2, { species: 'Quercus alba', origin: 'Planted' })];
    expect(sentence(tree(), list(entries, { title: 'Campus' }))).toBe(
      'Planted by record: Campus, entry 1, "origin: Planted", at the position',
    );
  });

  it('matches within the accuracy of the position, 5 m at least and 30 m at most', () => {
    const at = (metres: number, accuracy?: number): boolean =>
      sentence(
        tree(accuracy === undefined ? {} : { accuracy }),
        list([spot(metres, { planted: '1990' })]),
      ) !== '';
    expect([at(4.9), at(5.1), at(4.9, 1), at(19, 20), at(21, 20), at(29, 30), at(1, 31)]).toEqual([
      true,
      false,
      true,
      true,
      false,
      true,
      false,
    ]);
  });

  it('is never told by an entry of another species, another genus, a stump or a vacant place', () => {
    for (const species of [
      'Quercus rubra',
      'pin oak',
      'Acer rubrum',
      'Red maple',
      'Stump',
      'Vacant site',
      'red oak',
    ])
      expect([species, sentence(tree(), list([spot(1, { species, planted: 1990 })]))]).toEqual([species, '']);
    for (const species of [
      'Quercus alba',
      'white oak',
      'Oak',
      'Quercus sp.',
      'Unknown',
      '',
      'Quercus × bebbiana',
    ])
      expect([species, sentence(tree(), list([spot(1, { species, planted: 1990 })])) !== '']).toEqual([
        species,
        true,
      ]);
  });

  it('goes by any species where the candidate has none, yet not by another genus', () => {
    const unknown = tree({ species: 'some tree' });
    expect(sentence(unknown, list([spot(1, { species: 'pin oak', planted: 1990 })]))).not.toBe('');
    expect(sentence(unknown, list([spot(1, { species: 'Tilia cordata', planted: 1990 })]))).toBe('');
  });

  it('is told by the nearest entry that says anything, over all lists', () => {
    const street = list([spot(1, { id: 'S1', species: 'white oak' }), spot(4, { id: 'S2', planted: 1980 })]);
    const park = list([spot(3, { id: 'P1', planted: 1970 })], { title: 'Park' });
    expect(sentence(tree(), street, park)).toContain('Park, entry P1, planted 1970, 3 m');
    const remnant = list([spot(2, { id: 'R', origin: 'remnant' })], { title: 'Survey' });
    expect(sentence(tree(), street, park, remnant)).toBe('');
  });

  it('reads the year from the attribute that was chosen', () => {
    const entries = [spot(1, { set_out: '1962', species: 'white oak' })];
    expect(sentence(tree(), list(entries))).toBe('');
    expect(sentence(tree(), list(entries, { year: 'set_out' }))).toContain('planted 1962');
  });
});

describe('what an entry says of its tree', () => {
  const said = (attributes: Attributes): string => {
    const { said: what, year } = plantingReader(Object.keys(attributes), undefined)(attributes);
    return Number.isNaN(year) ? what : `${what} ${year}`;
  };
  it.each<[Attributes, string]>([
    [{ PLANT_DATE: '1987-05-01' }, 'planted 1987'],
    [{ date_planted: 547171200000 }, 'planted 1987'],
    [{ 'Planting year': 1987 }, 'planted 1987'],
    [{ planted: 'yes' }, 'planted'],
    [{ planted: true }, 'planted'],
    [{ planted: 'no' }, 'natural'],
    [{ planted: '' }, ''],
    [{ planted: 'unknown' }, ''],
    [{ origin: 'planted' }, 'planted'],
    [{ Origin: 'Nursery stock' }, 'planted'],
    [{ origin: 'natural' }, 'natural'],
    [{ origin: 'Remnant forest' }, 'natural'],
    [{ origin: 'not planted' }, 'natural'],
    [{ origin: 'native' }, ''],
    [{ origin: 'native', plant_date: '1990' }, 'planted 1990'],
    [{ origin: 'natural', plant_date: '1990' }, 'natural'],
    [{ source: 'Planted tree survey' }, ''],
    [{ status: 'To be planted' }, ''],
    [{ degreeOfEstablishment: 'cultivated' }, 'planted'],
    [{ degreeOfEstablishment: 'http://rs.tdwg.org/dwcdoe/values/d003' }, 'planted'],
    [{ degreeOfEstablishment: 'native' }, ''],
    [{ establishmentMeans: 'introduced' }, ''],
    [{ planted_by: 'Parks department' }, 'planted'],
    [{ planted_by: 'n/a' }, ''],
    [{ planted_by: 'natural seeding' }, 'natural'],
    [{ year: 2019, note: 'planted in 1987' }, ''],
  ])('%j: %s', (attributes, words) => {
    expect(said(attributes)).toBe(words);
  });
});

describe('the nearest entry that may be the tree', () => {
  it('is of its species; Infinity where the list reaches here and holds none, NaN where it does not reach', () => {
    const near = found(
      make([
        { lon: LON, lat: LAT },
        { lon: LON, lat: LAT, species: 'bur oak' },
        { lon: LON + 0.1, lat: LAT },
      ]),
      list([spot(3, { species: 'Quercus rubra' }), spot(40, { species: 'Quercus alba' })]),
    );
    expect(near.inventory[0]).toBeCloseTo(40, 2);
    expect(near.inventory[1]).toBe(Infinity);
    expect(near.inventory[2]).toBeNaN();
    expect([...near.entry]).toEqual([1, -1, -1]);
  });

  it('is that of a search through all, in 300 trees and two lists (seed 21)', () => {
    const random = rng(21);
    const some = <T>(of: readonly T[]): T => of[Math.floor(random() * of.length)];
    const species = ['Quercus alba', 'Quercus rubra', 'Quercus palustris'];
    const place = (): { lon: number; lat: number } => ({
      lon: LON + (400 * random()) / frame.lonMetres,
      lat: LAT + (400 * random()) / frame.latMetres,
    });
    const entries = (n: number): Spot[] =>
      Array.from({ length: n }, () => ({
        ...place(),
        attributes: { species: some([...species, '', 'Acer rubrum']), planted: some(['1980', '', '', 'no']) },
      }));
    const lists = [list(entries(200)), list(entries(100), { title: 'Park' })];
    const candidates = make(
      Array.from({ length: 300 }, () => ({
        ...place(),
        species: some(species),
        accuracy: some([NaN, 3, 12, 28, 60]),
      })),
    );
    const { inventory: metres, plantedOnRecord } = found(candidates, ...lists);
    let decided = 0;
    for (let i = 0; i < candidates.n; i++) {
      const own = lists
        .flatMap((l) => l.entries.map((e, row) => ({ e, title: l.title, row })))
        .filter(({ e }) => ['', candidates.speciesText[i]].includes(String(e.attributes['species'])))
        .map((x) => ({ ...x, d: geodesicMetres(candidates.lon[i], candidates.lat[i], x.e.lon, x.e.lat) }))
        .sort((a, b) => a.d - b.d);
      expect(metres[i]).toBeCloseTo(own[0].d, 2);
      const radius = Math.max(5, candidates.accuracy[i] || 0);
      const says = own.find((x) => x.d <= radius && radius <= 30 && x.e.attributes['planted'] !== '');
      const planted = says?.e.attributes['planted'] === '1980';
      expect(plantedOnRecord.has(i)).toBe(planted);
      if (!planted) continue;
      decided++;
      expect(plantedOnRecord.get(i)).toContain(`${says.title}, entry ${says.row + 1}, planted 1980`);
    }
    expect(decided).toBeGreaterThan(20);
  });
});
