import type { Candidates } from '../../domain/candidates/candidates.ts';
import { PERMISSIONS } from '../../domain/candidates/candidates.ts';
import { PATTERN_VERDICTS } from '../../domain/candidates/pattern/types.ts';
import { OAKS } from '../../domain/species/species.ts';
import type { Planting } from '../../domain/plan/schema.ts';
import { ORIGIN_VERDICTS } from '../../domain/vetting/origin/types.ts';
import { ANSWERS, NO_SITE } from '../../domain/vetting/rules/types.ts';
import { STANDINGS, type Vetting } from '../../domain/vetting/vetting.ts';
import { otherRecords } from './candidates.ts';
import { csv, type Cell } from './csv.ts';
import { geojson } from './geojson.ts';

/** Rows of the parent set, best first, to mark members and reserves in the tables. */
export interface Marks {
  readonly members: readonly number[];
  readonly reserves: readonly number[];
}

interface Column {
  readonly name: string;
  readonly cell: (row: number) => Cell;
}

const UNIT_WORDS: Readonly<Record<string, string>> = {
  '°C': 'degc',
  '°C d': 'degc_days',
  '%': 'percent',
  '°': 'degrees',
  '1': '',
  class: '',
  pH: '',
};

/** "Mean annual temperature", "°C" -> mean_annual_temperature_degc; the unit is not said twice. */
export function columnName(title: string, unit = ''): string {
  const snake = (text: string): string =>
    text
      .normalize('NFKD')
      .toLowerCase()
      .replace(/\p{M}/gu, '')
      .replace(/[^\p{L}\p{N}]+/gu, '_')
      .replace(/^_|_$/g, '');
  const name = snake(title);
  const word = snake(UNIT_WORDS[unit] ?? unit);
  return word === '' || name === word || name.endsWith(`_${word}`) ? name : `${name}_${word}`;
}

/** Two layers of one title, or two limits on one variable, must not share a column: the later ones are numbered. */
function distinct(columns: readonly Column[]): Column[] {
  const taken = new Set<string>();
  return columns.map((column) => {
    let name = column.name;
    for (let k = 2; taken.has(name); k++) name = `${column.name}_${k}`;
    taken.add(name);
    return { ...column, name };
  });
}

/** Six significant digits: more than any of the measures holds. */
export function figure(x: number): Cell {
  if (!Number.isFinite(x)) return null;
  const decimals = 5 - Math.floor(Math.log10(Math.abs(x)));
  // A whole number over a power of ten that doubles hold exactly is the nearest double, and much faster than by way of text.
  return decimals >= 0 && decimals <= 22
    ? Math.round(x * 10 ** decimals) / 10 ** decimals
    : Number(x.toPrecision(6));
}

/** Rules whose measure is the candidate's value less the site's. */
const isDifference = (rule: string): boolean => rule === 'elevation' || rule.startsWith('tolerance:');

/** The columns of the vetting tables, in lower_snake_case with the unit at the end; a cell for each row of the candidates. */
export function vettingColumns(
  planting: Planting,
  vetting: Vetting,
  candidates: Candidates,
  marks: Marks,
): Column[] {
  const { match, measures, origin, findings, settingNames, sites, zones } = vetting;
  const member = new Map(marks.members.map((row, i) => [row, i + 1]));
  const reserve = new Map(marks.reserves.map((row, i) => [row, i + 1]));
  const override = new Map(planting.overrides.map((o) => [o.candidate, o]));
  const text = (key: 'name' | 'owner' | 'stand'): Column => ({
    name: key,
    cell: (i) => candidates.text[key]?.[i] ?? '',
  });
  const number = (name: string, values: ArrayLike<number> | undefined): Column => ({
    name,
    cell: (i) => figure(values?.[i] ?? NaN),
  });
  const { stands } = candidates;
  const several = sites.length > 1;
  const hectares = Float64Array.from({ length: candidates.n }, (_, i) => (stands?.get(i)?.area ?? NaN) / 1e4);
  return distinct([
    { name: 'id', cell: (i) => candidates.id[i] },
    text('name'),
    { name: 'species', cell: (i) => speciesOf(candidates, i) },
    { name: 'lon', cell: (i) => degrees(candidates.lon[i]) },
    { name: 'lat', cell: (i) => degrees(candidates.lat[i]) },
    number('accuracy_m', candidates.accuracy),
    text('owner'),
    text('stand'),
    { name: 'permission', cell: (i) => PERMISSIONS[candidates.permission[i]] },
    ...(stands ? [number('stand_ha', hectares)] : []),
    ...((candidates.behind?.size ?? 0) > 0
      ? [{ name: 'other_records', cell: (i: number) => otherRecords(candidates, i) }]
      : []),
    { name: 'planting', cell: () => planting.id },
    { name: 'standing', cell: (i) => STANDINGS[vetting.standing[i]] },
    { name: 'overridden', cell: (i) => vetting.overridden[i] === 1 },
    {
      name: 'override_reason',
      cell: (i) => (vetting.overridden[i] ? (override.get(candidates.id[i])?.reason ?? '') : ''),
    },
    { name: 'member', cell: (i) => member.get(i) ?? null },
    { name: 'reserve', cell: (i) => reserve.get(i) ?? null },
    number('weight', vetting.weight),
    number('match', match?.match),
    number('match_low', match?.low),
    number('match_high', match?.high),
    number('d2', match?.d2),
    number('sigma', match?.sigma),
    {
      name: 'limiting_variable',
      cell: (i) => match?.variables[match.limiting[i]]?.title ?? '',
    },
    number('mess', match?.mess),
    { name: 'most_dissimilar_variable', cell: (i) => match?.variables[match.unlike[i]]?.title ?? '' },
    ...(several ? sitesApart(vetting) : []),
    ...(planting.sitePeriod === '' ? [] : [{ name: 'site_period', cell: () => planting.sitePeriod }]),
    ...(match?.variables ?? []).flatMap((v, k): Column[] => [
      number(columnName(v.title, v.unit), match?.values[k]),
      number(
        columnName(`${v.title} difference`, v.unit),
        match?.values[k].map((x, i) => x - (sites[match.site[i]].reading?.values[k] ?? NaN)),
      ),
    ]),
    number('origin_probability', origin.probability),
    { name: 'origin', cell: (i) => ORIGIN_VERDICTS[origin.verdict[i]] },
    number('origin_themes', origin.themes),
    { name: 'origin_decided_by', cell: (i) => origin.decidedBy[i] },
    number('elevation_m', measures.elevation),
    number('slope_degrees', measures.slope),
    { name: 'zone', cell: (i) => zones.names[measures.zone[i]] ?? '' },
    number('land_cover', measures.cover),
    number('developed_100_m_share', measures.developed100),
    number('developed_500_m_share', measures.developed500),
    number('forest_100_m_share', measures.forest100),
    number('building_m', measures.building),
    number('buildings_within_100_m', measures.buildings100),
    number('road_m', measures.road),
    number('road_edge_m', measures.roadEdge),
    number('drivable_road_m', measures.drivable),
    number('inventory_tree_m', measures.inventory),
    { name: 'setting', cell: (i) => settingNames[measures.setting[i]] ?? '' },
    number('setting_since_year', measures.settingYear),
    number('developed_year', measures.developedYear),
    number('building_year', measures.buildingYear),
    {
      name: 'age_years',
      cell: (i) => (Number.isNaN(measures.age[i]) ? null : Math.round(measures.age[i])),
    },
    number('measured_year', measures.measuredYear),
    { name: 'group', cell: (i) => (measures.group[i] < 0 ? null : measures.group[i] + 1) },
    { name: 'group_pattern', cell: (i) => PATTERN_VERDICTS[measures.pattern[i]] ?? '' },
    number('other_oaks_of_section_share', measures.kinShare),
    number('outside_range_m', measures.range),
    number(several ? 'to_farthest_site_km' : 'to_site_km', measures.distance),
    ...findings.rules.flatMap((rule): Column[] => {
      const { words, sites: asked } = rule;
      const what = isDifference(rule.rule) ? 'difference' : 'measured';
      return [
        {
          name: columnName(`${rule.title} rule ${rule.strength}`),
          cell: (i) => ANSWERS[rule.answer[i]],
        },
        words
          ? { name: columnName(`${rule.title} rule ${what}`), cell: (i) => words[rule.measure[i]] ?? '' }
          : number(columnName(`${rule.title} rule ${what}`, rule.unit), rule.measure),
        ...(asked
          ? [
              {
                name: columnName(`${rule.title} rule site`),
                cell: (i: number) => (asked.site[i] === NO_SITE ? '' : sites[asked.site[i]].name),
              },
            ]
          : []),
      ];
    }),
  ]);
}

/** The site that the match is about, and the match with each. */
function sitesApart({ match, sites }: Vetting): Column[] {
  return [
    {
      name: 'least_like_site',
      cell: (i) => (match && !Number.isNaN(match.match[i]) ? sites[match.site[i]].name : ''),
    },
    ...sites.map(({ name }, s) => ({
      name: columnName(`match with ${name}`),
      cell: (i: number) => figure(match?.bySite[s][i] ?? NaN),
    })),
  ];
}

export const degrees = (x: number): Cell => (Number.isFinite(x) ? Number(x.toFixed(7)) : null);

/** Scientific name with the other parent of a hybrid, or the text of the file where it is not in the table. */
export function speciesOf(candidates: Candidates, row: number): string {
  const name = OAKS[candidates.species[row]]?.name;
  const other = OAKS[candidates.hybrid[row]]?.name;
  if (name === undefined) return candidates.speciesText[row];
  return other === undefined ? name : `${name} × ${other.replace('Quercus', 'Q.')}`;
}

/** vetting.csv: a row a candidate, in their order; `notice` (invented data) becomes a column. */
export function vettingCsv(
  planting: Planting,
  vetting: Vetting,
  candidates: Candidates,
  marks: Marks,
  notice: string,
): string {
  const columns = vettingColumns(planting, vetting, candidates, marks);
  const all = notice === '' ? columns : [...columns, { name: 'notice', cell: () => notice }];
  const rows = Array.from({ length: vetting.n }, (_, i) => all.map((c) => c.cell(i)));
  return csv(
    all.map((c) => c.name),
    rows,
  );
}

/** vetting.geojson: a point a candidate with the columns of vetting.csv as properties. */
export function vettingGeojson(
  planting: Planting,
  vetting: Vetting,
  candidates: Candidates,
  marks: Marks,
  notice: string,
): string {
  const columns = vettingColumns(planting, vetting, candidates, marks).filter(
    (c) => c.name !== 'lon' && c.name !== 'lat',
  );
  return geojson(
    Array.from({ length: vetting.n }, (_, i) => ({
      id: candidates.id[i],
      geometry: { kind: 'place' as const, place: { lon: candidates.lon[i], lat: candidates.lat[i] } },
      properties: {
        ...Object.fromEntries(columns.map((c) => [c.name, c.cell(i)])),
        ...(notice ? { notice } : {}),
      },
    })),
  );
}
