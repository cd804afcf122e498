import { describe, expect, it } from 'vitest';
import { rowsOf } from '../../../src/domain/base/table.ts';
import { scoutingDay } from '../../../src/domain/scouting/day.ts';
import { csv as csvFormat } from '../../../src/io/read/tables/csv.ts';
import { geojson as geojsonFormat } from '../../../src/io/read/vectors/geojson.ts';
import { memorySource } from '../../../src/io/source/memory.ts';
import { clockTime, routeCsv, routeGeojson, routeGpx } from '../../../src/io/write/route.ts';
import { gpxBreaches } from '../../reference/gpx.ts';
import { parseXml } from '../../reference/xml.ts';

const day = scoutingDay({
  key: 'k',
  start: { lon: -82, lat: 39, name: 'Office, north' },
  end: { lon: -82, lat: 39.4, name: '' },
  leave: 450,
  hours: 1.5,
  stopMinutes: 20,
  kmh: 36,
  detour: 1.5,
  stops: [
    { row: 4, id: '=B', title: 'Big oak', lon: -82, lat: 39.2 },
    { row: 2, id: 'A', title: 'A', lon: -82, lat: 39.1 },
  ],
});
const texts = {
  title: 'Scouting, Ridge',
  date: '2026-09-14',
  species: 'Quercus alba',
  notice: 'Invented data',
  time: '2026-09-14T11:30:00Z',
};

describe('a scouting day as files', () => {
  it('is valid GPX with a waypoint a stop and a route from start to end, and says that lines are no ways', () => {
    const root = parseXml(routeGpx(day, texts));
    expect(gpxBreaches(root)).toEqual([]);
    const names = (tag: string): string[] =>
      root.children
        .flatMap((c) => [c, ...c.children])
        .filter((c) => c.name === tag)
        .map((c) => c.children[0].text);
    expect(names('wpt')).toEqual(['1 A', '2 =B']);
    expect(names('rtept')).toEqual(['Office, north', '1 A', '2 =B', '']);
    const text = routeGpx(day, texts);
    for (const part of [
      'Straight-line guess',
      'no way to walk or drive',
      'Invented data',
      '2026-09-14',
      'Big oak',
    ])
      expect(text).toContain(part);
    expect(text).toContain('after the hours of the day');
  });

  it('is a CSV table whose travel adds up from start to end', async () => {
    const text = routeCsv(day, texts);
    const read = await csvFormat.read(memorySource('route.csv', new TextEncoder().encode(text)), {});
    if (!read.ok || read.value.content.kind !== 'table') throw new Error('not a table');
    const { columns } = read.value.content.table;
    const rows = rowsOf(read.value.content.table);
    const column = (name: string): string[] => rows.map((r) => r[columns.indexOf(name)]);
    expect(column('stop')).toEqual(['0', '1', '2', '3']);
    expect(column('id')).toEqual(['', 'A', "'=B", '']);
    expect(column('leave')[0]).toBe('07:30');
    expect(column('late')).toEqual(['false', 'false', 'true', 'true']);
    const sum = (name: string): number => column(name).reduce((s, x) => s + Number(x), 0);
    expect(sum('travel_km')).toBeCloseTo(day.travelMetres / 1000, 2);
    expect(sum('travel_min')).toBeCloseTo(day.travelSeconds / 60, 0);
    expect(new Set(column('notice'))).toEqual(new Set(['Invented data']));
  });

  it('is GeoJSON with the line of the day and a point a stop', () => {
    const read = JSON.parse(routeGeojson(day, texts)) as {
      features: {
        geometry: { type: string; coordinates: number[][] };
        properties: Record<string, unknown>;
      }[];
    };
    expect(read.features.map((f) => f.geometry.type)).toEqual(['LineString', 'Point', 'Point']);
    expect(read.features[0].geometry.coordinates).toEqual([
      [-82, 39],
      [-82, 39.1],
      [-82, 39.2],
      [-82, 39.4],
    ]);
    expect(read.features[2].properties).toMatchObject({ stop: 2, id: '=B', name: 'Big oak', late: true });
    expect(
      geojsonFormat.recognises(new TextEncoder().encode(routeGeojson(day, texts)), 'route.geojson'),
    ).toBe(true);
  });

  it('writes times past midnight with hours over 24, and rounds to the minute', () => {
    expect([0, 450 * 60, 86_399, 86_400 + 3600, 29.9, 30].map(clockTime)).toEqual([
      '00:00',
      '07:30',
      '24:00',
      '25:00',
      '00:00',
      '00:01',
    ]);
  });
});
