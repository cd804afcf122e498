import type { Candidates } from '../../domain/candidates/candidates.ts';
import { PERMISSIONS } from '../../domain/candidates/candidates.ts';
import { OAKS } from '../../domain/species/species.ts';
import type { Planting } from '../../domain/plan/schema.ts';
import { ORIGIN_VERDICTS } from '../../domain/vetting/origin/types.ts';
import { ANSWERS } from '../../domain/vetting/rules/types.ts';
import { STANDINGS, type Vetting } from '../../domain/vetting/vetting.ts';
import { csv, type Cell } from './csv.ts';
import { geojson } from './geojson.ts';

/** Rows of the parent set, to mark members and reserves in the tables. */
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
};

/** "Mean annual temperature", "°C" -> mean_annual_temperature_degc. */
export function columnName(title: string, unit = ''): string {
  const word = UNIT_WORDS[unit] ?? unit;
  return `${title} ${word}`
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '_')
    .replace(/^_|_$/g, '');
}

/** Six significant digits: more than any of the measures holds. */
const figure = (x: number): Cell => (Number.isFinite(x) ? Number(x.toPrecision(6)) : null);

export function vettingColumns(
  planting: Planting,
  vetting: Vetting,
  candidates: Candidates,
  marks: Marks,
): Column[] {
  const { match, origin, findings } = vetting;
  const member = new Map(marks.members.map((row, i) => [row, i + 1]));
  const reserve = new Map(marks.reserves.map((row, i) => [row, i + 1]));
  const override = new Map(planting.overrides.map((o) => [o.candidate, o]));
  const text = (key: 'name' | 'owner' | 'stand'): Column => ({
    name: key,
    cell: (i) => candidates.text[key]?.[i] ?? '',
  });
  return [
    { name: 'id', cell: (i) => candidates.id[i] },
    text('name'),
    { name: 'species', cell: (i) => OAKS[candidates.species[i]]?.name ?? candidates.speciesText[i] },
    { name: 'lon', cell: (i) => Number(candidates.lon[i].toFixed(7)) },
    { name: 'lat', cell: (i) => Number(candidates.lat[i].toFixed(7)) },
    { name: 'accuracy_m', cell: (i) => figure(candidates.accuracy[i]) },
    text('owner'),
    text('stand'),
    { name: 'permission', cell: (i) => PERMISSIONS[candidates.permission[i]] },
    { name: 'planting', cell: () => planting.id },
    { name: 'standing', cell: (i) => STANDINGS[vetting.standing[i]] },
    {
      name: 'override_reason',
      cell: (i) => (vetting.overridden[i] ? (override.get(candidates.id[i])?.reason ?? '') : ''),
    },
    { name: 'member', cell: (i) => member.get(i) ?? null },
    { name: 'reserve', cell: (i) => reserve.get(i) ?? null },
    { name: 'weight', cell: (i) => figure(vetting.weight[i]) },
    { name: 'match', cell: (i) => (match ? figure(match.match[i]) : null) },
    { name: 'match_low', cell: (i) => (match ? figure(match.low[i]) : null) },
    { name: 'match_high', cell: (i) => (match ? figure(match.high[i]) : null) },
    { name: 'd2', cell: (i) => (match ? figure(match.d2[i]) : null) },
    { name: 'sigma', cell: (i) => (match ? figure(match.sigma[i]) : null) },
    {
      name: 'limiting_variable',
      cell: (i) => (match && match.limiting[i] >= 0 ? match.variables[match.limiting[i]].title : ''),
    },
    ...(match?.variables ?? []).flatMap((v, k): Column[] => [
      { name: columnName(v.title, v.unit), cell: (i) => figure(match?.values[k][i] ?? NaN) },
      {
        name: columnName(`${v.title} difference`, v.unit),
        cell: (i) => figure((match?.values[k][i] ?? NaN) - vetting.site.variables[k]),
      },
    ]),
    { name: 'origin_probability', cell: (i) => figure(origin.probability[i]) },
    { name: 'origin', cell: (i) => ORIGIN_VERDICTS[origin.verdict[i]] },
    { name: 'origin_decided_by', cell: (i) => origin.decidedBy[i] },
    ...findings.rules.flatMap((rule): Column[] => {
      const title = rule.title === 'Match' || rule.title === 'Origin' ? `${rule.title} rule` : rule.title;
      return [
        { name: columnName(`${title} ${rule.strength}`), cell: (i) => ANSWERS[rule.answer[i]] },
        {
          name: columnName(`${title} measured`, rule.words ? '' : rule.unit),
          cell: (i) => (rule.words ? (rule.words[rule.measure[i]] ?? '') : figure(rule.measure[i])),
        },
      ];
    }),
  ];
}

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
      geometry: { type: 'Point' as const, coordinates: [candidates.lon[i], candidates.lat[i]] as const },
      properties: {
        ...Object.fromEntries(columns.map((c) => [c.name, c.cell(i)])),
        ...(notice ? { notice } : {}),
      },
    })),
  );
}
