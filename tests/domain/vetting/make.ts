/** Measures and rules for tests: nothing known unless it is given. */
import * as v from 'valibot';
import type { Candidates } from '../../../src/domain/candidates/candidates.ts';
import { GROUNDS, groundOf } from '../../../src/domain/layers/landcover.ts';
import { SETTINGS } from '../../../src/domain/layers/settings.ts';
import {
  EvidenceSettingsSchema,
  RulesSchema,
  type EvidenceSettings,
  type OriginWeights,
  type Rules,
  type Statement,
} from '../../../src/domain/plan/schema.ts';
import type { MatchColumns } from '../../../src/domain/vetting/match/types.ts';
import { origin } from '../../../src/domain/vetting/origin/origin.ts';
import type { OriginInput } from '../../../src/domain/vetting/origin/piece.ts';
import type { OriginColumns } from '../../../src/domain/vetting/origin/types.ts';
import { builtInWeights } from '../../../src/domain/vetting/origin/weights.ts';
import type { RuleInput } from '../../../src/domain/vetting/rules/rule.ts';
import type { Measures, SiteValues } from '../../../src/domain/vetting/vetting.ts';

type Values = Partial<Record<Exclude<keyof Measures, 'plantedOnRecord'>, readonly number[]>>;

export function measures(n: number, values: Values = {}): Measures {
  const of = (name: keyof Values): Float64Array =>
    Float64Array.from({ length: n }, (_, i) => values[name]?.[i] ?? NaN);
  return {
    elevation: of('elevation'),
    slope: of('slope'),
    zone: Int32Array.from({ length: n }, (_, i) => values.zone?.[i] ?? -1),
    cover: of('cover'),
    // Codes of the NLCD legend unless the kind of ground is given.
    ground: Int8Array.from({ length: n }, (_, i) => {
      const ground = groundOf(values.cover?.[i] ?? NaN);
      return values.ground?.[i] ?? (ground === null ? -1 : GROUNDS.indexOf(ground));
    }),
    developed100: of('developed100'),
    developed500: of('developed500'),
    forest100: of('forest100'),
    building: of('building'),
    buildings100: of('buildings100'),
    buildingYear: of('buildingYear'),
    road: of('road'),
    roadEdge: of('roadEdge'),
    drivable: of('drivable'),
    roadRow: of('roadRow'),
    inventory: of('inventory'),
    plantedOnRecord: new Map(),
    setting: Int16Array.from({ length: n }, (_, i) => values.setting?.[i] ?? -1),
    settingYear: of('settingYear'),
    developedYear: of('developedYear'),
    range: of('range'),
    kin: of('kin'),
    kinShare: of('kinShare'),
    kinLevel: of('kinLevel'),
    age: of('age'),
    measuredYear: of('measuredYear'),
    group: Int32Array.from({ length: n }, (_, i) => values.group?.[i] ?? -1),
    pattern: Int8Array.from({ length: n }, (_, i) => values.pattern?.[i] ?? -1),
    diameterSpread: of('diameterSpread'),
    distance: of('distance'),
    bearing: of('bearing'),
    northward: of('northward'),
  };
}

export const evidenceSettings: EvidenceSettings = v.parse(EvidenceSettingsSchema, {});

export const originInput = (c: Candidates, values: Values = {}): OriginInput => ({
  candidates: c,
  measures: measures(c.n, values),
  settingNames: SETTINGS,
  settings: evidenceSettings,
});

export const originOf = (
  c: Candidates,
  values: Values = {},
  table: OriginWeights = builtInWeights,
  statements: readonly Statement[] = [],
): OriginColumns => origin(originInput(c, values), table, statements);

export const rules = (some: v.InferInput<typeof RulesSchema> = {}): Rules => v.parse(RulesSchema, some);

/** A point that is planted; `values` of the variables where they are known. */
export function site(
  some: Partial<Omit<SiteValues, 'reading'>> & { values?: readonly number[] } = {},
): SiteValues {
  const { values, ...more } = some;
  const reading = values ? { values, low: values, high: values, now: values, cells: 0 } : null;
  return { name: '', lon: -82, lat: 39, elevation: NaN, zone: -1, ...more, reading };
}

export function ruleInput(c: Candidates, values: Values = {}, more: Partial<RuleInput> = {}): RuleInput {
  return {
    candidates: c,
    measures: measures(c.n, values),
    match: null,
    origin: originOf(c, values),
    sites: [site()],
    zones: { keys: [], names: [], adjacency: null },
    species: 0,
    ...more,
  };
}

/** Match columns of one variable, mean annual temperature, at a site of 12 °C. */
export function matchColumns(
  match: readonly number[],
  values: readonly number[],
  ring: readonly number[] = match,
): MatchColumns {
  return {
    variables: [
      {
        id: 'mat',
        title: 'Mean annual temperature',
        unit: '°C',
        transform: 'identity',
        period: '1991-2020',
        words: ['warmer', 'colder'],
      },
    ],
    roles: ['climate'],
    sitePeriods: ['1991-2020'],
    k: 1,
    d2: Float64Array.from(match, (m) => 1 - m),
    match: Float64Array.from(match),
    sigma: Float64Array.from(match, (m) => 1 - m),
    low: Float64Array.from(match, (m, i) => Math.min(m, ring[i])),
    high: Float64Array.from(match, (m, i) => Math.max(m, ring[i])),
    values: [Float64Array.from(values)],
    parts: [Float64Array.from(match, (m) => 1 - m)],
    limiting: Int8Array.from(match, (m) => (Number.isNaN(m) ? -1 : 0)),
    novel: new Uint32Array(match.length),
    bySite: [Float64Array.from(match)],
    site: new Uint8Array(match.length),
    mess: Float64Array.from(match, (m) => 100 * m),
    unlike: Int8Array.from(match, (m) => (Number.isNaN(m) ? -1 : 0)),
  };
}
