/** The verbs about zones, as they are run. Zones and points of the demo workspace (invented). */
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { json, kinstand, workFolder } from './run.ts';

const { file } = workFolder('zones');
const square = (x: number, y: number, key: string, side = 0.1): object => ({
  type: 'Feature',
  properties: { zone: key },
  geometry: {
    type: 'Polygon',
    coordinates: [
      [
        [x, y],
        [x + side, y],
        [x + side, y + side],
        [x, y + side],
        [x, y],
      ],
    ],
  },
});
const collection = (...features: object[]): string => JSON.stringify({ type: 'FeatureCollection', features });

beforeAll(async () => {
  await kinstand('--help');
}, 60_000);

describe('adjacency', () => {
  type Pairs = { pairs: { a: string; b: string; kind: string; length: number }[] };

  it('tells edges from corners, in metres, and explains itself', async () => {
    const zones = file(
      'quad.geojson',
      collection(
        square(-85, 38, 'sw'),
        square(-84.9, 38, 'se'),
        square(-85, 38.1, 'nw'),
        square(-84.9, 38.1, 'ne'),
      ),
    );
    const { pairs } = await json<Pairs>('adjacency', zones, '--key', 'zone');
    expect(pairs.map((p) => [p.a, p.b, p.kind])).toEqual([
      ['sw', 'se', 'edge'],
      ['sw', 'nw', 'edge'],
      ['sw', 'ne', 'corner'],
      ['se', 'nw', 'corner'],
      ['se', 'ne', 'edge'],
      ['nw', 'ne', 'edge'],
    ]);
    // A tenth of a degree of the meridian at 38.05 N and of the parallel at 38.1 N on WGS 84 (PROJ's
    // geod: 11 099.742 m and 8 771.305 m).
    expect(pairs[0].length).toBeGreaterThan(11_095);
    expect(pairs[0].length).toBeLessThan(11_105);
    expect(pairs[1].length).toBeGreaterThan(8_765);
    expect(pairs[1].length).toBeLessThan(8_780);
    const help = await kinstand('adjacency', '--help');
    expect([help.code, help.out.split('\n')[0]]).toEqual([
      0,
      expect.stringContaining('adjacency FILE --key FIELD [--snap M]'),
    ]);
  });

  it('takes the snap distance, and refuses a field that is not there', async () => {
    // 0.0002 degrees of longitude at 38 N: 17.6 m.
    const zones = file('gap.geojson', collection(square(-85, 38, 'a'), square(-84.8998, 38, 'b')));
    expect((await json<Pairs>('adjacency', zones, '--key', 'zone')).pairs).toHaveLength(1);
    expect((await json<Pairs>('adjacency', zones, '--key', 'zone', '--snap', '5')).pairs).toHaveLength(0);
    const bad = await kinstand('adjacency', zones, '--key', 'zonne', '--json');
    expect([bad.code, bad.out]).toEqual([2, '']);
    expect(bad.err).toMatch(/no attribute "zonne".*zone/);
    expect((await kinstand('adjacency', '--key', 'zone')).code).toBe(2);
    expect((await kinstand('adjacency', 'demo-data/candidates.csv', '--key', 'zone')).err).toMatch(
      /not polygons/,
    );
  });
});

describe('locate', () => {
  it('names the zone of each point in input order, as GDAL with SpatiaLite does, null outside', async () => {
    const { points } = await json<{ points: { id: string; zone: string | null }[] }>(
      'locate',
      '--zones',
      'tests/fixtures/county/seed-zones.fgb',
      '--key',
      'ZONE',
      '--points',
      'tests/fixtures/county/notebook.csv',
    );
    const expected = readFileSync('tests/fixtures/zones/county-located.csv', 'utf8')
      .trim()
      .split('\n')
      .slice(1)
      .map((l) => l.replaceAll('"', '').split(','))
      .map(([id, zone]) => ({ id, zone: zone === '' ? null : zone }));
    expect(expected).toHaveLength(60);
    expect(points).toEqual(expected);
    const outside = file('out.csv', 'id,lon,lat\n"a, b",-60,10\n');
    expect(
      await json('locate', '--zones', 'demo-data/zones.fgb', '--key', 'zone', '--points', outside),
    ).toEqual({ points: [{ id: 'a, b', zone: null }] });
    expect(
      (await kinstand('locate', '--zones', 'demo-data/zones.fgb', '--key', 'zone', '--points', outside)).out,
    ).toBe('id,zone\r\n"a, b",\r\n');
  });

  it('ends quietly when its reader goes away', () => {
    const many = file(
      'many.csv',
      'id,lon,lat\n' + Array.from({ length: 50_000 }, (_, i) => `${i},-82.2,38.9`).join('\n') + '\n',
    );
    const run = spawnSync(
      'sh',
      [
        '-c',
        `"${process.execPath}" src/cli/kinstand.mjs locate --zones demo-data/zones.fgb --key zone --points "${many}" --json | head -c 21`,
      ],
      { encoding: 'utf8' },
    );
    expect(run.stderr).toBe('');
    expect(run.stdout).toBe('{"points":[\n{"id":"0"');
  });

  it('refuses what is missing', async () => {
    expect((await kinstand('locate', '--zones', 'demo-data/zones.fgb')).err).toMatch(/--points is missing/);
    expect((await kinstand('locate', '--points', 'demo-data/candidates.csv')).err).toMatch(
      /--zones is missing/,
    );
  });
});
