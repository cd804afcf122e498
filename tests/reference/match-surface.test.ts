/**
 * The match of every cell against GDAL 3.6.2's raster calculator and NumPy, which computed it from the definition (Mahalanobis
 * 1936; tail of chi-square, Abramowitz & Stegun 1964, 26.4.5). make.py in tests/fixtures/rasters/match-surface made the numbers
 * from the demo's climate, which is invented.
 */
import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { parsePlan } from '../../src/domain/plan/parse.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import { createDesk } from '../../src/jobs/handlers/desk.ts';
import { openLayer } from '../../src/jobs/handlers/open.ts';
import { surfaceCells, surfaceGrid } from '../../src/jobs/handlers/surfaceCells.ts';
import { question, value } from '../jobs/surfaceFixture.ts';

const expected = JSON.parse(
  readFileSync(new URL('../fixtures/rasters/match-surface/expected.json', import.meta.url), 'utf8'),
) as {
  readonly site: readonly number[];
  readonly covariance: readonly number[];
  /** Column, row, match. */
  readonly cells: ReadonlyArray<readonly [number, number, number]>;
};
const NAMES = [
  'mean-annual-temperature',
  'annual-precipitation',
  'coldest-month-temperature',
  'frost-free-period',
];

it('the match surface is that of gdal_calc.py, four variables with scales and a logarithm', async () => {
  const desk = createDesk();
  const layers = NAMES.map((name, i) => ({ id: `v${i}`, definition: name, path: `${name}.tif` }));
  const plan = value(parsePlan({ kinstand: 1, title: 'Invented', layers, plantings: [] }, 'test'));
  for (const [i, entry] of plan.layers.entries()) {
    const bytes = readFileSync(new URL(`../../demo-data/${NAMES[i]}-1991-2020.tif`, import.meta.url));
    value(await openLayer(desk, entry, memorySource(`${NAMES[i]}.tif`, new Uint8Array(bytes)), {}));
  }
  const { spec } = question(
    Float64Array.from(expected.covariance),
    [expected.site],
    ['identity', 'log', 'identity', 'identity'],
  );
  const grid = value(surfaceGrid(desk, spec));
  const match = new Float32Array(grid.width * grid.height);
  value(await surfaceCells(desk, spec, grid, {}, (strip) => match.set(strip.match, strip.row * grid.width)));
  expect(expected.cells).toHaveLength(169);
  // GDAL writes 15 digits; a single keeps seven.
  for (const [col, row, want] of expected.cells)
    expect(Math.abs(match[row * grid.width + col] - want)).toBeLessThan(1e-6);
});
