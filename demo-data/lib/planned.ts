/** The trees that the two plantings need, and the traps: records made to be told apart from the rest. */
import { geodesicDirect } from '../../src/domain/base/geodesy.ts';
import { FRAME, type Local, toLocal, toLonLat } from './frame.ts';
import type { Ground } from './ground.ts';
import { Near } from './near.ts';
import { REFUSING, ownerAt, placeOf, standAt, treeAt, type Tree } from './notebook.ts';
import { rng, type Rng } from './rng.ts';
import { BLOCK, inTown } from './towns.ts';
import { CORNER } from './zones.ts';

// What can be tuned.
/** Planting 1: white oak in this zone; planting 2: chestnut oak in that one. */
export const HOME_1 = 'Z5';
export const HOME_2 = 'Z6';
const NEIGHBOURS_1 = ['Z5', 'Z2', 'Z4', 'Z6', 'Z7', 'Z8'];
export const SPECIES_1 = 'Quercus alba';
export const SPECIES_2 = 'Quercus montana';
/** Stars: one heavy tree, and so many somewhat lighter ones around it, too near to it but not to one another. */
const STARS = [3, 3, 2, 2, 2];
const STAR_RADIUS = 384;
const STAR_APART = 2600;
const STAR_REACH = 15_000;
const HEAVY = { form: 4, crown: 4, crop: 4 } as const;
const ARM = { form: 4, crown: 4, crop: 3 } as const;
const FAIR = { form: 3, crown: 3, crop: 2 } as const;
const MIDDLING = { form: 2, crown: 2, crop: 2 } as const;
/** Match that a place must about reach to hold a star, and to hold a plain planned tree. */
const STAR_MATCH = 0.6;
const PLAIN_MATCH = 0.3;
/** Elevation limit of both plantings, and what planned trees keep to. */
const ELEVATION = 150;
const SAFE_ELEVATION = 105;
/** Planting 2: single trees that can be had in the home zone. */
const SINGLES_2 = 5;
export const SPACING = 402.336;
export const PAIR_NEAR = 401;
export const PAIR_FAR = 403;
const GROVE_RADIUS = 165;
const GROVE = 14;

export interface Expected {
  /** Standing in the named planting. */
  readonly standing?: 'eligible' | 'needs a check' | 'ruled out';
  /** Rule -> answer in the named planting. */
  readonly findings?: Readonly<Record<string, 'pass' | 'fail' | 'unknown'>>;
  /** Verdicts on origin that may be given. */
  readonly origin?: readonly string[];
  /** At most this many of the ids can be members together. */
  readonly mostMembers?: number;
  /** Metres between the two ids, on the ellipsoid. */
  readonly metres?: number;
  /** Later record -> the record it repeats, for duplicates. */
  readonly duplicate?: boolean;
  /** The choice beats "heaviest first" by at least this share of the total. */
  readonly betterThanGreedy?: number;
}
export interface Trap {
  readonly trap: string;
  /** Id of the planting that `expected` speaks of, '' for any. */
  readonly planting: string;
  readonly trees: readonly Tree[];
  readonly expected: Expected;
  readonly why: string;
}

export interface Planned {
  readonly trees: Tree[];
  readonly traps: Trap[];
  readonly sites: { readonly one: Local; readonly two: Local };
  /** Ordinary trees keep away from these places, so that the traps stay what they are. */
  readonly kept: Near;
  /** Elevation and precipitation cells that get no value: centre and half side in metres. */
  readonly holes: { readonly elevation: Local; readonly precipitation: Local };
}
export const HOLE_HALF = { elevation: 105, precipitation: 720 } as const;

const byGeodesic = (
  from: Local,
  azimuth: number,
  metres: number,
): { place: Local; lon: number; lat: number } => {
  const [lon, lat] = toLonLat(from, 7);
  const p = geodesicDirect(lon, lat, azimuth, metres);
  const at = { lon: Math.round(p.lon * 1e7) / 1e7, lat: Math.round(p.lat * 1e7) / 1e7 };
  return { place: toLocal([at.lon, at.lat]), ...at };
};

const random: { now: Rng } = { now: rng('planned') };

/** First of many random places that passes; a demo that cannot be laid out is a bug in the constants above. */
function find(
  what: string,
  random: Rng,
  tests: ReadonlyArray<(p: Local) => boolean>,
  around?: { at: Local; metres: number },
): Local {
  for (let tries = 0; tries < 400_000; tries++) {
    const p: Local = around
      ? [
          around.at[0] + random.between(-around.metres, around.metres),
          around.at[1] + random.between(-around.metres, around.metres),
        ]
      : [random.between(1000, FRAME.size - 1000), random.between(1000, FRAME.size - 1000)];
    if (p[0] < 1000 || p[1] < 1000 || p[0] > FRAME.size - 1000 || p[1] > FRAME.size - 1000) continue;
    if (tests.every((t) => t(p))) return p;
  }
  throw new Error(`no place found for ${what}`);
}

/** Deep in the woods: forest all round, nothing built, no road near, but a road within a walk. */
export const isWild = (g: Ground, p: Local): boolean => {
  const c = g.coverAt(p);
  return (
    (c === 41 || c === 43) &&
    g.toRoad(p) > 140 &&
    g.toBuilding(p) > 400 &&
    g.shares(p, 120).forest > 0.96 &&
    g.toDrivable(p) < 1350 &&
    g.shares(p, 500).developed < 0.03
  );
};

export function makePlanned(g: Ground): Planned {
  random.now = rng('planned');
  const r = random.now;
  const trees: Tree[] = [];
  const traps: Trap[] = [];
  const kept = new Near(700);
  const put = (t: Tree): Tree => {
    trees.push(t);
    kept.add(placeOf(t));
    return t;
  };
  const wild = (p: Local): boolean => isWild(g, p);
  const far = (metres: number) => (p: Local) => !kept.within(p, metres);
  const zone =
    (...keys: string[]) =>
    (p: Local) =>
      keys.includes(g.zoneOf(p));
  const level = (site: Local, metres: number) => (p: Local) =>
    Math.abs(g.elevation(p) - g.elevation(site)) < metres;
  const alike = (site: Local, least: number) => (p: Local) => g.match(p, site) > least;
  /** All that a natural tree of a planting has on record. */
  const natural = (place: Local, species: string, own: Partial<Tree>): Tree =>
    treeAt(place, species, r, {
      ...ownerAt(place, 'granted'),
      setting: 'closed forest',
      keyUsed: 'leaf, acorn and bark',
      establishmentMeans: 'native',
      degreeOfEstablishment: 'native',
      regeneration: 'seedlings and saplings',
      ...own,
    });

  // Sites: open ground well inside the home zone.
  const open = (p: Local): boolean => [71, 81, 52].includes(g.coverAt(p)) && g.shares(p, 90).forest < 0.2;
  const deep = (key: string) => (p: Local) =>
    [-2000, 0, 2000].every((du) => [-2000, 0, 2000].every((dv) => g.zoneOf([p[0] + du, p[1] + dv]) === key));
  const one = find('site 1', r, [
    (p) => p[0] < 36_000,
    (p) => g.elevation(p) > 520 && g.elevation(p) < 590,
    open,
    deep(HOME_1),
  ]);
  const two = find('site 2', r, [(p) => g.elevation(p) > 580 && g.elevation(p) < 650, open, deep(HOME_2)]);
  kept.add(one);
  kept.add(two);
  const near1 = { at: one, metres: STAR_REACH };
  const good1 = [level(one, SAFE_ELEVATION), zone(...NEIGHBOURS_1), alike(one, PLAIN_MATCH)];

  // The layout on which heaviest-first does badly.
  const stars: Tree[] = [];
  const centres = new Near(STAR_APART);
  STARS.forEach((arms, s) => {
    const first = r.between(0, 360);
    const ring = (c: Local): Array<{ place: Local; lon: number; lat: number }> =>
      Array.from({ length: arms }, (_, a) =>
        byGeodesic(c, first + (360 / arms) * a + (arms === 2 ? 25 * a : 0), STAR_RADIUS),
      );
    const centre = find(
      `star ${s}`,
      r,
      [
        level(one, SAFE_ELEVATION),
        zone(...NEIGHBOURS_1),
        far(1200),
        (p) => !centres.within(p, STAR_APART),
        alike(one, STAR_MATCH),
        wild,
        (p) =>
          ring(p).every(
            (q) => wild(q.place) && level(one, SAFE_ELEVATION)(q.place) && g.match(q.place, one) > STAR_MATCH,
          ),
      ],
      near1,
    );
    centres.add(centre);
    stars.push(put(natural(centre, SPECIES_1, { ...HEAVY, notes: 'best crop on this ridge' })));
    for (const { place, lon, lat } of ring(centre))
      stars.push(put(natural(place, SPECIES_1, { ...ARM, lon, lat, stand: standAt(centre) })));
  });
  traps.push({
    trap: 'heaviest-first is worse',
    planting: 'figment-white-oak',
    trees: stars,
    expected: { betterThanGreedy: 0.03 },
    why: 'Each star is one heavy tree within a quarter mile of two or three that are slightly lighter but far enough from one another: taking the heavy tree loses all of them.',
  });

  const place1 = (what: string, ...more: Array<(p: Local) => boolean>): Local =>
    find(what, r, [...good1, far(1000), wild, ...more], near1);
  for (const [metres, answer] of [
    [PAIR_NEAR, 1],
    [PAIR_FAR, 2],
  ] as const) {
    const azimuth = r.between(0, 360);
    const from = place1(
      `pair at ${metres} m`,
      (p) =>
        wild(byGeodesic(p, azimuth, metres).place) &&
        good1.every((t) => t(byGeodesic(p, azimuth, metres).place)),
    );
    const to = byGeodesic(from, azimuth, metres);
    const pair = [
      put(natural(from, SPECIES_1, { ...MIDDLING })),
      put(natural(to.place, SPECIES_1, { ...MIDDLING, lon: to.lon, lat: to.lat })),
    ];
    traps.push({
      trap: `pair at ${metres} m`,
      planting: 'figment-white-oak',
      trees: pair,
      expected: { metres, mostMembers: answer },
      why: `A quarter mile is ${SPACING} m: ${answer === 1 ? 'too near by about a metre' : 'far enough by less than a metre'}.`,
    });
  }

  const corner = find(
    'tree across the corner',
    r,
    [zone('Z1'), level(one, ELEVATION - 15), alike(one, 0.1), wild, far(600)],
    { at: [CORNER[0] - 1500, CORNER[1] - 1500], metres: 4200 },
  );
  traps.push({
    trap: 'across a corner-only zone',
    planting: 'figment-white-oak',
    trees: [put(natural(corner, SPECIES_1, { ...FAIR }))],
    expected: { standing: 'ruled out', findings: { zone: 'fail', elevation: 'pass' } },
    why: 'Zones Z1 and Z5 meet at one point and share no edge.',
  });

  const low = find(
    'wrong elevation',
    r,
    [
      zone(...NEIGHBOURS_1),
      (p) => Math.abs(g.elevation(p) - g.elevation(one)) > ELEVATION + 30,
      wild,
      far(600),
    ],
    { at: one, metres: 14_000 },
  );
  traps.push({
    trap: 'right distance, wrong elevation',
    planting: 'figment-white-oak',
    trees: [put(natural(low, SPECIES_1, { ...FAIR }))],
    expected: { standing: 'ruled out', findings: { elevation: 'fail', zone: 'pass' } },
    why: 'Near the site and in a zone that counts, but more than 150 m higher or lower.',
  });

  const hole = place1('hole in the elevation raster');
  traps.push({
    trap: 'nodata hole (elevation)',
    planting: 'figment-white-oak',
    trees: [put(natural(hole, SPECIES_1, { ...FAIR }))],
    expected: { standing: 'needs a check', findings: { elevation: 'unknown' } },
    why: 'The elevation raster has no value here: unknown is not a pass.',
  });
  const dry = place1('hole in the precipitation raster', far(2600));
  traps.push({
    trap: 'nodata hole (precipitation)',
    planting: 'figment-white-oak',
    trees: [put(natural(dry, SPECIES_1, { ...FAIR }))],
    expected: { standing: 'needs a check', findings: { match: 'unknown' } },
    why: 'One of the four variables has no value here, so the match is not known.',
  });

  const vague = Array.from({ length: 6 }, (_, k) =>
    put(
      natural(place1(`vague ${k}`), SPECIES_1, {
        ...FAIR,
        accuracy: 500,
        notes: 'position from an old map sheet',
      }),
    ),
  );
  traps.push({
    trap: 'position good to 500 m only',
    planting: 'figment-white-oak',
    trees: vague,
    expected: { standing: 'ruled out', findings: { accuracy: 'fail' } },
    why: 'A circle of 500 m says little about the ground, the zone edge or the neighbours.',
  });

  const shut = Array.from({ length: 4 }, (_, k) =>
    put(
      natural(place1(`refused ${k}`), SPECIES_1, {
        ...FAIR,
        owner: REFUSING[k % REFUSING.length],
        permission: 'refused',
        notes: 'owner said no; do not enter',
      }),
    ),
  );
  traps.push({
    trap: 'owner refused',
    planting: 'figment-white-oak',
    trees: shut,
    expected: { standing: 'ruled out', findings: { permission: 'fail' } },
    why: 'The owner refused.',
  });

  const mixed = place1('hybrid neighbours');
  const tree = put(natural(mixed, SPECIES_1, { ...FAIR, notes: 'leaves vary on one branch' }));
  const kin = [
    [35, 20],
    [-28, 42],
    [12, -55],
  ].map(([du, dv]) => put(natural([mixed[0] + du, mixed[1] + dv], SPECIES_2, { ...MIDDLING })));
  put(
    natural([mixed[0] + 60, mixed[1] - 20], 'Quercus alba x montana', {
      ...MIDDLING,
      name: 'Oak between two kinds',
      notes: 'leaf between white and chestnut oak',
    }),
  );
  traps.push({
    trap: 'hybrid neighbours of the same section',
    planting: 'figment-white-oak',
    trees: [tree, ...kin],
    expected: { findings: { hybrid: 'fail' } },
    why: 'Chestnut oaks of the white-oak section stand within 100 m of the first tree.',
  });

  // A grove: many trees, all within a quarter mile of one another.
  const grove = (
    what: string,
    species: string,
    site: Local,
    keys: string[],
    around: { at: Local; metres: number },
  ): Tree[] => {
    const c = find(
      what,
      r,
      [level(site, SAFE_ELEVATION), zone(...keys), alike(site, PLAIN_MATCH), far(1500), wild],
      around,
    );
    const list: Tree[] = [];
    while (list.length < GROVE) {
      const p: Local = [
        c[0] + r.between(-GROVE_RADIUS, GROVE_RADIUS),
        c[1] + r.between(-GROVE_RADIUS, GROVE_RADIUS),
      ];
      if (
        (p[0] - c[0]) ** 2 + (p[1] - c[1]) ** 2 > GROVE_RADIUS ** 2 ||
        list.some((t) => (placeOf(t)[0] - p[0]) ** 2 + (placeOf(t)[1] - p[1]) ** 2 < 22 ** 2) ||
        ![41, 43].includes(g.coverAt(p))
      )
        continue;
      list.push(
        put(
          natural(p, species, {
            form: r.int(2, 3),
            crown: r.int(2, 3),
            crop: r.int(1, 3),
            stand: standAt(c),
          }),
        ),
      );
    }
    return list;
  };
  traps.push({
    trap: 'dense grove',
    planting: 'figment-white-oak',
    trees: grove('grove 1', SPECIES_1, one, [HOME_1, 'Z2', 'Z4'], near1),
    expected: { mostMembers: 1 },
    why: 'Every two of these trees stand within a quarter mile.',
  });

  // Planting 2: what the home zone has, and no more.
  const singles = Array.from({ length: SINGLES_2 }, (_, k) =>
    put(
      natural(
        find(
          `single ${k}`,
          r,
          [zone(HOME_2), level(two, SAFE_ELEVATION), alike(two, PLAIN_MATCH), far(1300), wild],
          { at: two, metres: 12_000 },
        ),
        SPECIES_2,
        { form: 3, crown: r.int(2, 4), crop: r.int(2, 3) },
      ),
    ),
  );
  const grove2 = grove('grove 2', SPECIES_2, two, [HOME_2], { at: two, metres: 12_000 });
  traps.push({
    trap: 'home zone has too few',
    planting: 'notional-chestnut-oak',
    trees: [...singles, ...grove2],
    expected: { mostMembers: SINGLES_2 + 1 },
    why: 'Five single trees and one grove: six members at most, where ten are wanted and adjacent zones are not allowed.',
  });
  traps.push({
    trap: 'dense grove',
    planting: 'notional-chestnut-oak',
    trees: grove2,
    expected: { mostMembers: 1 },
    why: 'Every two of these trees stand within a quarter mile.',
  });

  const outside = find('outside the range', r, [(p) => p[0] > 52_000 && p[1] > 50_000, wild, far(500)]);
  traps.push({
    trap: "outside the species' range",
    planting: '',
    trees: [
      put(
        natural(outside, 'Quercus stellata', {
          ...MIDDLING,
          establishmentMeans: '',
          degreeOfEstablishment: '',
          regeneration: '',
        }),
      ),
    ],
    expected: {},
    why: 'The invented native range of this species ends more than 50 km to the south-west.',
  });

  people(g, r, put, traps);

  // The same tree twice: once the same line again, once under another number by another person.
  const again = stars[1];
  traps.push({
    trap: 'duplicate (same id)',
    planting: '',
    trees: [again],
    expected: { duplicate: true },
    why: 'The line stands twice in the file.',
  });
  const first = vague.length
    ? put(natural(place1('twice seen'), SPECIES_1, { ...FAIR, accuracy: 8 }))
    : again;
  const shifted = byGeodesic(placeOf(first), 70, 4);
  const second = put({
    ...first,
    name: 'White oak, forked at ten feet',
    lon: shifted.lon,
    lat: shifted.lat,
    accuracy: 10,
    identifiedBy: 'T. Exemplar',
    date: '2025-09-30',
    notes: 'no tag seen',
  });
  traps.push({
    trap: 'duplicate (two ids)',
    planting: '',
    trees: [first, second],
    expected: { duplicate: true, metres: 4 },
    why: 'Four metres apart with accuracies of 8 and 10 m, same species: one tree.',
  });
  return { trees, traps, sites: { one, two }, kept, holes: { elevation: hole, precipitation: dry } };
}

/** Trees that people planted: rows, a plantation, street trees, yard trees. */
function people(g: Ground, r: Rng, put: (t: Tree) => Tree, traps: Trap[]): void {
  const planted = ['likely planted', 'unsettled', 'not enough evidence'];
  const bare: Partial<Tree> = {
    establishmentMeans: '',
    degreeOfEstablishment: '',
    regeneration: 'none',
    stand: '',
  };
  const town = g.towns[0];
  const edge = (town.half + 0.9) * BLOCK;

  // A row beside the road: even steps, one size.
  const roads = g.roads.filter(
    (x) => x.highway === 'secondary' && !x.name.startsWith('Main ') && x.line.length > 4,
  );
  const road = roads.find((x) =>
    x.line.some(
      (p, k) =>
        k > 0 &&
        (p[0] - x.line[k - 1][0]) ** 2 + (p[1] - x.line[k - 1][1]) ** 2 > 150 ** 2 &&
        g.zoneOf(p) === HOME_1,
    ),
  );
  if (!road) throw new Error('no straight road for the row');
  const k = road.line.findIndex(
    (p, i) => i > 0 && (p[0] - road.line[i - 1][0]) ** 2 + (p[1] - road.line[i - 1][1]) ** 2 > 150 ** 2,
  );
  const [a, b] = [road.line[k - 1], road.line[k]];
  const d = Math.sqrt((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2);
  const [x, y] = [(b[0] - a[0]) / d, (b[1] - a[1]) / d];
  const row = Array.from({ length: 11 }, (_, i) =>
    put(
      treeAt([a[0] + x * (14 + 12 * i) - y * 9, a[1] + y * (14 + 12 * i) + x * 9], SPECIES_1, r, {
        ...bare,
        ...ownerAt(a, 'granted'),
        dbh: 41 + r.int(-1, 1),
        form: 3,
        crown: 3,
        crop: 3,
        setting: 'street verge',
        name: `Row oak ${i + 1} by the ${road.name}`,
        notes: '',
      }),
    ),
  );
  traps.push({
    trap: 'planted row along a road',
    planting: 'figment-white-oak',
    trees: row,
    expected: { origin: planted },
    why: 'Eleven trees of one size, 12 m apart, 9 m from the road.',
  });

  // A plantation on the campus.
  const block = [];
  for (let i = 0; i < 4; i++)
    for (let j = 0; j < 6; j++)
      block.push(
        put(
          treeAt(inTown(town, -(edge + 150) - 9 * i, -40 + 9 * j), SPECIES_1, r, {
            ...bare,
            ...ownerAt(town.centre, 'granted'),
            owner: `${town.name} College (invented)`,
            dbh: 24 + r.int(-2, 2),
            form: 3,
            crown: 2,
            crop: 1,
            setting: 'campus',
            establishmentMeans: 'introduced',
            degreeOfEstablishment: 'cultivated',
            name: `Campus block ${i + 1}-${j + 1}`,
            notes: 'in a block of even age',
          }),
        ),
      );
  traps.push({
    trap: 'planted rows (block)',
    planting: 'figment-white-oak',
    trees: block,
    expected: { standing: 'ruled out', origin: ['likely planted'] },
    why: 'Four rows of six at 9 m on a campus.',
  });

  const listed = g.inventory.filter(
    (t) => t.where === 'street verge' && ['Quercus alba', 'Quercus rubra'].includes(t.species),
  );
  const street = Array.from({ length: 24 }, (_, i) => {
    const t = listed[Math.floor((i * listed.length) / 24)];
    return put(
      treeAt([t.place[0] + r.between(-1.6, 1.6), t.place[1] + r.between(-1.6, 1.6)], t.species, r, {
        ...bare,
        owner: 'Town of Figment',
        permission: 'granted',
        dbh: t.dbh,
        setting: 'street verge',
        name: `Street tree ${i + 1}`,
        notes: '',
      }),
    );
  });
  traps.push({
    trap: 'street tree',
    planting: '',
    trees: street,
    expected: { origin: ['likely planted'] },
    why: 'Within 5 m of an entry of the street-tree inventory, in the verge.',
  });

  const homes = g.farmsteads.slice(0, 420).filter((_, i) => i % 14 === 0);
  const yard = homes.map((f, i) => {
    const place: Local = [f.house[0] + r.between(12, 20) * (i % 2 ? 1 : -1), f.house[1] + r.between(-12, 12)];
    return put(
      treeAt(place, i % 3 === 2 ? 'Quercus rubra' : SPECIES_1, r, {
        ...bare,
        setting: 'yard',
        name: `Yard oak ${i + 1}`,
        form: 2,
        crown: 4,
        crop: 3,
        notes: i % 5 === 0 ? 'owner says grandfather set it out' : '',
      }),
    );
  });
  traps.push({
    trap: 'yard tree',
    planting: '',
    trees: yard,
    expected: { origin: planted },
    why: 'In a yard, 12 to 20 m from a house.',
  });
}
