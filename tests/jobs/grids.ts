/** Small grids as text, whose values can be worked out, opened as the app opens files. */
import { parsePlan } from '../../src/domain/plan/parse.ts';
import type { Plan, PlanInput } from '../../src/domain/plan/schema.ts';
import { openSource } from '../../src/io/read/formats.ts';
import type { Raster } from '../../src/io/read/rasters/raster.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import { createDesk, type Desk } from '../../src/jobs/handlers/desk.ts';
import { openLayer } from '../../src/jobs/handlers/open.ts';

export interface Grid {
  /** Lower-left corner and side of a cell, in units of the system. */
  readonly left: number;
  readonly bottom: number;
  readonly cell: number;
  /** Rows from the north. */
  readonly rows: ReadonlyArray<readonly number[]>;
}

/** As an Esri ASCII grid; NaN becomes its mark of nothing. */
export function gridText({ left, bottom, cell, rows }: Grid): string {
  const lines = rows.map((row) => row.map((x) => (Number.isNaN(x) ? -9999 : x)).join(' '));
  return [
    `ncols ${rows[0].length}`,
    `nrows ${rows.length}`,
    `xllcorner ${left}`,
    `yllcorner ${bottom}`,
    `cellsize ${cell}`,
    'NODATA_value -9999',
    ...lines,
    '',
  ].join('\n');
}

/** @param value of the column, and of the row from the north. */
export const gridOf = (
  [left, bottom, cell, cols, rows]: readonly [number, number, number, number, number],
  value: (col: number, row: number) => number,
): Grid => ({
  left,
  bottom,
  cell,
  rows: Array.from({ length: rows }, (_, r) => Array.from({ length: cols }, (_c, c) => value(c, r))),
});

export async function rasterOf(grid: Grid, crs = 'EPSG:4326'): Promise<Raster> {
  const opened = await openSource(memorySource('grid.asc', new TextEncoder().encode(gridText(grid))), {
    crs,
  });
  if (!opened.ok) throw new Error(opened.failure.what);
  if (opened.value.content.kind !== 'raster') throw new Error('no raster');
  return opened.value.content.raster;
}

/** @param files what the paths of the plan's layers hold. */
export async function deskWith(
  input: Omit<PlanInput, 'kinstand' | 'title'>,
  files: Readonly<Record<string, string>>,
): Promise<{ desk: Desk; plan: Plan }> {
  const plan = parsePlan({ kinstand: 1, title: 'Test', ...input }, 'test');
  if (!plan.ok) throw new Error(plan.failure.what);
  const desk = createDesk();
  for (const entry of plan.value.layers) {
    const text = files[entry.path ?? ''];
    const opened = await openLayer(
      desk,
      entry,
      memorySource(entry.path ?? '', new TextEncoder().encode(text)),
      {},
    );
    if (!opened.ok) throw new Error(`${entry.id}: ${opened.failure.what}`);
  }
  return { desk, plan: plan.value };
}
