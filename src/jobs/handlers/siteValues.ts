/**
 * What the places to be planted have: values of the variables, elevation. At a point as at a candidate; of an area the mean
 * of the cells inside, or the point's own value where no centre is (methods, environmental match). One function for the
 * vetting, for what the screen shows of the sites, and for the command; it needs rasters only.
 */
import { ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import type { Planting, Site } from '../../domain/plan/schema.ts';
import { sitesOf, siteTitle } from '../../domain/plan/sites.ts';
import type { SiteReading } from '../../domain/vetting/match/types.ts';
import type { Raster } from '../../io/read/rasters/raster.ts';
import { areaValue, type AreaValue } from './areaValue.ts';
import type { OpenLayer } from './desk.ts';
import type { OpenVariable } from './openVariables.ts';
import { newest, noMemo, type Memo } from './memo.ts';

/** A variable with the rasters that it is read from; the command has no entries of a plan for them. */
export type MatchVariable = Omit<OpenVariable, 'layer' | 'siteLayer'> & {
  readonly siteLayer: Pick<OpenVariable['siteLayer'], 'id' | 'period'>;
};

/** A site, what it is called, and the same in sentences: "the planting site", "North slope". */
export interface SiteToRead extends Site {
  readonly called: string;
}

/** The sites of a planting in its order. */
export const sitesToRead = (planting: Pick<Planting, 'site' | 'moreSites'>): readonly SiteToRead[] =>
  sitesOf(planting).map((site, i) => {
    const name = siteTitle(planting, i);
    return { ...site, name, called: planting.moreSites.length === 0 ? 'the planting site' : name };
  });

export interface SiteRead {
  readonly reading: SiteReading;
  /** Why a variable has no value, a sentence without its subject; '' where it has one. */
  readonly absent: readonly string[];
  /** What is to be known of how it was read: cells without a value, cells left out of a huge area. */
  readonly notes: readonly string[];
}

/** Of one raster. */
interface Value {
  readonly value: number;
  readonly low: number;
  readonly high: number;
  readonly cells: number;
  readonly step: number;
  readonly absent: string;
  readonly note: string;
}

/** A raster that sites are read from. */
interface Read {
  /** Layer id: what is kept of an area is kept under it. */
  readonly id: string;
  readonly raster: Raster;
  readonly band: number;
}

/** Failure 'variables': an outline that cannot be followed (areaValue). Failures of reading are passed on. */
export async function siteValues(
  variables: readonly MatchVariable[],
  site: SiteToRead,
  work: Work = {},
  memo: Memo = noMemo,
): Promise<Result<SiteRead>> {
  const compared: Value[] = [];
  const now: number[] = [];
  for (const { variable, raster, band, siteLayer, siteRaster, siteBand } of variables) {
    const at = { id: siteLayer.id, raster: siteRaster, band: siteBand };
    const value = await valueAt(at, site, work, memo);
    if (!value.ok) return value;
    compared.push(value.value);
    const today =
      at.id === variable.id ? value : await valueAt({ id: variable.id, raster, band }, site, work, memo);
    if (!today.ok) return today;
    now.push(today.value.value);
  }
  const step = Math.max(1, ...compared.map((v) => v.step));
  return ok({
    reading: {
      values: compared.map((v) => v.value),
      low: compared.map((v) => v.low),
      high: compared.map((v) => v.high),
      now,
      cells: compared.length === 0 ? 0 : Math.min(...compared.map((v) => v.cells)),
      ...(step > 1 ? { step } : {}),
    },
    absent: compared.map((v) => v.absent),
    notes: compared.flatMap((v, i) => (v.note === '' ? [] : [`${variables[i].variable.title}: ${v.note}`])),
  });
}

/** Elevation of a site, metres: from the first of the layers that has a value; NaN from none. */
export async function siteElevation(
  layers: readonly OpenLayer[],
  site: SiteToRead,
  work: Work = {},
  memo: Memo = noMemo,
): Promise<Result<{ elevation: number; elevationRange?: readonly [number, number]; notes: string[] }>> {
  for (const { opened, entry, definition } of layers) {
    if (opened.content.kind !== 'raster') continue;
    const { raster } = opened.content;
    const read = await valueAt({ id: entry.id, raster, band: entry.band }, site, work, memo);
    if (!read.ok) return read;
    const { value, low, high, cells, note } = read.value;
    if (!Number.isNaN(value))
      return ok({
        elevation: value,
        ...(cells > 0 ? { elevationRange: [low, high] as const } : {}),
        notes: note === '' ? [] : [`${entry.title ?? definition.title}: ${note}`],
      });
  }
  return ok({ elevation: NaN, notes: [] });
}

async function valueAt(
  { id, raster, band }: Read,
  site: SiteToRead,
  work: Work,
  memo: Memo,
): Promise<Result<Value>> {
  const { area, called } = site;
  if (area) {
    // Only the newest outline of a site is kept: one that is drawn would leave many behind.
    const read = await newest(memo, `area of ${called} in ${id} ${band}`, JSON.stringify(area), () =>
      areaValue(raster, band, area, called, work),
    );
    if (!read.ok) return read;
    if (read.value.cells > 0) return ok(ofArea(read.value, called));
  }
  const { col, row } = raster.toPixel(Float64Array.of(site.lon), Float64Array.of(site.lat));
  const read = await raster.sample(band, col, row, 'bilinear', work);
  if (!read.ok) return read;
  const [value] = read.value;
  const absent = Number.isNaN(value) ? `has no value at ${called}` : '';
  return ok({ value, low: value, high: value, cells: 0, step: 1, absent, note: '' });
}

function ofArea({ mean, low, high, cells, known, step }: AreaValue, called: string): Value {
  const without = cells - known;
  const notes = [
    without > 0 && known > 0 ? `${without} of ${cells} cells of ${called} have no value` : '',
    step > 1 ? `of ${called}, which is large, one cell in ${step * step} was read` : '',
  ];
  return {
    value: mean,
    low,
    high,
    cells: known,
    step,
    absent: !Number.isNaN(mean)
      ? ''
      : known === 0
        ? `has no value at ${called}`
        : `has a value in only ${known} of the ${cells} cells of ${called}`,
    note: notes.filter((n) => n !== '').join('; '),
  };
}
