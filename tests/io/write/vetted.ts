/** Three invented candidates with a vetting made by hand, for the tests of the writers. */
import { parsePlan } from '../../../src/domain/plan/parse.ts';
import type { Candidates } from '../../../src/domain/candidates/candidates.ts';
import type { Plan, Planting } from '../../../src/domain/plan/schema.ts';
import { OAKS } from '../../../src/domain/species/species.ts';
import { NO_SITE, type FindingColumn } from '../../../src/domain/vetting/rules/types.ts';
import { builtInWeights } from '../../../src/domain/vetting/origin/weights.ts';
import type { Vetting } from '../../../src/domain/vetting/vetting.ts';

const oak = (name: string): number => OAKS.findIndex((o) => o.name === name);
const numbers = (...x: number[]): Float64Array => Float64Array.from(x);
const unknown = (): Float64Array => new Float64Array(3).fill(NaN);

export const candidates: Candidates = {
  n: 3,
  id: ['T-1', '-2', 'T-3'],
  lon: numbers(-82.12345678, -82.2, -82.3),
  lat: numbers(39.1, 39.2, 39.3),
  accuracy: numbers(5, NaN, 12),
  species: Int16Array.of(oak('Quercus alba'), -1, oak('Quercus alba')),
  hybrid: Int16Array.of(-1, -1, oak('Quercus montana')),
  speciesText: ['white oak', 'some oak', 'hybrid'],
  dbh: unknown(),
  form: unknown(),
  crown: unknown(),
  crop: unknown(),
  permission: Uint8Array.of(2, 0, 3),
  text: { name: ['Big, old', '', '@home'], owner: ['', '', ''] },
  duplicateOf: Int32Array.of(-1, -1, -1),
};

const read = parsePlan(
  {
    kinstand: 1,
    title: 'Test',
    layers: [],
    plantings: [
      {
        id: 'ridge',
        title: 'Ridge',
        species: 'Quercus alba',
        site: { lon: -82, lat: 39 },
        variables: [],
        locks: ['T-1'],
        overrides: [{ candidate: 'T-3', standing: 'eligible', reason: 'seen, "fine"' }],
      },
    ],
  },
  'plan.json',
);
if (!read.ok) throw new Error(read.failure.what);
export const plan: Plan = read.value;
export const planting: Planting = plan.plantings[0];

const finding = (rule: string, title: string, unit: string, measure: Float64Array): FindingColumn => ({
  rule,
  title,
  strength: 'must',
  answer: Uint8Array.of(0, 2, 1),
  measure,
  unit,
  words: null,
  limit: '',
  limits: {},
  toCheck: '',
  from: '',
  sites: null,
});
const variable = (id: string): NonNullable<Vetting['match']>['variables'][number] => ({
  id,
  title: 'Mean annual temperature',
  unit: '°C',
  transform: 'identity',
  period: '',
  words: ['warmer', 'colder'],
});

export const vetting: Vetting = {
  key: 'k',
  plantingId: 'ridge',
  n: 3,
  measures: {
    elevation: numbers(250, NaN, 300.123456789),
    slope: numbers(4, NaN, 10),
    zone: Int32Array.of(0, -1, 1),
    cover: numbers(41, NaN, 42),
    ground: Int8Array.of(4, -1, 4),
    developed100: unknown(),
    developed500: unknown(),
    forest100: unknown(),
    building: numbers(120, NaN, 30),
    buildings100: unknown(),
    buildingYear: unknown(),
    road: unknown(),
    roadEdge: unknown(),
    drivable: unknown(),
    roadRow: unknown(),
    inventory: unknown(),
    plantedOnRecord: new Map(),
    setting: Int16Array.of(-1, -1, 0),
    settingYear: unknown(),
    developedYear: unknown(),
    range: unknown(),
    kin: unknown(),
    kinShare: unknown(),
    kinLevel: unknown(),
    age: unknown(),
    measuredYear: unknown(),
    group: Int32Array.of(-1, -1, -1),
    pattern: Int8Array.of(-1, -1, -1),
    diameterSpread: unknown(),
    distance: numbers(15, 20, 25),
    bearing: unknown(),
    northward: unknown(),
  },
  provenance: {},
  sites: [
    {
      name: '',
      lon: -82,
      lat: 39,
      elevation: 240,
      zone: 0,
      reading: { values: [10, 10], low: [10, 10], high: [10, 10], now: [10, 10], cells: 0 },
    },
  ],
  zones: { keys: ['a', 'b'], names: ['Zone A', 'Zone B'], adjacency: null },
  settingNames: ['park'],
  evidence: { link: 60, growth: {}, ageError: 0.3 },
  weights: builtInWeights,
  match: {
    variables: [variable('mat'), variable('mat-b')],
    roles: ['climate', 'climate'],
    sitePeriods: ['', ''],
    k: 2,
    d2: numbers(1, NaN, 9),
    match: numbers(0.6, NaN, 0.01),
    sigma: numbers(0.5, NaN, 2.5),
    low: numbers(0.55, NaN, 0.01),
    high: numbers(0.65, NaN, 0.02),
    values: [numbers(11, NaN, 13), numbers(9, NaN, 8)],
    parts: [unknown(), unknown()],
    limiting: Int8Array.of(0, -1, 1),
    novel: new Uint32Array(3),
    bySite: [numbers(0.6, NaN, 0.01)],
    site: new Uint8Array(3),
    mess: numbers(42, NaN, -7.5),
    unlike: Int8Array.of(0, -1, 1),
  },
  spread: null,
  origin: {
    tableVersion: '1',
    evidence: [],
    logOdds: numbers(2, 0, -2),
    probability: numbers(0.880797077, 0.5, 0.119202922),
    verdict: Uint8Array.of(0, 3, 2),
    themes: Uint8Array.of(3, 0, 2),
    decided: new Uint8Array(3),
    decidedBy: ['', '', ''],
  },
  findings: {
    rules: [
      finding('elevation', 'Elevation', 'm', numbers(10, NaN, 60.123456789)),
      finding('slope', 'Slope', '°', numbers(4, NaN, 10)),
      finding('tolerance:mat', 'Mean annual temperature', '°C', numbers(1, NaN, 3)),
      {
        ...finding('origin', 'Origin', '', numbers(0, NaN, 2)),
        words: ['likely natural', 'unsettled', 'likely planted'],
      },
    ],
  },
  standing: Uint8Array.of(0, 1, 0),
  overridden: Uint8Array.of(0, 0, 1),
  weight: numbers(0.7271234567, NaN, 0.3),
  notes: [],
};

/** The same trees vetted for two sites: the first and the third suit another one least. */
export const twoSites: Vetting = {
  ...vetting,
  sites: [
    { ...vetting.sites[0], name: 'Ridge' },
    {
      ...{ name: 'Low field', lon: -81, lat: 38.5, elevation: 200, zone: 1 },
      reading: { values: [20, 21], low: [20, 21], high: [20, 21], now: [20, 21], cells: 0 },
    },
  ],
  match: vetting.match && {
    ...vetting.match,
    bySite: [numbers(0.6, NaN, 0.5), numbers(0.9, NaN, 0.01)],
    site: Uint8Array.of(0, 0, 1),
  },
  findings: {
    rules: vetting.findings.rules.map((rule) =>
      rule.rule === 'elevation'
        ? {
            ...rule,
            sites: { site: Uint8Array.of(1, NO_SITE, 0), limits: ['', ''], toCheck: ['', ''] },
          }
        : rule,
    ),
  },
};

export const marks = { members: [2, 0], reserves: [] };
