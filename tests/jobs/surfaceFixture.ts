/** Rasters made for the tests of the match surface, in any system, opened as layers. */
import { rng } from '../../src/domain/base/rng.ts';
import type { Result } from '../../src/domain/base/result.ts';
import { parsePlan } from '../../src/domain/plan/parse.ts';
import { distance } from '../../src/domain/vetting/match/distance.ts';
import { metric } from '../../src/domain/vetting/match/metric.ts';
import { surfaceSpec } from '../../src/domain/vetting/match/surface.ts';
import { transform } from '../../src/domain/vetting/match/transform.ts';
import type { ChosenVariable, SurfaceSpec } from '../../src/domain/vetting/match/types.ts';
import type { Transform } from '../../src/domain/layers/definition.ts';
import { crsFrom } from '../../src/io/crs/crs.ts';
import type { Affine, Raster } from '../../src/io/read/rasters/raster.ts';
import type { Source } from '../../src/io/source.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import { openGeotiff } from '../../src/io/write/geotiff.ts';
import { createDesk, type Desk } from '../../src/jobs/handlers/desk.ts';
import { openLayer } from '../../src/jobs/handlers/open.ts';

export const value = <T>(result: Result<T>): T => {
  if (!result.ok) throw new Error(`${result.failure.where} ${result.failure.what}`);
  return result.value;
};

export interface Made {
  readonly crs: string;
  /** Left, top, cell width, cell height (positive). */
  readonly at: readonly [number, number, number, number];
  readonly width: number;
  readonly height: number;
  /** Value of a cell; NaN missing. */
  readonly cell: (col: number, row: number) => number;
}

/** A cloud-optimised GeoTIFF of 32-bit floats, tiles of 256, overviews. */
export async function geotiffOf({ crs, at, width, height, cell }: Made): Promise<Uint8Array> {
  const [left, top, dx, dy] = at;
  const place: Affine = [left, dx, 0, top, 0, -dy];
  const system = value(await crsFrom(crs, 'test'));
  const file = openGeotiff(
    { width, height, transform: place, crs: system },
    { title: 't', notice: '', lines: {} },
  );
  for (let row = 0; row < height; row++)
    await file.rows(Float32Array.from({ length: width }, (_, col) => cell(col, row)));
  return new Uint8Array(await new Blob(await file.end()).arrayBuffer());
}

/** Definitions whose layers are rasters of numbers. */
export const IDS = [
  'mean-annual-temperature',
  'annual-precipitation',
  'elevation',
  'coldest-month-temperature',
  'frost-free-period',
] as const;

/** A desk with the rasters as layers v0, v1, ... @param watch wraps the bytes of each, to count what is read. */
export async function deskWith(
  made: readonly Made[],
  watch: (source: Source) => Source = (s) => s,
): Promise<{ desk: Desk; rasters: readonly Raster[] }> {
  const desk = createDesk();
  const plan = value(
    parsePlan(
      {
        kinstand: 1,
        title: 'Invented',
        layers: made.map((_, i) => ({ id: `v${i}`, definition: IDS[i], path: `v${i}.tif` })),
        plantings: [],
      },
      'test',
    ),
  );
  const rasters: Raster[] = [];
  for (const [i, entry] of plan.layers.entries()) {
    const source = watch(memorySource(`v${i}.tif`, await geotiffOf(made[i])));
    const { opened } = value(await openLayer(desk, entry, source, {}));
    if (opened.content.kind !== 'raster') throw new Error('no raster');
    rasters.push(opened.content.raster);
  }
  return { desk, rasters };
}

/** A covariance with these standard deviations and a correlation between neighbours in the list. */
export function covarianceOf(sd: readonly number[], correlation = 0.4): Float64Array {
  const k = sd.length;
  return Float64Array.from(
    { length: k * k },
    (_, i) => sd[Math.floor(i / k)] * sd[i % k] * correlation ** Math.abs(Math.floor(i / k) - (i % k)),
  );
}

export interface Question {
  readonly spec: SurfaceSpec;
  /** The match by the way of candidates: values of the variables at places, least over the sites. */
  readonly pointMatch: (values: readonly Float64Array[]) => Float64Array;
}

/** @param sites values of the variables at each site, in the file's units. */
export function question(
  covariance: Float64Array,
  sites: ReadonlyArray<readonly number[]>,
  transforms: readonly Transform[],
): Question {
  const k = transforms.length;
  const names = transforms.map((_, i) => `v${i}`);
  const variables = transforms.map(
    (how, i) => ({ layer: { id: `v${i}` }, variable: { transform: how } }) as unknown as ChosenVariable,
  );
  const readings = sites.map((values) => ({ values, low: values, high: values, now: values, cells: 0 }));
  const spec = surfaceSpec(variables, { covariance, variables: names }, readings, 'key');
  const measure = metric(covariance, names);
  const wide = new Float64Array(k).fill(Infinity);
  const taken = (column: Float64Array, i: number): Float64Array => transform(column, transforms[i]).values;
  return {
    spec,
    pointMatch: (values) => {
      const columns = sites.map(
        (site) =>
          distance(
            measure,
            Float64Array.from(site, (v, i) => taken(Float64Array.of(v), i)[0]),
            values.map(taken),
            wide.map((v) => -v),
            wide,
          ).match,
      );
      return columns[0].map((_, i) => Math.min(...columns.map((c) => c[i])));
    },
  };
}

/** Values of each raster at places, as a candidate's are taken. */
export async function valuesAt(
  rasters: readonly Raster[],
  lon: Float64Array,
  lat: Float64Array,
): Promise<Float64Array[]> {
  const out: Float64Array[] = [];
  for (const raster of rasters) {
    const { col, row } = raster.toPixel(lon, lat);
    out.push(value(await raster.sample(1, col, row, 'bilinear')));
  }
  return out;
}

/** A smooth field with holes (share of cells), its own for each seed. */
export function wavy(seed: number, middle: number, swing: number, holes = 0): Made['cell'] {
  const random = rng(seed);
  const [a, b, c] = [20 + 40 * random(), 20 + 40 * random(), 10 + 10 * random()];
  const hidden = (col: number, row: number): boolean => {
    const h = Math.imul(col * 7919 + row * 104_729 + seed, 0x9e3779b1) >>> 0;
    return h < holes * 2 ** 32;
  };
  return (col, row) =>
    hidden(col, row)
      ? NaN
      : middle + swing * (Math.sin(col / a) + Math.cos(row / b) + 0.5 * Math.sin((col + 2 * row) / c));
}
