/**
 * The match of many places against a site, from rasters: samples, draws the reference cells, takes the spread, measures.
 * One function for the vetting and for the command's `match`.
 */
import type { Place } from '../../domain/base/geo.ts';
import { fail, ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import type { SpreadChoice } from '../../domain/plan/schema.ts';
import { distance, matchOf } from '../../domain/vetting/match/distance.ts';
import { mess } from '../../domain/vetting/match/mess.ts';
import { metric } from '../../domain/vetting/match/metric.ts';
import { ring, ringPlaces } from '../../domain/vetting/match/ring.ts';
import { spread as takeSpread } from '../../domain/vetting/match/spread.ts';
import { transform } from '../../domain/vetting/match/transform.ts';
import type { MatchColumns, Spread } from '../../domain/vetting/match/types.ts';
import type { Raster } from '../../io/read/rasters/raster.ts';
import { noMemo, type Memo } from './memo.ts';
import { referenceCells, type CellVariable, type ZoneShapes } from './referenceCells.ts';

export interface MatchVariable extends CellVariable {
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

export interface MatchResult {
  readonly columns: MatchColumns;
  readonly spread: Spread;
  /** Values at the site, file's units. */
  readonly site: Float64Array;
  readonly notes: readonly string[];
}

export async function matchColumns(
  variables: readonly MatchVariable[],
  site: Place,
  places: MatchPlaces,
  zones: ZoneShapes | null,
  choice: SpreadChoice,
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

  const picked = await referenceCells(variables, [site], zones, choice, work, memo);
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
