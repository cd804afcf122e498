/** Trees that people planted: a row by a road, a block on a campus, street trees, yard trees. */
import type { Bench } from './bench.ts';
import type { Local } from './frame.ts';
import { ownerAt, treeAt, type Tree } from './notebook.ts';
import { diameterOf } from './growth.ts';
import { rng } from './rng.ts';
import { NOW } from './surveyor.ts';
import { HOME_1, PLANTING_1, SPECIES_1 } from './tuning.ts';
import { campusOf } from './towns.ts';

const PLANTED = ['likely planted'];
const BARE: Partial<Tree> = {
  establishmentMeans: '',
  degreeOfEstablishment: '',
  regeneration: 'none',
  stand: '',
};
const ROW = 11;
const ROW_STEP = 12;
const ROW_OFF = 9;
/** Length of road that a row needs, metres. */
const STRAIGHT = 150;
const STREET_TREES = 24;
const YARD_TREES = 30;

export function makePlantedTrees(b: Bench): void {
  roadRow(b);
  campusBlock(b);
  streetTrees(b);
  yardTrees(b);
}

/** Even steps, one size. */
function roadRow(b: Bench): void {
  const long = (p: Local, q: Local): boolean => (p[0] - q[0]) ** 2 + (p[1] - q[1]) ** 2 > STRAIGHT ** 2;
  const stretches = b.g.roads
    .filter((x) => x.highway === 'secondary' && !x.name.startsWith('Main '))
    .flatMap((x) => x.line.slice(1).map((q, k) => ({ name: x.name, from: x.line[k], to: q })))
    .filter(({ from, to }) => long(from, to) && b.g.zoneOf(from) === HOME_1);
  const road = stretches[0];
  if (!road) throw new Error('no straight road for the row');
  const d = Math.sqrt((road.to[0] - road.from[0]) ** 2 + (road.to[1] - road.from[1]) ** 2);
  const [x, y] = [(road.to[0] - road.from[0]) / d, (road.to[1] - road.from[1]) / d];
  const row = Array.from({ length: ROW }, (_, i) => {
    const far = 14 + ROW_STEP * i;
    const place: Local = [road.from[0] + x * far - y * ROW_OFF, road.from[1] + y * far + x * ROW_OFF];
    const own = {
      ...BARE,
      ...ownerAt(road.from, 'granted'),
      dbh: 41 + b.r.int(-1, 1),
      accuracy: 3,
      form: 3,
      crown: 3,
      crop: 3,
      setting: 'street verge',
      kind: 'road row',
      name: `Row oak ${i + 1} by the ${road.name}`,
      notes: '',
    } as const;
    return b.plant(treeAt(place, SPECIES_1, b.r, own));
  });
  b.traps.push({
    trap: 'planted row along a road',
    planting: PLANTING_1,
    trees: row,
    expected: { origin: PLANTED },
    why: 'Eleven trees of one size, 12 m apart, 9 m from the road.',
  });
}

function campusBlock(b: Bench): void {
  const town = b.g.towns[0];
  const [u, v] = campusOf(town);
  const at = (s: number, t: number): Local => [
    u + town.along[0] * s - town.along[1] * t,
    v + town.along[1] * s + town.along[0] * t,
  ];
  const block: Tree[] = [];
  for (let i = 0; i < 4; i++)
    for (let j = 0; j < 6; j++)
      block.push(
        b.plant(
          treeAt(at(92 + 9 * j, -20 - 9 * i), SPECIES_1, b.r, {
            ...BARE,
            owner: `${town.name} College (invented)`,
            permission: 'granted',
            dbh: 24 + b.r.int(-2, 2),
            accuracy: 3,
            form: 3,
            crown: 2,
            crop: 1,
            setting: 'campus',
            kind: 'campus block',
            establishmentMeans: 'introduced',
            degreeOfEstablishment: 'cultivated',
            name: `Campus block ${i + 1}-${j + 1}`,
            notes: 'in a block of even age',
          }),
        ),
      );
  b.traps.push({
    trap: 'planted rows (block)',
    planting: PLANTING_1,
    trees: block,
    expected: { standing: 'ruled out', all: true, origin: PLANTED },
    why: 'Four rows of six at 9 m on a campus.',
  });
}

function streetTrees(b: Bench): void {
  const listed = b.g.inventory.filter(
    (t) => t.where === 'street verge' && ['Quercus alba', 'Quercus rubra'].includes(t.species),
  );
  const trees = Array.from({ length: STREET_TREES }, (_, i) => {
    const t = listed[Math.floor((i * listed.length) / STREET_TREES)];
    const place: Local = [t.place[0] + b.r.between(-1.6, 1.6), t.place[1] + b.r.between(-1.6, 1.6)];
    return b.plant(
      treeAt(place, t.species, b.r, {
        ...BARE,
        owner: 'Town of Figment',
        permission: 'granted',
        dbh: t.dbh,
        setting: 'street verge',
        kind: 'street tree',
        name: `Street tree ${i + 1}`,
        notes: '',
      }),
    );
  });
  b.traps.push({
    trap: 'street tree',
    planting: '',
    trees,
    expected: { origin: PLANTED },
    why: 'Within 5 m of an entry of the street-tree inventory, in the verge.',
  });
}

function yardTrees(b: Bench): void {
  const homes = b.g.farmsteads.filter((f) => f.yard);
  const grown = rng('yard oaks');
  const trees = Array.from({ length: YARD_TREES }, (_, i) => {
    const f = homes[Math.floor((i * homes.length) / YARD_TREES)];
    const place: Local = [
      f.house[0] + b.r.between(12, 20) * (i % 2 ? 1 : -1),
      f.house[1] + b.r.between(-12, 12),
    ];
    const notes = i % 5 === 0 ? 'owner says grandfather set it out' : '';
    const species = i % 3 === 2 ? 'Quercus rubra' : SPECIES_1;
    // Set at any time since the house was built.
    const years = Math.min(grown.between(25, 110), NOW - f.built);
    return b.plant(
      treeAt(place, species, b.r, {
        ...BARE,
        dbh: diameterOf(species, years, grown),
        setting: 'yard',
        kind: 'yard tree',
        name: `Yard oak ${i + 1}`,
        form: 2,
        crown: 4,
        crop: 3,
        notes,
      }),
    );
  });
  b.traps.push({
    trap: 'yard tree',
    planting: '',
    trees,
    expected: { origin: PLANTED },
    why: 'In a yard, 12 to 20 m from a house.',
  });
}
