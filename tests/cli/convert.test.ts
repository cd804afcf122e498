/**
 * What files were understood to hold, written in WGS 84. The zones of tests/fixtures/county (invented, EPSG:5070, written by
 * GDAL) against GDAL's own conversion of them; a GPX file and a workbook by other programs for their parts.
 */
import { execFile } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

const dir = mkdtempSync(join(tmpdir(), 'convert-'));
afterAll(() => rmSync(dir, { recursive: true }));

function kinstand(...args: string[]): Promise<{ code: number; out: string; err: string }> {
  return new Promise((resolve) => {
    execFile(process.execPath, ['src/cli/kinstand.mjs', ...args], { maxBuffer: 64e6 }, (error, out, err) => {
      resolve({ code: error ? Number(error.code) : 0, out, err });
    });
  });
}
const file = (name: string, text: string): string => {
  const path = join(dir, name);
  writeFileSync(path, text);
  return path;
};
interface Collection {
  features: { properties: Record<string, unknown>; geometry: { type: string; coordinates: number[][][] } }[];
}
const ZONES = 'tests/fixtures/county/seed-zones.fgb';
const corners = (ring: number[][]): string[] =>
  ring
    .slice(1)
    .map(([x, y]) => `${x.toFixed(6)} ${y.toFixed(6)}`)
    .sort();

beforeAll(async () => {
  await kinstand('--help');
}, 60_000);

describe('convert', () => {
  it('writes polygons as GDAL does: same corners to a tenth of a metre, same attributes, rings turned as RFC 7946 asks', async () => {
    const { code, out } = await kinstand('convert', ZONES, '--to', 'geojson');
    expect(code).toBe(0);
    const ours = (JSON.parse(out) as Collection).features;
    const theirs = (
      JSON.parse(readFileSync('tests/fixtures/zones/county-zones.geojson', 'utf8')) as Collection
    ).features;
    expect(ours.map((f) => f.properties)).toEqual(theirs.map((f) => f.properties));
    ours.forEach((f, i) => {
      expect(f.geometry.type).toBe('Polygon');
      expect(corners(f.geometry.coordinates[0])).toEqual(corners(theirs[i].geometry.coordinates[0]));
    });
  });

  it('writes polygons as a table with well-known text, into a file', async () => {
    const path = join(dir, 'zones.csv');
    const { code, out } = await kinstand('convert', ZONES, '--to', 'csv', '--out', path, '--json');
    expect(code).toBe(0);
    expect(JSON.parse(out)).toMatchObject({ kind: 'polygon', count: 4, out: path, notes: [] });
    const [header, first] = readFileSync(path, 'utf8').split('\r\n');
    expect(header).toBe('ZONE,NAME,wkt');
    expect(first).toMatch(/^S2,Lower East,"POLYGON \(\(-91\.\d+ 40\.\d+, /);
    expect(readdirSync(dir).filter((f) => f.endsWith('.part'))).toEqual([]);
  });

  it('writes the rows of a table that have a place, their columns beside, and says which have none', async () => {
    const table = file(
      'trees.csv',
      'Tree;Latitude;Longitude;lon;dx\nA-1;38° 30\' 0" N;84° 15\' 0" W;x;-1.5\nA-2;;;y;=1\n',
    );
    const { code, out, err } = await kinstand('convert', table, '--to', 'csv');
    expect(code).toBe(0);
    expect(out).toBe('lon,lat,Tree,lon in file,dx\r\n-84.25,38.5,A-1,x,-1.5\r\n');
    expect(err).toMatch(/row 3/);
    const geo = await kinstand('convert', table, '--to', 'geojson');
    expect((JSON.parse(geo.out) as Collection).features).toEqual([
      {
        type: 'Feature',
        geometry: { type: 'Point', coordinates: [-84.25, 38.5] },
        properties: { Tree: 'A-1', lon: 'x', dx: '-1.5' },
      },
    ]);
  });

  it('takes a part of a file by name', async () => {
    const { out } = await kinstand(
      'convert',
      'tests/fixtures/xml/gdal-three.gpx',
      '--to',
      'csv',
      '--part',
      'tracks',
    );
    expect(out).toMatch(/MULTILINESTRING|LINESTRING/);
    const none = await kinstand(
      'convert',
      'tests/fixtures/xml/gdal-three.gpx',
      '--to',
      'csv',
      '--part',
      'nothing',
    );
    expect([none.code, none.out]).toEqual([2, '']);
  });

  it('refuses a raster, another format, no file and its own input', async () => {
    const raster = await kinstand('convert', 'demo-data/elevation.tif', '--to', 'geojson');
    expect([raster.code, raster.out]).toEqual([2, '']);
    expect(raster.err).toMatch(/is a raster/);
    expect((await kinstand('convert', ZONES, '--to', 'kml')).err).toMatch(/geojson or csv/);
    expect((await kinstand('convert', '--to', 'csv')).code).toBe(2);
    expect((await kinstand('convert', ZONES, '--to', 'csv', '--out', ZONES)).err).toMatch(/the file itself/);
    const nowhere = await kinstand('convert', ZONES, '--to', 'csv', '--out', join(dir, 'none', 'x.csv'));
    expect(nowhere.code).toBe(2);
    expect(existsSync(ZONES)).toBe(true);
  });
});

describe('inspect', () => {
  it('lists the parts of a file, the one that was read, and reads another when asked', async () => {
    const look = async (...args: string[]): Promise<Record<string, unknown>> => {
      const { out } = await kinstand('inspect', 'tests/fixtures/xml/gdal-three.gpx', ...args, '--json');
      return (JSON.parse(out) as { files: Record<string, unknown>[] }).files[0];
    };
    const first = await look();
    expect(first).toMatchObject({ part: 'waypoints', kind: 'point', offers: [], classes: [] });
    expect((first.parts as { name: string }[]).map((p) => p.name)).toContain('tracks');
    expect(await look('--part', 'tracks')).toMatchObject({ part: 'tracks', kind: 'line' });
  });
});
