/**
 * The match of many places against a site, from rasters: samples, draws the reference cells, takes the spread, measures.
 * One function for the vetting and for the command's `match`.
 */
import { geodesicRing } from '../../domain/base/geodesy.ts';
import type { MultiPolygon, Place } from '../../domain/base/geo.ts';
import { fail, ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import {
  chooseBasis,
  CIRCLE_METRES,
  completeCells,
  type Basis,
} from '../../domain/vetting/match/chooseBasis.ts';
import { distance, matchOf } from '../../domain/vetting/match/distance.ts';
import { drawCells } from '../../domain/vetting/match/drawCells.ts';
import { mess } from '../../domain/vetting/match/mess.ts';
import { metric } from '../../domain/vetting/match/metric.ts';
import { ring, ringPlaces } from '../../domain/vetting/match/ring.ts';
import { spread as takeSpread } from '../../domain/vetting/match/spread.ts';
import { transform } from '../../domain/vetting/match/transform.ts';
import type { MatchColumns, Spread, Variable } from '../../domain/vetting/match/types.ts';
import type { Raster } from '../../io/read/rasters/raster.ts';

/** Seed of the draw of reference cells: fixed, so that the same layers always give the same spread. */
const SEED = 20_261;
const CIRCLE_POINTS = 180;

export interface MatchVariable {
  readonly variable: Variable;
  readonly raster: Raster;
  readonly band: number;
  /** Where the site is read from, when from another period; else the same. */
  readonly siteRaster: Raster;
  readonly siteBand: number;
}

export interface MatchPlaces {
  readonly lon: Float64Array;
  readonly lat: Float64Array;
  /** Metres; NaN where not recorded. */
  readonly accuracy: Float64Array;
}

export interface ZoneShapes {
  readonly names: readonly string[];
  readonly shapes: readonly MultiPolygon[];
}

export interface MatchResult {
  readonly columns: MatchColumns;
  readonly spread: Spread;
  /** Values at the site, file's units. */
  readonly site: Float64Array;
  readonly notes: readonly string[];
}

/** Keeps what does not change with the site: values by variable, and the reference cells. */
export type Memo = <T>(key: string, make: () => Promise<Result<T>>) => Promise<Result<T>>;

export const noMemo: Memo = (_key, make) => make();

export async function matchColumns(
  variables: readonly MatchVariable[],
  site: Place,
  places: MatchPlaces,
  zones: ZoneShapes | null,
  work: Work = {},
  memo: Memo = noMemo,
): Promise<Result<MatchResult>> {
  if (variables.length === 0)
    return fail(
      'variables',
      'Match',
      'no variable is chosen',
      'Choose at least one climate, terrain or soil layer.',
    );
  const notes: string[] = [];

  const atSite = new Float64Array(variables.length);
  for (let v = 0; v < variables.length; v++) {
    const { siteRaster, siteBand, variable } = variables[v];
    const { col, row } = siteRaster.toPixel(Float64Array.of(site.lon), Float64Array.of(site.lat));
    const value = await siteRaster.sample(siteBand, col, row, 'bilinear', work);
    if (!value.ok) return value;
    atSite[v] = value.value[0];
    if (Number.isNaN(atSite[v]))
      return fail(
        'variables',
        variable.title,
        'has no value at the planting site',
        'Move the site onto the layer, or leave this variable out.',
      );
  }

  const around = ringPlaces(places.lon, places.lat, places.accuracy);
  const values: Float64Array[] = [];
  const onRing: Float64Array[] = [];
  const pixels = new Map<string, { at: Pixels; around: Pixels }>();
  for (let v = 0; v < variables.length; v++) {
    const { raster, band, variable } = variables[v];
    work.progress?.(v, variables.length, 'variables read at the candidates');
    const read = await memo(`values ${variable.id}`, async () => {
      const grid = JSON.stringify([raster.crs, raster.transform]);
      // Rasters on one grid share their pixel positions: projecting 100,000 rings is the dearest part.
      const position = pixels.get(grid) ?? {
        at: raster.toPixel(places.lon, places.lat),
        around: raster.toPixel(around.lon, around.lat),
      };
      pixels.set(grid, position);
      const at = await raster.sample(band, position.at.col, position.at.row, 'bilinear', work);
      if (!at.ok) return at;
      const near = await raster.sample(band, position.around.col, position.around.row, 'bilinear', work);
      return near.ok ? ok({ at: at.value, near: near.value }) : near;
    });
    if (!read.ok) return read;
    values.push(read.value.at);
    onRing.push(read.value.near);
  }

  const picked = await referenceCells(variables, site, zones, work, memo);
  if (!picked.ok) return picked;
  const spread = takeSpread({
    variables: variables.map((v) => v.variable.title),
    values: picked.value.values,
    zoneOf: picked.value.zoneOf,
    zones: picked.value.zones,
    basis: picked.value.basis,
  });
  if (!spread.ok) return spread;

  const transformed = values.map((x, v) => {
    const t = transform(x, variables[v].variable.transform);
    if (t.refused > 0)
      notes.push(
        `${variables[v].variable.title}: ${t.refused} candidate value(s) of zero or less cannot be compared on a log scale.`,
      );
    return t.values;
  });
  const siteTransformed = Float64Array.from(
    atSite,
    (x, v) => transform(Float64Array.of(x), variables[v].variable.transform).values[0],
  );
  const bad = siteTransformed.findIndex((x) => Number.isNaN(x));
  if (bad >= 0)
    return fail(
      'variables',
      variables[bad].variable.title,
      `is ${atSite[bad]} at the site, which has no logarithm`,
      'Leave this variable out or take its log transform off.',
    );

  const measure = metric(spread.value.covariance, spread.value.variables);
  for (const words of measure.nearlySame) notes.push(words);
  const found = distance(measure, siteTransformed, transformed, spread.value.low, spread.value.high);
  const ringMatch = matchOf(
    measure,
    siteTransformed,
    onRing.map((x, v) => transform(x, variables[v].variable.transform).values),
  );
  const range = ring(found.match, around.rows, ringMatch);
  return ok({
    columns: {
      variables: variables.map((v) => v.variable),
      roles: variables.map(() => 'climate'),
      sitePeriods: variables.map((v) => v.variable.period),
      k: measure.kept,
      d2: found.d2,
      match: found.match,
      sigma: found.sigma,
      low: range.low,
      high: range.high,
      values,
      parts: found.parts,
      limiting: found.limiting,
      novel: found.novel,
      ...mess(spread.value.reference, transformed),
      bySite: [found.match],
      site: new Uint8Array(places.lon.length),
      ringMissing: range.missing,
    },
    spread: spread.value,
    site: atSite,
    notes,
  });
}

interface Pixels {
  readonly col: Float64Array;
  readonly row: Float64Array;
}

interface Cells {
  readonly values: readonly Float64Array[];
  readonly zoneOf: Int32Array;
  readonly zones: number;
  readonly basis: Basis;
}

/** Cells inside the zones, or within the circle about the site where the zones will not do, with every variable's value. */
async function referenceCells(
  variables: readonly MatchVariable[],
  site: Place,
  zones: ZoneShapes | null,
  work: Work,
  memo: Memo,
): Promise<Result<Cells>> {
  work.progress?.(0, 1, 'reference cells drawn');
  const names = zones?.names ?? [];
  const shapes = zones?.shapes ?? [];
  const ids = variables.map((v) => v.variable.id).join(' | ');
  // Cells of the zones do not change with the site, cells of the circle do.
  const inZones = await memo(`zone cells ${ids}`, () => readCells(variables, shapes, work));
  if (!inZones.ok) return inZones;
  const complete = completeCells(inZones.value.values, inZones.value.zoneOf, shapes.length);
  const basis = chooseBasis(complete, inZones.value.quota, names);
  if (basis.basis === 'zones') return ok({ ...inZones.value, zones: shapes.length, basis });
  const around = geodesicRing(site.lon, site.lat, CIRCLE_METRES, CIRCLE_POINTS);
  const circle: MultiPolygon = [[around.map((p) => [p.lon, p.lat] as const)]];
  const inCircle = await readCells(variables, [circle], work);
  return inCircle.ok ? ok({ ...inCircle.value, zones: 1, basis }) : inCircle;
}

/** Draws on the first variable's grid; the other variables are read at the same places. */
async function readCells(
  variables: readonly MatchVariable[],
  shapes: readonly MultiPolygon[],
  work: Work,
): Promise<Result<{ values: Float64Array[]; zoneOf: Int32Array; quota: number }>> {
  const first = variables[0].raster;
  const drawn = drawCells(
    shapes.map((s) => inPixels(s, first)),
    first.width,
    first.height,
    SEED,
  );
  const place = first.toPlace(drawn.col, drawn.row);
  const values: Float64Array[] = [];
  for (const { raster, band, variable } of variables) {
    const sameGrid = raster.crs === first.crs && raster.transform.every((t, i) => t === first.transform[i]);
    const { col, row } = sameGrid ? drawn : raster.toPixel(place.lon, place.lat);
    const read = await raster.sample(band, col, row, 'bilinear', work);
    if (!read.ok) return read;
    values.push(transform(read.value, variable.transform).values);
  }
  return ok({ values, zoneOf: drawn.zone, quota: drawn.quota });
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
