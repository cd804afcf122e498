/** The command as it is run: verbs, JSON on standard output, sentences on standard error, exit codes. */
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { json, kinstand, workFolder } from './run.ts';
import { geodesicDirect } from '../../src/domain/base/geodesy.ts';

const { dir, file } = workFolder('command');

beforeAll(async () => {
  // The first run builds the command.
  await kinstand('--help');
}, 60_000);

describe('the command', () => {
  it('lists its verbs, explains each, and refuses an unknown one', async () => {
    expect((await kinstand('--help')).out).toMatch(
      /run PLAN[\s\S]*inspect FILE[\s\S]*sample[\s\S]*match[\s\S]*choose[\s\S]*order/,
    );
    for (const verb of ['run', 'inspect', 'sample', 'match', 'choose', 'order']) {
      const { code, out } = await kinstand(verb, '--help');
      expect(code).toBe(0);
      expect(out).toContain(`kinstand ${verb}`);
    }
    const unknown = await kinstand('plant');
    expect(unknown.code).toBe(2);
    expect(unknown.err).toMatch(/not a verb/);
  });

  it('runs the demo plan and writes its files', async () => {
    const out = join(dir, 'demo');
    const report = await json<{
      plantings: {
        id: string;
        parent_set: { status: string; members: string[] };
        match: { basis: string; spread: string };
        sites: { name: string; values: { variable: string; value: number }[] }[];
      }[];
    }>('run', 'demo-data/plan.json', '--out', out);
    for (const name of ['vetting.csv', 'vetting.geojson', 'parent-set.json', 'route.gpx', 'report.json'])
      expect(existsSync(join(out, name)), name).toBe(true);
    expect(report.plantings.map((p) => [p.parent_set.status, p.parent_set.members.length])).toEqual([
      ['optimal', 10],
      ['fewer', 6],
    ]);
    const [first] = report.plantings;
    expect([first.match.basis, first.match.spread]).toEqual([
      'zones',
      expect.stringMatching(/^within \d+ zones$/),
    ]);
    expect(first.sites).toHaveLength(1);
    for (const { variable, value } of first.sites[0].values)
      expect(value, variable).toEqual(expect.any(Number));
    expect(first.sites[0].values.length).toBeGreaterThan(3);
    const rows = readFileSync(join(out, 'vetting.csv'), 'utf8').split('\r\n');
    expect(rows).toHaveLength(922);
    const geo = JSON.parse(readFileSync(join(out, 'vetting.geojson'), 'utf8')) as { features: unknown[] };
    expect(geo.features).toHaveLength(920);
    expect(existsSync(join(out, 'notional-chestnut-oak', 'parent-set.json'))).toBe(true);
  });

  it('inspects files and says which are refused', async () => {
    const good = 'demo-data/elevation.tif';
    const bad = file('bad.tif', '<!doctype html>');
    const { code, out, err } = await kinstand('inspect', good, bad, '--json');
    expect(code).toBe(2);
    expect(err).toMatch(/bad\.tif/);
    const { files } = JSON.parse(out) as {
      files: {
        ok: boolean;
        kind: string;
        crs: string;
        extent: number[];
        count: number;
        notes: string[];
        error: string | null;
      }[];
    };
    expect(files.map((f) => f.ok)).toEqual([true, false]);
    expect(files[0]).toMatchObject({ kind: 'raster', crs: 'EPSG:5070', count: 1, error: null, notes: [] });
    expect(files[0].extent).toHaveLength(4);
    expect(files[1].error).toMatch(/web page/);
  });

  it('samples a raster in input order, null outside', async () => {
    const points = file('points.csv', 'id,lon,lat\nb,-82.3,39.0\nout,-70,39\na,-82.2,38.9\n');
    const { values } = await json<{ values: { id: string; value: number | null }[] }>(
      'sample',
      '--raster',
      'demo-data/elevation.tif',
      '--points',
      points,
      '--method',
      'nearest',
    );
    expect(values.map((v) => v.id)).toEqual(['b', 'out', 'a']);
    expect(values[1].value).toBeNull();
    expect(Number.isInteger(values[0].value)).toBe(true);
  });

  it('matches points against a site: the site itself is a perfect match, parts sum to d2', async () => {
    const points = file('site.csv', 'id,lon,lat\nhere,-82.3,39.0\nthere,-82.1,38.85\n');
    const found = await json<{
      k: number;
      variables: string[];
      spread: number[][];
      cells: number;
      points: { id: string; d2: number; match: number; parts: number[]; limiting: string | null }[];
    }>(
      'match',
      '--raster',
      'demo-data/elevation.tif',
      'demo-data/annual-precipitation-1991-2020.tif',
      '--transform',
      'log:2',
      '--site',
      '-82.3,39.0',
      '--points',
      points,
      '--zones',
      'demo-data/zones.fgb',
    );
    expect(found.variables).toHaveLength(2);
    expect(found.spread.map((r) => r.length)).toEqual([2, 2]);
    expect(found.points[0]).toMatchObject({ d2: 0, match: 1, limiting: null });
    expect(found.points[1].parts[0] + found.points[1].parts[1]).toBeCloseTo(found.points[1].d2, 9);
    expect(found.points[1].match).toBeGreaterThan(0);
    expect(found.points[1].match).toBeLessThan(1);
  });

  it('chooses exactly K, lighter trees included, and the largest number where K cannot be had', async () => {
    // Five trees on a meridian at 0, 10, 25, 40, 70, 100 m: at 30 m apart four can be had.
    const at = [0, 10, 25, 40, 70, 100].map((m) => geodesicDirect(-82, 39, 0, m));
    const points = file(
      'line.csv',
      'id,lon,lat,w\n' + at.map((p, i) => `t${i},${p.lon},${p.lat},${i === 2 ? 9 : 1}`).join('\n') + '\n',
    );
    type Choice = { status: string; total: number; bound: number; members: string[]; largest: number | null };
    const two = await json<Choice>(
      'choose',
      '--points',
      points,
      '--weight',
      'w',
      '--spacing',
      '30',
      '--count',
      '2',
    );
    expect(two).toMatchObject({ status: 'optimal', total: 10, bound: 10 });
    expect(two.members).toContain('t2');
    const four = await json<Choice>(
      'choose',
      '--points',
      points,
      '--weight',
      'w',
      '--spacing',
      '30',
      '--count',
      '4',
    );
    expect(four).toMatchObject({ status: 'optimal', total: 4 });
    const five = await json<Choice>(
      'choose',
      '--points',
      points,
      '--weight',
      'w',
      '--spacing',
      '30',
      '--count',
      '5',
    );
    expect(five).toMatchObject({ status: 'fewer', total: 4, largest: 4 });
    expect(five.members).toHaveLength(4);
  });

  it('orders stops from a table of costs, CSV and JSON, asymmetric, with fixed ends', async () => {
    const csv = file('costs.csv', ',a,b,c\na,0,1,9\nb,9,0,1\nc,1,9,0\n');
    expect(await json('order', '--costs', csv, '--start', 'b')).toMatchObject({
      order: ['b', 'c', 'a'],
      total: 3,
      bound: 3,
    });
    const table = file(
      'costs.json',
      JSON.stringify({
        id: ['a', 'b', 'c'],
        costs: [
          [0, 1, 9],
          [9, 0, 1],
          [1, 9, 0],
        ],
      }),
    );
    expect(await json('order', '--costs', table, '--start', 'c', '--open')).toMatchObject({
      order: ['c', 'a', 'b'],
      total: 2,
    });
    expect(await json('order', '--costs', table, '--start', 'a', '--end', 'c')).toMatchObject({
      order: ['a', 'b', 'c'],
      total: 2,
    });
  });

  it('refuses bad input with a sentence and exit code 2', async () => {
    for (const args of [
      ['sample', '--raster', 'demo-data/elevation.tif'],
      ['sample', '--raster', 'nowhere.tif', '--points', 'demo-data/candidates.csv'],
      [
        'match',
        '--raster',
        'demo-data/elevation.tif',
        '--site',
        'here',
        '--points',
        'demo-data/candidates.csv',
      ],
      [
        'choose',
        '--points',
        'demo-data/candidates.csv',
        '--weight',
        'nothing',
        '--spacing',
        '400',
        '--count',
        '3',
      ],
      [
        'choose',
        '--points',
        'demo-data/candidates.csv',
        '--weight',
        'dbh_cm',
        '--spacing',
        'far',
        '--count',
        '3',
      ],
      ['order', '--costs', file('ragged.csv', '0,1\n1,0,2\n')],
      ['run', 'demo-data/traps.json', '--out', join(dir, 'x')],
      ['run', 'demo-data/plan.json'],
    ]) {
      const { code, out, err } = await kinstand(...args, '--json');
      expect(code, args.join(' ')).toBe(2);
      expect(out).toBe('');
      expect(err.trim().split('\n'), err).toHaveLength(1);
    }
  });
});
