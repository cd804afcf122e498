/** `kinstand pattern`; once as it is run, else in this process. Values: the worked example of tests/reference/pattern.test.ts. */
import { describe, expect, it } from 'vitest';
import { pattern } from '../../src/cli/verbs/pattern.ts';
import { sentence } from '../../src/domain/base/result.ts';
import { kinstand, workFolder } from './run.ts';

const { file } = workFolder('pattern');
const NINE = [[1, 1], [2, 7], [4, 3], [5, 9], [6, 5], [8, 2], [9, 8], [3, 5], [7, 7]]; // prettier-ignore
const csv = (names: string, rows: readonly (readonly (number | string)[])[]): string =>
  [names, ...rows.map((r) => r.join(','))].join('\n') + '\n';
const SQUARE = [[0, 0], [10, 0], [10, 10], [0, 10], [0, 0]]; // prettier-ignore

interface Answer {
  n: number;
  density: number;
  meanNearest: number;
  R: number;
  RDonnelly: number;
  z: number;
  p: number;
  rows: { order: number; strength: number; p: number } | null;
  verdict: string;
  simulatedP: number | null;
  window: { from: string; area: number; perimeter: number };
  notes: string[];
}
async function ask(...args: string[]): Promise<Answer> {
  const answer = await pattern.run(args, {});
  if (!answer.ok) throw new Error(sentence(answer.failure));
  return answer.value.json as Answer;
}
const plane = (...args: string[]): Promise<Answer> => ask(...args, '--x', 'x', '--y', 'y');

describe('pattern', () => {
  it('tells index and row test of plane points in an area, however that is written', async () => {
    const points = file('nine.csv', csv('x,y', NINE));
    const areas = [
      file('a.geojson', JSON.stringify({ type: 'Polygon', coordinates: [SQUARE] })),
      file('a.wkt', `POLYGON((${SQUARE.map((c) => c.join(' ')).join(', ')}))`),
      file('a.csv', csv('x,y', SQUARE.slice(0, 4))),
    ];
    const answers = await Promise.all(areas.map((area) => plane('--points', points, '--area', area)));
    expect(answers[1]).toEqual(answers[0]);
    expect(answers[2]).toEqual(answers[0]);
    const [found] = answers;
    expect(Object.keys(found).slice(0, 9)).toEqual(['n', 'density', 'meanNearest', 'R', 'RDonnelly', 'z', 'p', 'rows', 'verdict']); // prettier-ignore
    expect(found.n).toBe(9);
    expect(found.density).toBeCloseTo(0.09, 12);
    expect(found.meanNearest).toBeCloseTo(2.606215282, 9);
    expect(found.R).toBeCloseTo(1.563729169, 9);
    expect(found.RDonnelly).toBeCloseTo(1.332319991, 9);
    expect(found.z).toBeCloseTo(3.23534, 5);
    expect(found.p).toBeCloseTo(0.001215, 6);
    expect([found.verdict, found.window.from, found.notes]).toEqual(['random', 'given', []]);
    expect(Object.keys(found.rows ?? {})).toEqual(['order', 'strength', 'p']);
  });

  it('shows a planted row in degrees, and says that the window was drawn', async () => {
    // 12 m of the parallel at 38 N on WGS 84 (87,832 m a degree, Snyder 1987).
    const row = Array.from({ length: 11 }, (_, i) => [`t${i}`, -84 + (12 * i) / 87_832, 38]);
    const found = await ask('--points', file('row.csv', csv('id,lon,lat', row)));
    expect(found.meanNearest).toBeCloseTo(12, 2);
    expect([found.verdict, found.rows?.order, found.window.from]).toEqual(['regular', 2, 'line']);
    expect(found.notes).toEqual([expect.stringMatching(/window was drawn about the points/)]);
    const named = await ask('--points', file('row.csv', csv('id,lon,lat', row)), '--x', 'lon', '--y', 'lat'); // prettier-ignore
    expect(named).toEqual(found);
    const { out } = await kinstand('pattern', '--points', file('row.csv', csv('id,lon,lat', row)));
    expect(out).toMatch(/verdict: regular/);
    expect(out).toMatch(/11 points; window: drawn about the points: a band along the line/);
  });

  it('leaves out points outside, with their number; few points and repeats are said', async () => {
    const area = file('a.geojson', JSON.stringify({ type: 'Polygon', coordinates: [SQUARE] }));
    const some = file('some.csv', csv('x,y', [...NINE.slice(0, 5), NINE[0], [10, 10], [40, 2], [-3, 5]]));
    const found = await plane('--points', some, '--area', area);
    expect([found.n, found.verdict, found.rows, found.simulatedP]).toEqual([7, 'too few', null, NaN]);
    expect(found.R).toBeGreaterThan(0);
    expect(found.notes).toEqual([
      expect.stringMatching(/^2 of 9 points lie outside the area/),
      expect.stringMatching(/^1 points? repeats? the place/),
      expect.stringMatching(/^fewer than 7 places/),
    ]);
  });

  it.each([
    ['one point', csv('x,y', [[1, 2]]), null, /has 1 point\. A distance needs two/],
    ['all at one place', csv('x,y', [[1, 2], [1, 2]]), null, /has both its points at one place|all 2 points at one place/],
    ['a bad number', csv('x,y', [[1, 2], [3, 'b']]), null, /row 3, y: "b" is not a number/],
    ['another column', csv('east,y', [[1, 2], [3, 4]]), null, /has no column "x". Use one of east, y/],
    ['an outline that crosses itself', csv('x,y', NINE), 'POLYGON((0 0,10 0,10 10,5 -5,0 10,0 0))', /overlap or cross themselves/],
    ['no polygon', csv('x,y', NINE), '{"type":"Point","coordinates":[1,2]}', /holds no polygon/],
  ])('refuses %s in a sentence', async (_name, points, area, said) => {
    const more = area === null ? [] : ['--area', file('area.txt', area)];
    await expect(plane('--points', file('p.csv', points), ...more)).rejects.toThrow(said);
  }); // prettier-ignore

  it('wants both columns, and says what to do with plane coordinates that are not named', async () => {
    const points = file('far.csv', csv('x,y', [[684000, 4205000], [684100, 4205000]])); // prettier-ignore
    await expect(ask('--points', points, '--x', 'x')).rejects.toThrow(/--y is missing/);
    await expect(ask('--points', points)).rejects.toThrow(/name the columns with --x and --y/);
  });
});
