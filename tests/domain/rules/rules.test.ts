import { describe, expect, test } from 'vitest';
import type { ZoneAdjacency } from '../../../src/domain/layers/zones.ts';
import { OAKS, resolveSpecies } from '../../../src/domain/species/species.ts';
import { accuracy } from '../../../src/domain/vetting/rules/accuracy.ts';
import { elevation } from '../../../src/domain/vetting/rules/elevation.ts';
import { hybrid } from '../../../src/domain/vetting/rules/hybrid.ts';
import { identification } from '../../../src/domain/vetting/rules/identification.ts';
import { match } from '../../../src/domain/vetting/rules/match.ts';
import { origin } from '../../../src/domain/vetting/rules/origin.ts';
import { permission } from '../../../src/domain/vetting/rules/permission.ts';
import { record } from '../../../src/domain/vetting/rules/record.ts';
import { road } from '../../../src/domain/vetting/rules/road.ts';
import { findings } from '../../../src/domain/vetting/rules/rules.ts';
import { slope } from '../../../src/domain/vetting/rules/slope.ts';
import { species } from '../../../src/domain/vetting/rules/species.ts';
import { tolerance } from '../../../src/domain/vetting/rules/tolerance.ts';
import { transfer } from '../../../src/domain/vetting/rules/transfer.ts';
import { ANSWERS, type FindingColumn } from '../../../src/domain/vetting/rules/types.ts';
import { zone } from '../../../src/domain/vetting/rules/zone.ts';
import { make, type Short } from '../candidates/make.ts';
import { matchColumns, originOf, ruleInput, rules, site } from '../vetting/make.ts';

const must = 'must' as const;
const answers = (f: FindingColumn | null): string[] => [...(f?.answer ?? [])].map((a) => ANSWERS[a]);
const words = (f: FindingColumn | null): string[] =>
  [...(f?.measure ?? [])].map((m) => f?.words?.[m] ?? 'unknown');
const some = (n: number): Short[] => Array.from({ length: n }, () => ({}));

test('species: the species passes; hybrids and others fail; a name that is not known is unknown', () => {
  const c = make(
    [
      'Quercus alba',
      'Q. alba x macrocarpa',
      'Q. macrocarpa x alba',
      'bur oak',
      'red oak',
      'Q. rubra x velutina',
    ].map((s) => ({ species: s })),
  );
  const f = species(ruleInput(c, {}, { species: resolveSpecies('Quercus alba').species }), {
    strength: must,
  });
  expect(answers(f)).toEqual(['pass', 'fail', 'fail', 'fail', 'unknown', 'fail']);
  expect(words(f)).toEqual([
    'the species',
    'a hybrid of it',
    'a hybrid of it',
    'another species',
    'unknown',
    'another species',
  ]);
  expect(f?.limit).toBe('Quercus alba');
  // A planting of a species that is not in the table passes nobody.
  expect(answers(species(ruleInput(c, {}, { species: -1 }), { strength: must }))).toEqual(
    Array(6).fill('unknown'),
  );
  expect(OAKS[0].name).toBe('Quercus alba');
});

describe('zone', () => {
  const adjacency: ZoneAdjacency = {
    snap: 30,
    pairs: [
      { a: 0, b: 1, contact: 'edge', sharedMetres: 900 },
      { a: 1, b: 2, contact: 'corner', sharedMetres: 0 },
      { a: 2, b: 3, contact: 'edge', sharedMetres: 900 },
    ],
  };
  const zones = { keys: ['A', 'B', 'C', 'D'], names: ['A', 'B', 'C', 'D'], adjacency };
  const settings = { strength: must, adjacent: true, cornerCounts: false, snap: 30 };
  const input = ruleInput(make(some(5)), { zone: [0, 1, 2, 3, -1] }, { zones, sites: [site({ zone: 1 })] });

  test('home and adjacent pass, a corner and others fail, outside all zones is unknown', () => {
    const f = zone(input, settings);
    expect(answers(f)).toEqual(['pass', 'pass', 'fail', 'fail', 'unknown']);
    expect(words(f)).toEqual(['adjacent zone', 'home zone', 'corner only', 'another zone', 'unknown']);
    expect(f?.limit).toBe('zone B of the site or adjacent');
  });
  test('a corner counts where the user says so; adjacent zones do not where he says not', () => {
    expect(answers(zone(input, { ...settings, cornerCounts: true }))).toEqual([
      'pass',
      'pass',
      'pass',
      'fail',
      'unknown',
    ]);
    expect(answers(zone(input, { ...settings, adjacent: false, cornerCounts: true }))).toEqual([
      'fail',
      'pass',
      'fail',
      'fail',
      'unknown',
    ]);
  });
  test('no zones, site outside all zones, no table of neighbours', () => {
    expect(answers(zone(ruleInput(make(some(1))), settings))).toEqual(['unknown']);
    expect(answers(zone({ ...input, sites: [site()] }, settings))).toEqual(Array(5).fill('unknown'));
    const alone = { ...input, zones: { ...zones, adjacency: null } };
    expect(answers(zone(alone, settings))).toEqual(['unknown', 'pass', 'unknown', 'unknown', 'unknown']);
    expect(answers(zone(alone, { ...settings, adjacent: false }))).toEqual([
      'fail',
      'pass',
      'fail',
      'fail',
      'unknown',
    ]);
  });
});

describe('elevation', () => {
  const at200 = site({ elevation: 200.1 });
  test('limits count as within, on both sides', () => {
    const input = ruleInput(
      make(some(6)),
      { elevation: [350.1, 350.2, 50.1, 50, 200.1, NaN] },
      { sites: [at200] },
    );
    const f = elevation(input, { strength: must, lower: 150, higher: 150 });
    expect(answers(f)).toEqual(['pass', 'fail', 'pass', 'fail', 'pass', 'unknown']);
    expect(f?.measure[0]).toBeCloseTo(150, 9);
    expect(f?.limit).toBe('within 150 m of the site');
  });
  test('in feet: site 1,900, tree 1,250; a limit of 500 fails, 700 passes (difference 650)', () => {
    const ft = 0.3048;
    const input = ruleInput(
      make(some(1)),
      { elevation: [1250 * ft] },
      { sites: [site({ elevation: 1900 * ft })] },
    );
    expect(answers(elevation(input, { strength: must, lower: 500 * ft, higher: 500 * ft }))).toEqual([
      'fail',
    ]);
    expect(answers(elevation(input, { strength: must, lower: 700 * ft, higher: 700 * ft }))).toEqual([
      'pass',
    ]);
    expect(answers(elevation(input, { strength: must, lower: 650 * ft, higher: 0 }))).toEqual(['pass']);
  });
  test('limits may differ; without the site’s elevation nothing is known', () => {
    const input = ruleInput(make(some(2)), { elevation: [150, 260] }, { sites: [at200] });
    const f = elevation(input, { strength: must, lower: 40, higher: 60 });
    expect(answers(f)).toEqual(['fail', 'pass']);
    expect(f?.limit).toBe('at most 40 m below and 60 m above the site');
    expect(
      answers(
        elevation(ruleInput(make(some(1)), { elevation: [150] }), { strength: must, lower: 40, higher: 60 }),
      ),
    ).toEqual(['unknown']);
  });
});

test('transfer: distance, and its northward and southward parts', () => {
  const input = ruleInput(make(some(6)), {
    distance: [100, 170, 120, 120, NaN, 100],
    northward: [50, 0, 110, -90, NaN, NaN],
  });
  const f = transfer(input, { strength: must, km: 160, northKm: 100, southKm: 80 });
  expect(answers(f)).toEqual(['pass', 'fail', 'fail', 'fail', 'unknown', 'unknown']);
  expect(f?.limit).toBe('at most 160 km, 100 km northward, 80 km southward');
  expect(transfer(input, { strength: must, km: 160, northKm: 160, southKm: 160 })?.limit).toBe(
    'at most 160 km',
  );
});

describe('match and tolerance', () => {
  const columns = matchColumns([0.05, 0.049, NaN], [12.5, 14, NaN]);
  const input = ruleInput(make(some(3)), {}, { match: columns, sites: [site({ values: [12] })] });
  test('match', () => {
    expect(answers(match(input, { strength: must, least: 0.05 }))).toEqual(['pass', 'fail', 'unknown']);
    expect(answers(match(ruleInput(make(some(2))), { strength: must, least: 0.05 }))).toEqual([
      'unknown',
      'unknown',
    ]);
  });
  test('a band about the site in the unit of the variable', () => {
    const f = tolerance(input, { variable: 'mat', strength: must, below: 1, above: 0.5 });
    expect(answers(f)).toEqual(['pass', 'fail', 'unknown']);
    expect([f?.rule, f?.title, f?.unit, f?.limit]).toEqual([
      'tolerance:mat',
      'Mean annual temperature',
      '°C',
      'at most 1 °C below and 0.5 °C above the site',
    ]);
  });
  test('a variable that is not in the match is unknown and says what to do', () => {
    const f = tolerance(input, { variable: 'rain', strength: must, below: 1, above: 1 });
    expect(answers(f)).toEqual(['unknown', 'unknown', 'unknown']);
    expect(f?.toCheck).toContain('"rain"');
  });
});

test('origin: unsettled is no verdict, too little evidence never passes', () => {
  const c = make(some(4));
  const one = (piece: string, ratio: number) => ({
    piece,
    steps: [{ below: 0.5, ratio }, { below: 1.5, ratio: 1 }, { ratio: 1 / ratio }],
    note: '',
  });
  const table = {
    version: 'x',
    note: '',
    prior: 1,
    pieces: [one('developed100', 10), { piece: 'building', steps: [{ ratio: 1 }], note: '' }],
  };
  const values = { developed100: [0, 1, 2, NaN], building: [0, 0, 0, 0] };
  const input = ruleInput(c, values, { origin: originOf(c, values, table) });
  expect(words(origin(input, { strength: must, least: 'likely natural' }))).toEqual([
    'likely natural',
    'unsettled',
    'likely planted',
    'not enough evidence',
  ]);
  expect(answers(origin(input, { strength: must, least: 'likely natural' }))).toEqual([
    'pass',
    'unknown',
    'fail',
    'unknown',
  ]);
  expect(answers(origin(input, { strength: must, least: 'unsettled' }))).toEqual([
    'pass',
    'pass',
    'fail',
    'unknown',
  ]);
});

test('identification: a name and a key', () => {
  const given = [
    ['B. Botanist', 'state key'],
    ['B. Botanist', ''],
    ['', 'state key'],
    ['', ''],
    ['B. Botanist', 'no'],
    ['', 'no'],
  ];
  const c = make(given.map(([identifiedBy, keyUsed]) => ({ text: { identifiedBy, keyUsed } })));
  expect(answers(identification(ruleInput(c), { strength: 'prefer' }))).toEqual([
    'pass',
    'unknown',
    'unknown',
    'unknown',
    'fail',
    'unknown',
  ]);
  expect(answers(identification(ruleInput(make([{}])), { strength: 'prefer' }))).toEqual(['unknown']);
  // Whoever gave it: a name with a qualifier is not certain.
  const by = { identifiedBy: 'B. Botanist', keyUsed: 'state key' };
  const doubted = make([
    { species: 'Q. cf. alba', text: by },
    { species: 'Quercus sp.', text: { ...by, qualifier: 'aff. alba' } },
    { species: 'Quercus sp.', text: by },
  ]);
  const f = identification(ruleInput(doubted), { strength: 'prefer' });
  expect(answers(f)).toEqual(['unknown', 'unknown', 'pass']);
  expect(words(f)).toEqual(['named with doubt', 'named with doubt', 'named person, with a key']);
});

test('hybrid risk, accuracy, road and slope: at most, the limit included, not known is unknown', () => {
  const input = ruleInput(make([{ accuracy: 100 }, { accuracy: 100.5 }, {}]), {
    kin: [0, 1, NaN],
    drivable: [1500, 1501, NaN],
    slope: [30, 31, NaN],
  });
  const expected = ['pass', 'fail', 'unknown'];
  expect(answers(hybrid(input, { strength: must, radius: 100, most: 0 }))).toEqual(expected);
  expect(answers(accuracy(input, { strength: must, most: 100 }))).toEqual(expected);
  expect(answers(road(input, { strength: must, most: 1500 }))).toEqual(expected);
  expect(answers(slope(input, { strength: must, most: 30 }))).toEqual(expected);
  expect(road(input, { strength: must, most: 1500 })?.limit).toBe('at most 1,500 m');
});

test('hybrid risk by level: the level included, whatever the number; not known is unknown', () => {
  const input = ruleInput(make(some(5)), { kin: [0, 1, 4, 30, NaN], kinLevel: [0, 1, 2, 3, NaN] });
  const settings = { strength: must, radius: 100, most: 0 };
  const f = hybrid(input, { ...settings, level: 'low' });
  expect(answers(f)).toEqual(['pass', 'pass', 'fail', 'fail', 'unknown']);
  expect(words(f)).toEqual(['none on record', 'low', 'moderate', 'high', 'unknown']);
  expect(f?.limit).toBe('at most low, from oaks of the section on record within 100 m');
  expect(answers(hybrid(input, { ...settings, level: 'none on record' }))).toEqual([
    'pass',
    'fail',
    'fail',
    'fail',
    'unknown',
  ]);
  // A plan from before there were levels asks of the number.
  expect(answers(hybrid(input, rules({ hybrid: settings }).hybrid))).toEqual([
    'pass',
    'fail',
    'fail',
    'fail',
    'unknown',
  ]);
  expect(hybrid(input, rules({ hybrid: settings }).hybrid)?.measure).toBe(input.measures.kin);
});

test('permission: granted, asked or not recorded passes, refused fails', () => {
  const c = make([{ permission: 'granted' }, { permission: 'refused' }, { permission: 'asked' }, {}]);
  const f = permission(ruleInput(c), { strength: must });
  expect(answers(f)).toEqual(['pass', 'fail', 'pass', 'pass']);
  expect(f?.toCheck).toMatch(/do not enter/);
});

test('single record: a repeat is held back, not ruled out', () => {
  const c = make([
    { lon: -85, lat: 38 },
    { lon: -85, lat: 38 },
  ]);
  const f = record(ruleInput(c));
  expect(answers(f)).toEqual(['pass', 'unknown']);
  expect(f.strength).toBe('must');
});

describe('the list', () => {
  test('every rule has its own name and title, says its limit and what to check', () => {
    const input = ruleInput(make(some(2)), {}, { match: matchColumns([1, 1], [12, 12]) });
    const { rules: columns } = findings(
      input,
      rules({ tolerance: [{ variable: 'mat', strength: must, below: 1, above: 1 }] }),
    );
    expect(columns).toHaveLength(14);
    expect(new Set(columns.map((c) => c.rule)).size).toBe(14);
    expect(new Set(columns.map((c) => c.title)).size).toBe(14);
    for (const c of columns) {
      expect([c.rule, c.limit !== '', c.toCheck !== '', c.answer.length]).toEqual([c.rule, true, true, 2]);
    }
  });

  test('nothing known: no rule passes but the single record, and the permission that nobody refused', () => {
    const { rules: columns } = findings(
      ruleInput(make([{ species: 'red oak' }])),
      rules({ tolerance: [{ variable: 'mat', strength: must, below: 1, above: 1 }] }),
    );
    for (const c of columns)
      expect([c.rule, ...answers(c)]).toEqual([
        c.rule,
        c.rule === 'record' || c.rule === 'permission' ? 'pass' : 'unknown',
      ]);
  });

  test('a rule that is off gives no finding', () => {
    const off = { strength: 'off' as const };
    const { rules: columns } = findings(
      ruleInput(make(some(1))),
      rules({
        species: off,
        zone: { ...off, adjacent: true, cornerCounts: false, snap: 30 },
        elevation: { ...off, lower: 1, higher: 1 },
        transfer: { ...off, km: 1, northKm: 1, southKm: 1 },
        match: { ...off, least: 0.5 },
        tolerance: [{ variable: 'mat', ...off, below: 1, above: 1 }],
        origin: { ...off, least: 'unsettled' },
        identification: off,
        hybrid: { ...off, radius: 1, most: 0 },
        accuracy: { ...off, most: 1 },
        permission: off,
        road: { ...off, most: 1 },
        slope: { ...off, most: 1 },
      }),
    );
    expect(columns.map((c) => c.rule)).toEqual(['record']);
  });
});
