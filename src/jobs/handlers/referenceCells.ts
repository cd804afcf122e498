/**
 * Reference cells: places whose values tell how different two places ordinarily are. Drawn inside the zones, or within a
 * circle about the site (methods, environmental match); one function for the match and for what is shown of the spread.
 */
import { geodesicRing } from '../../domain/base/geodesy.ts';
import type { MultiPolygon, Place } from '../../domain/base/geo.ts';
import { ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import type { SpreadChoice } from '../../domain/plan/schema.ts';
import {
  chooseBasis,
  circleBasis,
  CIRCLE_KM,
  completeCells,
  typedBasis,
  type Basis,
} from '../../domain/vetting/match/chooseBasis.ts';
import { drawCells } from '../../domain/vetting/match/drawCells.ts';
import { transform } from '../../domain/vetting/match/transform.ts';
import type { Variable } from '../../domain/vetting/match/types.ts';
import type { Raster } from '../../io/read/rasters/raster.ts';
import { memoIn, newest, noMemo, type Memo } from './memo.ts';
import { sameGrid } from './sameGrid.ts';

/** Seed of the draw: fixed, so that the same layers always give the same spread. */
const SEED = 20_261;
const CIRCLE_POINTS = 180;

export interface CellVariable {
  readonly variable: Variable;
  readonly raster: Raster;
  readonly band: number;
}

export interface ZoneShapes {
  /** Of the layer: cells of another one are other cells. */
  readonly id: string;
  readonly names: readonly string[];
  readonly shapes: readonly MultiPolygon[];
}

export interface Cells {
  /** In the file's units, a column a variable, one row a cell; NaN missing. */
  readonly plain: readonly Float64Array[];
  /** The same after transforms. */
  readonly values: readonly Float64Array[];
  /** Cells of each variable whose value its transform refuses. */
  readonly refused: readonly number[];
  /** Zone of each cell, index into the zones layer; all 0 for the circle. */
  readonly zoneOf: Int32Array;
  readonly zones: number;
  readonly basis: Basis;
}

/**
 * The reference cells of some variables and where they come from. Without a cell only where standard deviations are typed in
 * and no zones are loaded.
 *
 * Cells are drawn on the finest of the variables' grids (of equally fine ones that of the first layer id), and the other
 * variables are read at the same places as a candidate is: the answer does not hang on the order of the variables. What was
 * read stays in `memo`, so that one more variable reads only that one (all of them, once, where it is finer than the rest),
 * another transform reads nothing, and a moved site nothing unless a circle is used.
 *
 * Failure 'variables': a variable without a typed standard deviation. Failures of reading are passed on.
 * @param sites in the planting's order, at least one: the circle is about the first.
 */
export async function referenceCells(
  variables: readonly CellVariable[],
  sites: readonly Place[],
  zones: ZoneShapes | null,
  choice: SpreadChoice,
  work: Work = {},
  memo: Memo = noMemo,
): Promise<Result<Cells>> {
  const about = sites.length > 1 ? 'the first site' : 'the site';
  if (choice.kind === 'circle') {
    const basis = circleBasis(choice.km, about, '');
    return inCircle(variables, sites[0], choice.km, basis, work, memo);
  }
  const typed = choice.kind === 'typed' ? typedBasis(variables, choice.sd) : null;
  if (typed && !typed.ok) return typed;
  const inside = zones && (await inZones(variables, zones, work, memo));
  if (inside && !inside.ok) return inside;
  const read = inside?.value ?? null;
  if (typed) return ok({ ...(read ?? noCells(variables)), basis: typed.value });
  const complete = read ? completeCells(read.values, read.zoneOf, read.zones) : new Int32Array(0);
  const basis = chooseBasis(complete, read?.quota ?? 0, zones?.names ?? [], about);
  if (read && basis.basis === 'zones') return ok({ ...read, basis });
  return inCircle(variables, sites[0], CIRCLE_KM, basis, work, memo);
}

const noCells = (variables: readonly CellVariable[]): Omit<Cells, 'basis'> => ({
  plain: variables.map(() => new Float64Array(0)),
  values: variables.map(() => new Float64Array(0)),
  refused: variables.map(() => 0),
  zoneOf: new Int32Array(0),
  zones: 0,
});

/** Cells as drawn on one grid, and what has been read at them so far. */
interface Drawn {
  readonly raster: Raster;
  readonly col: Float64Array;
  readonly row: Float64Array;
  readonly lon: Float64Array;
  readonly lat: Float64Array;
  readonly zone: Int32Array;
  readonly quota: number;
  /** A memory of its own: values by layer id, file's units. */
  readonly read: Map<string, unknown>;
}

async function inZones(
  variables: readonly CellVariable[],
  zones: ZoneShapes,
  work: Work,
  memo: Memo,
): Promise<Result<Omit<Cells, 'basis'> & { quota: number }>> {
  const raster = finest(variables);
  const drawn = await memo(`reference cells of ${zones.id} on ${gridOf(raster)}`, () =>
    draw(zones.shapes, raster, work),
  );
  if (!drawn.ok) return drawn;
  const read = await readCells(variables, drawn.value, work);
  return read.ok ? ok({ ...read.value, zones: zones.shapes.length, quota: drawn.value.quota }) : read;
}

async function inCircle(
  variables: readonly CellVariable[],
  site: Place,
  km: number,
  basis: Basis,
  work: Work,
  memo: Memo,
): Promise<Result<Cells>> {
  const raster = finest(variables);
  const key = `${site.lon} ${site.lat} ${km} ${gridOf(raster)}`;
  const drawn = await newest(memo, 'reference cells of the circle', key, () => {
    const around = geodesicRing(site.lon, site.lat, km * 1000, CIRCLE_POINTS);
    return draw([[[around.map((p) => [p.lon, p.lat] as const)]]], raster, work);
  });
  if (!drawn.ok) return drawn;
  const read = await readCells(variables, drawn.value, work);
  return read.ok ? ok({ ...read.value, zones: 1, basis }) : read;
}

function finest(variables: readonly CellVariable[]): Raster {
  const first = variables.reduce((a, b) => {
    const finer = b.raster.cellMetres - a.raster.cellMetres;
    return finer < 0 || (finer === 0 && b.variable.id < a.variable.id) ? b : a;
  });
  return first.raster;
}

const gridOf = ({ crs, transform, width, height }: Raster): string =>
  JSON.stringify([crs, transform, width, height]);

async function draw(shapes: readonly MultiPolygon[], raster: Raster, work: Work): Promise<Result<Drawn>> {
  work.progress?.(0, 1, 'reference cells drawn');
  await work.pause?.();
  const { col, row, zone, quota } = drawCells(
    shapes.map((s) => inPixels(s, raster)),
    raster.width,
    raster.height,
    SEED,
  );
  const { lon, lat } = raster.toPlace(col, row);
  return ok({ raster, col, row, lon, lat, zone, quota, read: new Map() });
}

async function readCells(
  variables: readonly CellVariable[],
  drawn: Drawn,
  work: Work,
): Promise<Result<Pick<Cells, 'plain' | 'values' | 'refused' | 'zoneOf'>>> {
  const memo = memoIn(drawn.read);
  const plain: Float64Array[] = [];
  for (const { raster, band, variable } of variables) {
    const values = await memo(variable.id, async () => {
      work.progress?.(plain.length, variables.length, 'variables read at the reference cells');
      await work.pause?.();
      const { col, row } = sameGrid(raster, drawn.raster) ? drawn : raster.toPixel(drawn.lon, drawn.lat);
      return raster.sample(band, col, row, 'bilinear', work);
    });
    if (!values.ok) return values;
    plain.push(values.value);
  }
  const compared = plain.map((x, v) => transform(x, variables[v].variable.transform));
  return ok({
    plain,
    values: compared.map((c) => c.values),
    refused: compared.map((c) => c.refused),
    zoneOf: drawn.zone,
  });
}

function inPixels(shape: MultiPolygon, raster: Raster): MultiPolygon {
  return shape.map((polygon) =>
    polygon.map((points) => {
      const { col, row } = raster.toPixel(
        Float64Array.from(points, (p) => p[0]),
        Float64Array.from(points, (p) => p[1]),
      );
      return points.map((_, i) => [col[i], row[i]] as const);
    }),
  );
}
