/** Ground that people made or kept: burial grounds, parks, orchards, campuses, old fields, yards, street verges. */
import type { Farmstead } from './buildings.ts';
import { unit } from './buildings.ts';
import { FRAME, cellAt, type Local } from './frame.ts';
import { Near } from './near.ts';
import { rng } from './rng.ts';
import type { Road } from './roads.ts';
import { BLOCK, campusOf, inTown, type Town } from './towns.ts';

export const SETTINGS = [
  'burial ground',
  'park',
  'orchard',
  'campus',
  'old field',
  'yard',
  'street verge',
] as const;
export type SettingKind = (typeof SETTINGS)[number];

export interface Setting {
  readonly setting: SettingKind;
  readonly name: string;
  /** Year it was opened or left, '' not known. */
  readonly since: string;
  readonly centre: Local;
  readonly along: Local;
  readonly ring: readonly Local[];
}

const BURIAL_GROUNDS = 16;
const ORCHARDS = 12;
const OLD_FIELDS = 24;
const BURIAL_NAMES = [
  'Quillmark',
  'Old Margin',
  'Comma',
  'Semicolon',
  'Blank Page',
  'Foxed Leaf',
  'Endpaper',
  'Colophon',
  'Errata',
  'Dog-ear',
  'Folio',
  'Quarto',
  'Octavo',
  'Marginalia',
  'Footnote',
  'Ibid',
];

const box = (centre: Local, [a, b]: Local, length: number, width: number): Local[] =>
  [
    [-1, -1],
    [1, -1],
    [1, 1],
    [-1, 1],
    [-1, -1],
  ].map(
    ([s, t]) =>
      [
        centre[0] + (a * s * length - b * t * width) / 2,
        centre[1] + (b * s * length + a * t * width) / 2,
      ] as Local,
  );

export function makeSettings(
  water: Uint8Array,
  towns: readonly Town[],
  roads: readonly Road[],
  farmsteads: readonly Farmstead[],
): Setting[] {
  const random = rng('settings');
  const out: Setting[] = [];
  const add = (
    setting: SettingKind,
    name: string,
    since: string,
    centre: Local,
    along: Local,
    length: number,
    width: number,
  ): void => {
    out.push({ setting, name, since, centre, along, ring: box(centre, along, length, width) });
  };
  towns.forEach((town, t) => {
    const edge = (town.half + 0.9) * BLOCK;
    if (t < 2)
      add(
        'campus',
        `${town.name} College (invented)`,
        t === 0 ? '1926' : '1961',
        campusOf(town),
        town.along,
        320,
        280,
      );
    add(
      'park',
      `${town.name} Common`,
      String(1890 + 13 * t),
      inTown(town, edge + 90, -0.4 * edge),
      town.along,
      230,
      150,
    );
    // Verges of both main streets, block by block; the inside of every block is yard.
    for (let k = -town.half; k < town.half; k++)
      for (const side of [-1, 1]) {
        const mid = (k + 0.5) * BLOCK;
        add('street verge', 'Main Street', '', inTown(town, side * 7.5, mid), town.along, BLOCK - 24, 5);
        add(
          'street verge',
          'Main Avenue',
          '',
          inTown(town, mid, side * 7.5),
          [-town.along[1], town.along[0]],
          BLOCK - 24,
          5,
        );
      }
    for (let j = -town.half; j < town.half; j++)
      for (let i = -town.half; i < town.half; i++)
        add(
          'yard',
          '',
          '',
          inTown(town, (i + 0.5) * BLOCK, (j + 0.5) * BLOCK),
          town.along,
          BLOCK - 22,
          BLOCK - 22,
        );
  });

  const dry = (p: Local): boolean => {
    const at = cellAt(p[0], p[1]);
    return at >= 0 && !water[at];
  };
  const taken = new Near(
    500,
    out.map((s) => s.centre),
  );
  const free = (p: Local, metres: number): boolean =>
    dry(p) &&
    !taken.within(p, metres) &&
    p[0] > 500 &&
    p[1] > 500 &&
    p[0] < FRAME.size - 500 &&
    p[1] < FRAME.size - 500;
  const country = roads.filter(
    (r) =>
      ['secondary', 'tertiary', 'unclassified'].includes(r.highway) &&
      r.line.length > 3 &&
      !r.name.startsWith('Main '),
  );
  const beside = (low: number, high: number): { place: Local; along: Local } => {
    const road = random.pick(country);
    const k = random.int(1, road.line.length - 2);
    const [a, b] = unit(road.line[k - 1], road.line[k + 1]);
    const far = random.between(low, high) * (random.chance(0.5) ? 1 : -1);
    return { place: [road.line[k][0] - b * far, road.line[k][1] + a * far], along: [a, b] };
  };
  const homes = new Near(
    500,
    farmsteads.map((f) => f.house),
  );
  for (let n = 0, tries = 0; n < BURIAL_GROUNDS && tries < 4000; tries++) {
    const { place, along } = beside(55, 160);
    if (!free(place, 900) || homes.within(place, 150)) continue;
    taken.add(place);
    add(
      'burial ground',
      `${BURIAL_NAMES[n]} burial ground`,
      String(1822 + 5 * n),
      place,
      along,
      random.between(60, 95),
      random.between(45, 70),
    );
    n++;
  }
  for (let n = 0, tries = 0; n < ORCHARDS && tries < 4000; tries++) {
    const f = random.pick(farmsteads);
    const place: Local = [f.house[0] + random.between(-160, 160), f.house[1] + random.between(-160, 160)];
    if (!free(place, 300) || homes.within(place, 95)) continue;
    taken.add(place);
    add(
      'orchard',
      '',
      String(random.int(1935, 1990)),
      place,
      f.along,
      random.between(110, 170),
      random.between(80, 120),
    );
    n++;
  }
  for (let n = 0, tries = 0; n < OLD_FIELDS && tries < 4000; tries++) {
    const { place } = beside(220, 600);
    const at = cellAt(place[0], place[1]);
    if (at < 0 || !free(place, 900) || homes.within(place, 260)) continue;
    taken.add(place);
    const radius = random.between(75, 130);
    const ring: Local[] = [];
    for (const [c, s] of [
      [1, 0],
      [0.8, 0.6],
      [0.28, 0.96],
      [-0.6, 0.8],
      [-0.96, 0.28],
      [-0.8, -0.6],
      [-0.28, -0.96],
      [0.6, -0.8],
    ] as const) {
      const r = radius * random.between(0.75, 1.2);
      ring.push([place[0] + c * r, place[1] + s * r]);
    }
    ring.push(ring[0]);
    out.push({
      setting: 'old field',
      name: '',
      since: String(random.int(1948, 1985)),
      centre: place,
      along: [1, 0],
      ring,
    });
    n++;
  }
  for (const f of farmsteads) if (f.yard) add('yard', '', '', f.house, f.along, 62, 56);
  return out;
}
