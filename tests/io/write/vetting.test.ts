import { describe, expect, it } from 'vitest';
import { rowsOf } from '../../../src/domain/base/table.ts';
import { csv as csvFormat } from '../../../src/io/read/tables/csv.ts';
import { memorySource } from '../../../src/io/source/memory.ts';
import { parentSetRecord } from '../../../src/io/write/parentSet.ts';
import { columnName, vettingColumns, vettingCsv, vettingGeojson } from '../../../src/io/write/vetting.ts';
import { candidates, marks, planting, twoSites, vetting } from './vetted.ts';

async function recordsOf(text: string): Promise<Record<string, string>[]> {
  const read = await csvFormat.read(memorySource('vetting.csv', new TextEncoder().encode(text)), {});
  if (!read.ok || read.value.content.kind !== 'table') throw new Error('not a table');
  expect(read.value.notes).toEqual([]);
  const { columns } = read.value.content.table;
  return rowsOf(read.value.content.table).map((r) => Object.fromEntries(columns.map((c, i) => [c, r[i]])));
}

describe('the vetting as a table', () => {
  it('has one row a candidate with everything that was found', async () => {
    const [first, second, third] = await recordsOf(vettingCsv(planting, vetting, candidates, marks, ''));
    expect(first).toMatchObject({
      id: 'T-1',
      name: 'Big, old',
      species: 'Quercus alba',
      lon: '-82.1234568',
      lat: '39.1',
      accuracy_m: '5',
      permission: 'granted',
      planting: 'ridge',
      standing: 'eligible',
      overridden: 'false',
      override_reason: '',
      member: '2',
      reserve: '',
      weight: '0.727123',
      match: '0.6',
      match_low: '0.55',
      match_high: '0.65',
      sigma: '0.5',
      limiting_variable: 'Mean annual temperature',
      mean_annual_temperature_degc: '11',
      mean_annual_temperature_difference_degc: '1',
      origin_probability: '0.880797',
      origin: 'likely natural',
      elevation_m: '250',
      zone: 'Zone A',
      elevation_rule_must: 'pass',
      elevation_rule_difference_m: '10',
      slope_rule_must: 'pass',
      slope_rule_measured_degrees: '4',
      origin_rule_must: 'pass',
      origin_rule_measured: 'likely natural',
    });
    expect(third).toMatchObject({
      species: 'Quercus alba × Q. montana',
      name: "'@home",
      standing: 'eligible',
      overridden: 'true',
      override_reason: 'seen, "fine"',
      member: '1',
      setting: 'park',
      origin: 'likely planted',
      elevation_rule_must: 'fail',
      elevation_rule_difference_m: '60.1235',
    });
    // Nothing is known of the second: empty, never zero; and its text id that looks like a number below zero is kept as text.
    expect(second).toMatchObject({
      id: "'-2",
      species: 'some oak',
      accuracy_m: '',
      standing: 'needs a check',
      weight: '',
      match: '',
      elevation_m: '',
      zone: '',
      setting: '',
      elevation_rule_must: 'unknown',
      elevation_rule_difference_m: '',
      origin_rule_measured: '',
    });
  });

  it('keeps apart two variables of one title and a limit on one of them', () => {
    const names = vettingColumns(planting, vetting, candidates, marks).map((c) => c.name);
    expect(new Set(names).size).toBe(names.length);
    expect(names.filter((n) => n.startsWith('mean_annual_temperature'))).toEqual([
      'mean_annual_temperature_degc',
      'mean_annual_temperature_difference_degc',
      'mean_annual_temperature_degc_2',
      'mean_annual_temperature_difference_degc_2',
      'mean_annual_temperature_rule_must',
      'mean_annual_temperature_rule_difference_degc',
    ]);
    for (const name of names) expect(name).toMatch(/^[a-z][a-z0-9_]*$/);
  });

  it('says what the data is in every row where the plan says it', async () => {
    const rows = await recordsOf(vettingCsv(planting, vetting, candidates, marks, 'Invented data'));
    expect(rows.map((r) => r['notice'])).toEqual(['Invented data', 'Invented data', 'Invented data']);
  });

  it('tells age, years of the ground and the group, empty where they are not known', async () => {
    const known = (first: number): Float64Array => Float64Array.of(first, NaN, NaN);
    const measures = {
      ...vetting.measures,
      roadEdge: known(6.25),
      age: known(112.3),
      measuredYear: known(2025),
      developedYear: known(1958),
      settingYear: known(1921),
      buildingYear: known(1931),
      group: Int32Array.of(0, -1, -1),
      pattern: Int8Array.of(1, -1, -1),
      kinShare: known(0.25),
    };
    const [first, second] = await recordsOf(
      vettingCsv(planting, { ...vetting, measures }, candidates, marks, ''),
    );
    const columns = {
      road_edge_m: '6.25',
      age_years: '112',
      measured_year: '2025',
      developed_year: '1958',
      setting_since_year: '1921',
      building_year: '1931',
      group: '1',
      group_pattern: 'random',
      other_oaks_of_section_share: '0.25',
    };
    expect(first).toMatchObject(columns);
    expect(second).toMatchObject(Object.fromEntries(Object.keys(columns).map((name) => [name, ''])));
  });

  it('is the same table as GeoJSON, a point a candidate', () => {
    const read = JSON.parse(vettingGeojson(planting, vetting, candidates, marks, 'Invented data')) as {
      features: { id: string; geometry: unknown; properties: Record<string, unknown> }[];
    };
    expect(read.features).toHaveLength(3);
    expect(read.features[0].geometry).toEqual({ type: 'Point', coordinates: [-82.1234568, 39.1] });
    // No apostrophes here: GeoJSON is not opened by spreadsheets as it is.
    expect(read.features[1]).toMatchObject({
      id: '-2',
      properties: { id: '-2', weight: null, notice: 'Invented data' },
    });
    expect(read.features[0].properties).not.toHaveProperty('lon');
  });

  it('tells how similar a tree is to the reference, and which variable least', async () => {
    const [first, second, third] = await recordsOf(vettingCsv(planting, vetting, candidates, marks, ''));
    const told = [first, second, third].map((r) => [r['mess'], r['most_dissimilar_variable']]);
    expect(told).toEqual([
      ['42', 'Mean annual temperature'],
      ['', ''],
      ['-7.5', 'Mean annual temperature'],
    ]);
    expect(first).not.toHaveProperty('least_like_site');
    expect(first).not.toHaveProperty('site_period');
    expect(first).toHaveProperty('to_site_km', '15');
  });

  it('of several sites has the match with each, and names those that count', async () => {
    const rows = await recordsOf(
      vettingCsv({ ...planting, sitePeriod: '2041-2070' }, twoSites, candidates, marks, ''),
    );
    expect(rows[0]).toMatchObject({
      match: '0.6',
      least_like_site: 'Ridge',
      match_with_ridge: '0.6',
      match_with_low_field: '0.9',
      to_farthest_site_km: '15',
      elevation_rule_must: 'pass',
      elevation_rule_site: 'Low field',
      site_period: '2041-2070',
    });
    expect(rows[1]).toMatchObject({ match: '', least_like_site: '', elevation_rule_site: '' });
    // The difference is from the site that the tree is least like: 13 less 20, 8 less 21.
    expect(rows[2]).toMatchObject({
      least_like_site: 'Low field',
      mean_annual_temperature_difference_degc: '-7',
      mean_annual_temperature_difference_degc_2: '-13',
    });
    expect(rows[0]).not.toHaveProperty('slope_rule_site');
  });

  it('works without a match', async () => {
    const [first] = await recordsOf(vettingCsv(planting, { ...vetting, match: null }, candidates, marks, ''));
    expect(first).toMatchObject({ match: '', limiting_variable: '' });
    expect(first).not.toHaveProperty('mean_annual_temperature_degc');
  });
});

describe('a column name', () => {
  it.each([
    ['Elevation', 'm', 'elevation_m'],
    ['Mean annual temperature', '°C', 'mean_annual_temperature_degc'],
    ['Growing degree days', '°C d', 'growing_degree_days_degc_days'],
    ['Frost-free days', 'days', 'frost_free_days'],
    ['Share of clay', '%', 'share_of_clay_percent'],
    ['Soil pH', 'pH', 'soil_ph'],
    ['Température', '1', 'temperature'],
  ])('"%s" in "%s" is %s', (title, unit, name) => expect(columnName(title, unit)).toBe(name));
});

describe('the parent set as a record', () => {
  it('says which sites it is for, and the match with each where there are several', () => {
    const set = {
      ...{ status: 'optimal' as const, members: [0], total: 1, bound: 1, largest: -1, largestBound: 1 },
      ...{ bottlenecks: [], conflictingLocks: [], nodes: 1 },
    };
    const chosen = { set, reserves: { reserves: [], standIns: [] }, heldBack: [] };
    const later = { ...planting, sitePeriod: '2041-2070' };
    expect(
      JSON.parse(JSON.stringify(parentSetRecord(later, twoSites, candidates, chosen, ''))),
    ).toMatchObject({
      site_period: '2041-2070',
      sites: [
        { name: 'Ridge', lon: -82, lat: 39 },
        { name: 'Low field', lon: -81, lat: 38.5 },
      ],
      members: [{ id: 'T-1', match: 0.6, match_by_site: [0.6, 0.9] }],
    });
    const alone = JSON.stringify(parentSetRecord(planting, vetting, candidates, chosen, ''));
    expect(alone).not.toMatch(/match_by_site|site_period/);
  });

  it('names members with their weights, the proof, reserves, stand-ins and what holds it back', () => {
    const record = parentSetRecord(
      planting,
      vetting,
      candidates,
      {
        set: {
          status: 'fewer',
          members: [2, 0],
          total: 1.027,
          bound: 1.027,
          largest: 2,
          largestBound: 2,
          bottlenecks: [{ rows: [0, 1], yields: 1 }],
          conflictingLocks: [],
          nodes: 3,
        },
        reserves: { reserves: [], standIns: [{ row: 1, member: 0 }] },
        heldBack: [{ rule: 'zone', title: 'Zone', change: 'also next zones', candidates: 4, largest: 3 }],
      },
      'Invented data',
    );
    expect(JSON.parse(JSON.stringify(record))).toMatchObject({
      notice: 'Invented data',
      planting: 'ridge',
      status: 'fewer',
      count_wanted: 10,
      spacing_m: 402.336,
      total: 1.027,
      bound: 1.027,
      largest: 2,
      members: [
        { id: 'T-3', weight: 0.3, overridden: true },
        { id: 'T-1', match: 0.6, overridden: false },
      ],
      stand_ins: [{ id: '-2', for: 'T-1', weight: null, match: null }],
      kept: ['T-1'],
      held_back: [{ rule: 'zone', change: 'also next zones', candidates: 4, largest: 3 }],
      bottlenecks: [{ candidates: ['T-1', '-2'], yields: 1 }],
    });
  });
});
