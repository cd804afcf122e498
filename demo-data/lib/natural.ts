/** Natural trees of planting 1 with one thing wrong or special each, and those that planting 2 can have. */
import { makeGrove, type Bench } from './bench.ts';
import type { Local } from './frame.ts';
import { REFUSING, placeOf, standAt, type Tree } from './notebook.ts';
import { byGeodesic, find, type Test } from './search.ts';
import {
  ARM,
  CORNER_MATCH,
  COUNTED_1,
  ELEVATION,
  FAIR,
  GREEDY_LOSS,
  HEAVY,
  HOME_1,
  HOME_2,
  MIDDLING,
  PAIR_FAR,
  PAIR_NEAR,
  PLAIN_MATCH,
  PLANTING_1,
  PLANTING_2,
  REACH_1,
  REACH_2,
  SAFE_ELEVATION,
  SINGLES_2,
  SPACING,
  SPECIES_1,
  SPECIES_2,
  STARS,
  STAR_APART,
  STAR_MATCH,
  STAR_RADIUS,
} from './tuning.ts';
import { CORNER } from './zones.ts';
import { Near } from './near.ts';

/** A place in the woods where a tree would be eligible for planting 1. */
function place1(b: Bench, what: string, ...more: Test[]): Local {
  const tests = [
    b.level(b.one, SAFE_ELEVATION),
    b.zone(...COUNTED_1),
    b.alike(b.one, PLAIN_MATCH),
    b.far(1000),
    b.wild,
    ...more,
  ];
  return find(what, b.r, tests, { at: b.one, metres: REACH_1 });
}

/** The layout on which heaviest-first does badly. */
export function makeStars(b: Bench): Tree[] {
  const stars: Tree[] = [];
  const centres = new Near(STAR_APART);
  STARS.forEach((arms, s) => {
    const first = b.r.between(0, 360);
    // Two arms not quite opposite, so that it does not look drawn with a ruler.
    const turn = (a: number): number => first + (360 / arms) * a + (arms === 2 ? 25 * a : 0);
    const ring = (c: Local): ReturnType<typeof byGeodesic>[] =>
      Array.from({ length: arms }, (_, a) => byGeodesic(c, turn(a), STAR_RADIUS));
    const fit: Test = (p) => b.wild(p) && b.level(b.one, SAFE_ELEVATION)(p) && b.alike(b.one, STAR_MATCH)(p);
    const tests: Test[] = [
      b.zone(...COUNTED_1),
      b.far(1200),
      (p) => !centres.within(p, STAR_APART),
      fit,
      (p) => ring(p).every((q) => fit(q.place)),
    ];
    const centre = find(`star ${s}`, b.r, tests, { at: b.one, metres: REACH_1 });
    centres.add(centre);
    stars.push(b.put(b.natural(centre, SPECIES_1, { ...HEAVY, notes: 'best crop on this ridge' })));
    for (const { place, lon, lat } of ring(centre))
      stars.push(b.put(b.natural(place, SPECIES_1, { ...ARM, lon, lat, stand: standAt(centre) })));
  });
  b.traps.push({
    trap: 'heaviest-first is worse',
    planting: PLANTING_1,
    trees: stars,
    expected: { standing: 'eligible', all: true, betterThanGreedy: GREEDY_LOSS },
    why: 'Each star is one heavy tree within a quarter mile of two or three that are slightly lighter but far enough from one another: taking the heavy tree loses all of them.',
  });
  return stars;
}

function makePairs(b: Bench): void {
  for (const [metres, most] of [
    [PAIR_NEAR, 1],
    [PAIR_FAR, 2],
  ] as const) {
    const azimuth = b.r.between(0, 360);
    const fit: Test = (p) =>
      b.wild(p) &&
      b.level(b.one, SAFE_ELEVATION)(p) &&
      b.zone(...COUNTED_1)(p) &&
      b.alike(b.one, PLAIN_MATCH)(p);
    const from = place1(b, `pair at ${metres} m`, (p) => fit(byGeodesic(p, azimuth, metres).place));
    const to = byGeodesic(from, azimuth, metres);
    const trees = [
      b.put(b.natural(from, SPECIES_1, { ...MIDDLING })),
      b.put(b.natural(to.place, SPECIES_1, { ...MIDDLING, lon: to.lon, lat: to.lat })),
    ];
    b.traps.push({
      trap: `pair at ${metres} m`,
      planting: PLANTING_1,
      trees,
      expected: { standing: 'eligible', all: true, metres, mostMembers: most },
      why: `A quarter mile is ${SPACING} m: ${most === 1 ? 'too near by more than a metre' : 'far enough by less than a metre'}.`,
    });
  }
}

/** Traps of place, record and neighbours. Gives the middles of the two nodata holes. */
export function makeNaturalTraps(b: Bench): { elevation: Local; precipitation: Local } {
  const { r, g } = b;
  makePairs(b);
  const corner = find(
    'tree across the corner',
    r,
    [b.zone('Z1'), b.level(b.one, ELEVATION - 15), b.alike(b.one, CORNER_MATCH), b.wild, b.far(600)],
    { at: [CORNER[0] - 1500, CORNER[1] - 1500], metres: 4200 },
  );
  b.traps.push({
    trap: 'across a corner-only zone',
    planting: PLANTING_1,
    trees: [b.put(b.natural(corner, SPECIES_1, { ...FAIR }))],
    expected: { standing: 'ruled out', findings: { zone: 'fail', elevation: 'pass', match: 'pass' } },
    why: 'Zones Z1 and Z5 meet at one point and share no edge.',
  });
  const wrong: Test = (p) => Math.abs(g.elevation(p) - g.elevation(b.one)) > ELEVATION + 30;
  const low = find('wrong elevation', r, [b.zone(...COUNTED_1), wrong, b.wild, b.far(600)], {
    at: b.one,
    metres: 14_000,
  });
  b.traps.push({
    trap: 'right distance, wrong elevation',
    planting: PLANTING_1,
    trees: [b.put(b.natural(low, SPECIES_1, { ...FAIR }))],
    expected: { standing: 'ruled out', findings: { elevation: 'fail', zone: 'pass' } },
    why: 'Near the site and in a zone that counts, but more than 150 m higher or lower.',
  });
  const elevation = place1(b, 'hole in the elevation raster');
  b.traps.push({
    trap: 'nodata hole (elevation)',
    planting: PLANTING_1,
    trees: [b.put(b.natural(elevation, SPECIES_1, { ...FAIR }))],
    expected: { standing: 'needs a check', findings: { elevation: 'unknown' } },
    why: 'The elevation raster has no value here: unknown is not a pass.',
  });
  const precipitation = place1(b, 'hole in the precipitation raster', b.far(2600));
  b.traps.push({
    trap: 'nodata hole (precipitation)',
    planting: PLANTING_1,
    trees: [b.put(b.natural(precipitation, SPECIES_1, { ...FAIR }))],
    expected: { standing: 'needs a check', findings: { match: 'unknown' } },
    why: 'One of the four variables has no value here, so the match is not known.',
  });
  // No other planned tree may fall into the holes.
  b.kept.add([precipitation[0] + 700, precipitation[1] + 700]);
  b.kept.add([precipitation[0] - 700, precipitation[1] - 700]);
  const vague = Array.from({ length: 6 }, (_, k) =>
    b.put(
      b.natural(place1(b, `vague ${k}`), SPECIES_1, {
        ...FAIR,
        accuracy: 500,
        notes: 'position from an old map sheet',
      }),
    ),
  );
  b.traps.push({
    trap: 'position good to 500 m only',
    planting: PLANTING_1,
    trees: vague,
    expected: { standing: 'ruled out', findings: { accuracy: 'fail' }, all: true },
    why: 'A circle of 500 m says little about the ground, the zone edge or the neighbours.',
  });
  const shut = Array.from({ length: 4 }, (_, k) =>
    b.put(
      b.natural(place1(b, `refused ${k}`), SPECIES_1, {
        ...FAIR,
        owner: REFUSING[k % REFUSING.length],
        permission: 'refused',
        notes: 'owner said no; do not enter',
      }),
    ),
  );
  b.traps.push({
    trap: 'owner refused',
    planting: PLANTING_1,
    trees: shut,
    expected: { standing: 'ruled out', findings: { permission: 'fail' }, all: true },
    why: 'The owner refused.',
  });
  makeHybrid(b);
  const grove = makeGrove(
    b,
    'grove 1',
    SPECIES_1,
    [b.level(b.one, SAFE_ELEVATION), b.zone(HOME_1, 'Z2', 'Z4'), b.alike(b.one, PLAIN_MATCH)],
    { at: b.one, metres: REACH_1 },
  );
  b.traps.push({
    trap: 'dense grove',
    planting: PLANTING_1,
    trees: grove,
    expected: { mostMembers: 1 },
    why: 'Every two of these trees stand within a quarter mile.',
  });
  return { elevation, precipitation };
}

function makeHybrid(b: Bench): void {
  const mixed = place1(b, 'hybrid neighbours', b.zone(HOME_1, 'Z4', 'Z2'));
  const tree = b.put(b.natural(mixed, SPECIES_1, { ...FAIR, notes: 'leaves vary on one branch' }));
  const beside = (du: number, dv: number): Local => [mixed[0] + du, mixed[1] + dv];
  const kin = [beside(35, 20), beside(-28, 42), beside(12, -55)].map((p) =>
    b.put(b.natural(p, SPECIES_2, { ...MIDDLING })),
  );
  b.put(
    b.natural(beside(60, -20), 'Quercus alba x montana', {
      ...MIDDLING,
      name: 'Oak between two kinds',
      notes: 'leaf between white and chestnut oak',
    }),
  );
  b.traps.push({
    trap: 'hybrid neighbours of the same section',
    planting: PLANTING_1,
    trees: [tree, ...kin],
    expected: { findings: { hybrid: 'fail' } },
    why: 'Chestnut oaks of the white-oak section stand within 100 m of the first tree.',
  });
}

/** Planting 2: what the home zone has, and no more. */
export function makeTooFew(b: Bench): void {
  const around = { at: b.two, metres: REACH_2 };
  const tests = [b.zone(HOME_2), b.level(b.two, SAFE_ELEVATION), b.alike(b.two, PLAIN_MATCH)];
  const singles = Array.from({ length: SINGLES_2 }, (_, k) =>
    b.put(
      b.natural(find(`single ${k}`, b.r, [...tests, b.far(1300), b.wild], around), SPECIES_2, {
        form: 3,
        crown: b.r.int(2, 4),
        crop: b.r.int(2, 3),
      }),
    ),
  );
  const grove = makeGrove(b, 'grove 2', SPECIES_2, tests, around);
  b.traps.push(
    {
      trap: 'home zone has too few',
      planting: PLANTING_2,
      trees: [...singles, ...grove],
      expected: { standing: 'eligible', all: true, mostMembers: SINGLES_2 + 1 },
      why: 'Five single trees and one grove: six members at most, where ten are wanted and adjacent zones are not allowed.',
    },
    {
      trap: 'dense grove',
      planting: PLANTING_2,
      trees: grove,
      expected: { mostMembers: 1 },
      why: 'Every two of these trees stand within a quarter mile.',
    },
  );
}

/** A tree far outside the range of its species. */
export function makeOutside(b: Bench): void {
  const p = find('outside the range', b.r, [(q) => q[0] > 52_000 && q[1] > 50_000, b.wild, b.far(500)]);
  b.traps.push({
    trap: "outside the species' range",
    planting: '',
    trees: [
      b.put(
        b.natural(p, 'Quercus stellata', {
          ...MIDDLING,
          establishmentMeans: '',
          degreeOfEstablishment: '',
          regeneration: '',
        }),
      ),
    ],
    expected: { outsideRange: 50_000 },
    why: 'The invented native range of this species ends more than 50 km to the south-west.',
  });
}

/** The same tree twice: once the same line again (the writer of the file repeats it), once under another number by another person. */
export function makeDuplicates(b: Bench, again: Tree): void {
  b.traps.push({
    trap: 'duplicate (same id)',
    planting: '',
    trees: [again],
    expected: { duplicate: true },
    why: 'The line stands twice in the file.',
  });
  const first = b.put(b.natural(place1(b, 'twice seen'), SPECIES_1, { ...FAIR, accuracy: 8 }));
  const { lon, lat } = byGeodesic(placeOf(first), 70, 4);
  const second = b.put({
    ...first,
    name: 'White oak, forked at ten feet',
    lon,
    lat,
    accuracy: 10,
    identifiedBy: 'T. Exemplar',
    date: '2025-09-30',
    notes: 'no tag seen',
  });
  b.traps.push({
    trap: 'duplicate (two ids)',
    planting: '',
    trees: [first, second],
    expected: { duplicate: true, metres: 4 },
    why: 'Four metres apart with accuracies of 8 and 10 m, same species: one tree.',
  });
}
