/**
 * The verb that gives terrain at points, and plans whose layers are computed from elevation. Numbers: gdaldem of GDAL 3.6.2
 * (tests/fixtures/rasters/terrain/make.py); positions of cells: gdaltransform, from EPSG:32617.
 */
import { copyFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { json, kinstand, workFolder } from './run.ts';

const { dir, file } = workFolder('terrain');
const RASTER = 'tests/fixtures/rasters/terrain/utm.tif';

interface Answer {
  points: Array<{ id: string; slope: number | null; aspect: number | null; position: number | null }>;
}

beforeAll(async () => {
  copyFileSync(RASTER, join(dir, 'hills.tif'));
  // The first run builds the command.
  await kinstand('--help');
}, 60_000);

describe('kinstand terrain', () => {
  const points = file(
    'points.csv',
    [
      'id,lon,lat',
      'slope,-82.1510626959,38.8422003114',
      'flat,-82.1465306291,38.8398118602',
      'beside nothing,-82.1503540517,38.8411259478',
      'corner,-82.1521126242,38.8430009681',
      'other side,-82.1462197171,38.8419776032',
      'elsewhere,-80,38',
      '',
    ].join('\n'),
  );
  const ask = (...more: string[]) => json<Answer>('terrain', '--raster', RASTER, '--points', points, ...more);

  it('gives slope, aspect and position of the cell that holds each point, null where they are not known', async () => {
    const got = (await ask()).points;
    const near = (id: string, slope: number | null, aspect: number | null, position: number | null) => {
      const p = got.find((x) => x.id === id);
      for (const [a, b] of [
        [p?.slope, slope],
        [p?.aspect, aspect],
        [p?.position, position],
      ] as const)
        if (b === null) expect(a, id).toBeNull();
        else expect(Math.abs((a ?? NaN) - b), id).toBeLessThan(1e-4);
    };
    expect(got.map((p) => p.id)).toEqual([
      'slope',
      'flat',
      'beside nothing',
      'corner',
      'other side',
      'elsewhere',
    ]);
    near('slope', 27.79323, 222.6795, 1.2191467);
    near('flat', 0, null, 0);
    near('beside nothing', null, null, null);
    near('corner', null, null, null);
    near('other side', 21.181776, 354.47076, -1.9597168);
    near('elsewhere', null, null, null);
  });

  it('takes elevations in feet and a circle in metres', async () => {
    const feet = (await ask('--unit', 'ft')).points[0];
    const tan = Math.tan((27.79323 * Math.PI) / 180) * 0.3048;
    expect(feet.slope).toBeCloseTo((Math.atan(tan) * 180) / Math.PI, 4);
    expect(feet.aspect).toBeCloseTo(222.6795, 3);
    expect(feet.position).toBeCloseTo(1.2191467 * 0.3048, 4);
    // 43 m holds the eight cells around (42.4 m to the corners), 42 m only the four at the sides.
    const eight = (await ask('--radius', '43')).points[0];
    expect(eight.position).toBeCloseTo(1.2191467, 4);
    expect((await ask('--radius', '42')).points[0].position).not.toBeCloseTo(1.2191467, 2);
    // A slope has no radius.
    expect(eight.slope).toBeCloseTo(27.79323, 4);
  });

  it('refuses in a sentence, and tells its formulas', async () => {
    const refused = async (...args: string[]) => {
      const { code, out, err } = await kinstand(
        'terrain',
        '--raster',
        RASTER,
        '--points',
        points,
        ...args,
        '--json',
      );
      expect([code, out]).toEqual([2, '']);
      return err;
    };
    expect(await refused('--unit', 'fathom')).toMatch(/--unit is "fathom"\. Use one of m, ft/);
    expect(await refused('--band', '2')).toMatch(/has 1 band\(s\), not 2/);
    expect(await refused('--radius', '10')).toMatch(
      /no other cell: they are 30 m apart\. Give a radius of at least 30 m/,
    );
    expect(await refused('--radius', '-5')).toMatch(/not a number of at least 0/);
    expect((await kinstand('terrain', '--points', points)).err).toMatch(/--raster is missing/);
    expect((await kinstand('terrain', '--raster', points, '--points', points)).err).toMatch(
      /holds a table, not a raster/,
    );
    const { out } = await kinstand('terrain', '--help');
    expect(out).toMatch(/Horn 1981/);
    expect(out).toMatch(/Wilson et al\. 2007/);
    expect(out).toMatch(/North is up on the grid/);
  });
});

describe('a plan with a layer computed from elevation', () => {
  const plan = (from: string): string =>
    file(
      'plan.json',
      JSON.stringify({
        kinstand: 1,
        title: 'Invented hills',
        plantings: [
          {
            id: 'p',
            title: 'P',
            species: 'Quercus alba',
            site: { lon: -82.149, lat: 38.8405 },
            variables: ['slope', 'position'],
          },
        ],
        // What is computed stands before what it is computed from.
        layers: [
          { id: 'slope', definition: 'slope', title: 'Slope', from },
          { id: 'position', definition: 'relative-position', title: 'Position', from, radius: 60 },
          { id: 'hills', definition: 'elevation', path: 'hills.tif' },
          { id: 'trees', definition: 'candidates', path: 'trees.csv' },
        ],
      }),
    );
  file(
    'trees.csv',
    'id,species,lon,lat\n1,Quercus alba,-82.1510626959,38.8422003114\n2,Quercus alba,-82.1465306291,38.8398118602\n',
  );

  it('is run: the match is taken from it', async () => {
    const out = join(dir, 'out');
    const report = await json<{
      layers: Array<{ id: string; format: string; definition: string }>;
      plantings: Array<{ match: { variables: string[] } | null }>;
    }>('run', plan('hills'), '--out', out);
    expect(report.layers.map((l) => [l.id, l.format])).toEqual([
      ['slope', 'computed'],
      ['position', 'computed'],
      ['hills', 'GeoTIFF'],
      ['trees', 'CSV'],
    ]);
    expect(report.plantings[0].match?.variables).toEqual(['Slope', 'Position']);
  });

  it('is refused where that elevation is not in it', async () => {
    const { code, err } = await kinstand('run', plan('gone'), '--out', join(dir, 'none'));
    expect(code).toBe(2);
    expect(err).toMatch(
      /Slope: is computed from the layer "gone", which is not among the layers\. Bring the elevation/,
    );
  });
});
