/**
 * The match of many places against the sites of a planting, from rasters: samples, draws the reference cells, takes the
 * spread, measures. One function for the vetting and for the command's `match`.
 */
import type { Place } from '../../domain/base/geo.ts';
import { fail, ok, type Failure, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import type { SpreadChoice } from '../../domain/plan/schema.ts';
import { distance } from '../../domain/vetting/match/distance.ts';
import { andSite, ofOneSite, type LeastDistances } from '../../domain/vetting/match/leastOf.ts';
import { mess } from '../../domain/vetting/match/mess.ts';
import { metric, type Metric } from '../../domain/vetting/match/metric.ts';
import { ring, ringPlaces } from '../../domain/vetting/match/ring.ts';
import { spread as takeSpread } from '../../domain/vetting/match/spread.ts';
import { surfaceKernel } from '../../domain/vetting/match/surface.ts';
import { transform } from '../../domain/vetting/match/transform.ts';
import type { MatchColumns, Spread } from '../../domain/vetting/match/types.ts';
import type { Raster } from '../../io/read/rasters/raster.ts';
import { noMemo, type Memo } from './memo.ts';
import { referenceCells, type ZoneShapes } from './referenceCells.ts';
import { sameGrid } from './sameGrid.ts';
import type { MatchVariable, SiteRead } from './siteValues.ts';

export interface MatchPlaces {
  readonly lon: Float64Array;
  readonly lat: Float64Array;
  /** Metres; NaN where not recorded. */
  readonly accuracy: Float64Array;
}

/** A site of the planting, and what was read there. */
export interface MatchSite extends Place, Pick<SiteRead, 'reading' | 'absent'> {
  /** In sentences: "the planting site", "North slope". */
  readonly called: string;
}

export interface MatchResult {
  readonly columns: MatchColumns;
  readonly spread: Spread;
  readonly notes: readonly string[];
}

/**
 * A place has to suit every site: its match is the least of those with the single sites, and unknown where one of them is.
 *
 * Failures, all 'variables': none chosen; no site with a value of every variable; those of the reference cells and of the
 * spread. Failures of reading are passed on.
 * @param sites in the planting's order, 1 to 255.
 */
export async function matchColumns(
  variables: readonly MatchVariable[],
  sites: readonly MatchSite[],
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
  const compared = sites.map((site) => comparedAt(site, variables));
  const wanting = compared.flatMap((c) => c.failure ?? []);
  if (wanting.length === sites.length) return { ok: false, failure: wanting[0] };
  const notes = wanting.map(({ where, what, todo }) => `Match is unknown: ${where} ${what}. ${todo}`);

  const around = ringPlaces(places.lon, places.lat, places.accuracy);
  const read = await valuesAt(variables, places, around, work, memo);
  if (!read.ok) return read;

  const picked = await referenceCells(variables, sites, zones, choice, work, memo);
  if (!picked.ok) return picked;
  const spread = takeSpread({ ...picked.value, variables: variables.map((v) => v.variable.title) });
  if (!spread.ok) return spread;

  const transformed = read.value.map(({ at }, v) => {
    const t = transform(at, variables[v].variable.transform);
    if (t.refused > 0)
      notes.push(
        `${variables[v].variable.title}: ${t.refused} candidate value(s) of zero or less cannot be compared on a log scale.`,
      );
    return t.values;
  });
  const onRing = read.value.map(({ near }, v) => transform(near, variables[v].variable.transform).values);

  const measure = metric(spread.value.covariance, spread.value.variables);
  for (const words of measure.nearlySame) notes.push(words);
  const found = await leastDistances(
    measure,
    compared.map((c) => c.values),
    transformed,
    spread.value,
    work,
  );
  const range = ring(
    found.match,
    around.rows,
    leastMatch(
      measure,
      compared.map((c) => c.values),
      onRing,
    ),
  );
  return ok({
    columns: {
      variables: variables.map((v) => v.variable),
      roles: variables.map((v) => v.role),
      sitePeriods: variables.map((v) => v.siteLayer.period),
      k: measure.kept,
      ...found,
      low: range.low,
      high: range.high,
      ringMissing: range.missing,
      values: read.value.map(({ at }) => at),
      ...mess(spread.value.reference, transformed),
    },
    spread: spread.value,
    notes,
  });
}

/** The values of a site after transforms, and why it cannot be compared where one is missing. */
function comparedAt(
  { reading, absent, called }: MatchSite,
  variables: readonly MatchVariable[],
): { values: Float64Array; failure: Failure | null } {
  const values = Float64Array.from(
    reading.values,
    (x, v) => transform(Float64Array.of(x), variables[v].variable.transform).values[0],
  );
  const bad = values.findIndex((x) => Number.isNaN(x));
  if (bad < 0) return { values, failure: null };
  const missing = absent[bad] !== '';
  const failure: Failure = {
    code: 'variables',
    where: variables[bad].variable.title,
    what: missing ? absent[bad] : `is ${reading.values[bad]} at ${called}, which has no logarithm`,
    todo: missing
      ? 'Move the site onto the layer, or leave this variable out.'
      : 'Leave this variable out or take its log transform off.',
  };
  return { values, failure };
}

interface ReadValues {
  readonly at: Float64Array;
  /** On the rings of those that have one. */
  readonly near: Float64Array;
}

async function valuesAt(
  variables: readonly MatchVariable[],
  places: MatchPlaces,
  around: { readonly lon: Float64Array; readonly lat: Float64Array },
  work: Work,
  memo: Memo,
): Promise<Result<ReadValues[]>> {
  const values: ReadValues[] = [];
  const pixels: Array<{ raster: Raster; at: Pixels; around: Pixels }> = [];
  for (let v = 0; v < variables.length; v++) {
    const { raster, band, variable } = variables[v];
    work.progress?.(v, variables.length, 'variables read at the candidates');
    const read = await memo(`values ${variable.id}`, async () => {
      // Rasters on one grid share their pixel positions: projecting 100,000 rings is the dearest part.
      let position = pixels.find((p) => sameGrid(p.raster, raster));
      if (!position) {
        position = {
          raster,
          at: raster.toPixel(places.lon, places.lat),
          around: raster.toPixel(around.lon, around.lat),
        };
        pixels.push(position);
      }
      const at = await raster.sample(band, position.at.col, position.at.row, 'bilinear', work);
      if (!at.ok) return at;
      const near = await raster.sample(band, position.around.col, position.around.row, 'bilinear', work);
      return near.ok ? ok({ at: at.value, near: near.value }) : near;
    });
    if (!read.ok) return read;
    values.push(read.value);
  }
  return ok(values);
}

interface Pixels {
  readonly col: Float64Array;
  readonly row: Float64Array;
}

/** Site by site, so that there are never columns of more than two at once. */
async function leastDistances(
  measure: Metric,
  sites: readonly Float64Array[],
  values: readonly Float64Array[],
  { low, high }: Spread,
  work: Work,
): Promise<LeastDistances> {
  let least = ofOneSite(distance(measure, sites[0], values, low, high));
  for (let s = 1; s < sites.length; s++) {
    work.progress?.(s, sites.length, 'sites compared');
    await work.pause?.();
    least = andSite(least, distance(measure, sites[s], values, low, high));
  }
  return least;
}

/**
 * The least match alone, NaN where one is unknown: rings hold a dozen times as many places as there are candidates, so it is
 * taken by the loop of the surface.
 */
function leastMatch(
  { whitening, kept, k }: Metric,
  sites: readonly Float64Array[],
  values: readonly Float64Array[],
): Float64Array {
  const out = new Float64Array(values[0].length);
  const whitened = (site: Float64Array): Float64Array =>
    Float64Array.from({ length: kept }, (_, r) =>
      site.reduce((sum, x, v) => sum + whitening[r * k + v] * x, 0),
    );
  const variables = values.map(() => ({ layer: '', transform: 'identity' as const }));
  surfaceKernel({ key: '', variables, whitening, kept, sites: sites.map(whitened) })(values, out);
  return out;
}
