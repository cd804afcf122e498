/** Rasters that the writer of GeoTIFF is tested with: values are invented, those of smooth hills with holes. */
import { crsFrom } from '../../../src/io/crs/crs.ts';
import type { Affine } from '../../../src/io/read/rasters/raster.ts';
import type { SurfaceAbout } from '../../../src/domain/plan/surfaceAbout.ts';
import { openGeotiff } from '../../../src/io/write/geotiff.ts';

export interface SurfaceCase {
  readonly name: string;
  readonly width: number;
  readonly height: number;
  readonly transform: Affine;
  /** As a user would give it. */
  readonly crs: string;
  readonly value: (col: number, row: number) => number;
}

const hills = (col: number, row: number): number =>
  (col + 2 * row) % 97 < 20
    ? NaN
    : Math.fround(0.5 + Math.sin(1 + col / 31) * Math.cos(1 + row / 17) * 0.4999);

const upright = (left: number, top: number, cell: number): Affine => [left, cell, 0, top, 0, -cell];

export const SURFACES: readonly SurfaceCase[] = [
  {
    name: 'one cell',
    width: 1,
    height: 1,
    transform: upright(1_000_000, 1_800_000, 90),
    crs: 'EPSG:5070',
    value: () => 0.25,
  },
  {
    name: 'a cell more and less than a tile',
    width: 255,
    height: 257,
    transform: upright(300_000, 4_300_000, 30),
    crs: 'EPSG:26917',
    value: hills,
  },
  {
    name: 'several tiles and overviews',
    width: 1000,
    height: 700,
    transform: upright(1_000_000, 1_800_000, 90),
    crs: 'EPSG:5070',
    value: hills,
  },
  {
    name: 'no value anywhere',
    width: 300,
    height: 260,
    transform: upright(1_000_000, 1_800_000, 90),
    crs: 'EPSG:5070',
    value: () => NaN,
  },
  {
    name: 'sheared grid',
    width: 300,
    height: 260,
    transform: [500_000, 80, 15, 4_300_000, 20, -85],
    crs: 'EPSG:32617',
    value: hills,
  },
  {
    name: 'rows from south to north',
    width: 40,
    height: 30,
    transform: [500_000, 80, 0, 4_300_000, 0, 85],
    crs: 'EPSG:32617',
    value: hills,
  },
  {
    name: 'degrees',
    width: 400,
    height: 300,
    transform: [-84, 1 / 120, 0, 40, 0, -1 / 240],
    crs: 'EPSG:4269',
    value: hills,
  },
  {
    name: 'degrees on a datum of the file',
    width: 40,
    height: 30,
    transform: [-84, 1 / 120, 0, 40, 0, -1 / 240],
    crs: '+proj=longlat +ellps=clrk66 +towgs84=-8,160,176 +no_defs',
    value: hills,
  },
  {
    name: 'a conic of the file in survey feet on the datum of 1927',
    width: 300,
    height: 260,
    transform: upright(1_700_000, 500_000, 300),
    crs: '+proj=lcc +lat_1=36.2 +lat_2=34.4 +lat_0=33.8 +lon_0=-79.5 +x_0=609601.22 +y_0=0 +datum=NAD27 +units=us-ft +no_defs',
    value: hills,
  },
  {
    name: 'a zone of UTM spelled out',
    width: 40,
    height: 30,
    transform: upright(500_000, 4_300_000, 30),
    crs: '+proj=utm +zone=16 +ellps=GRS80 +units=m +no_defs',
    value: hills,
  },
  {
    name: 'a transverse Mercator with a unit of its own',
    width: 40,
    height: 30,
    transform: upright(10_000, 20_000, 5),
    crs: '+proj=tmerc +lat_0=40 +lon_0=-82 +k=0.9999 +x_0=20116.8 +y_0=0 +datum=WGS84 +to_meter=20.1168 +no_defs',
    value: hills,
  },
];

export const ABOUT: SurfaceAbout = {
  title: 'Match with "Otter & Sons" <south field>',
  notice: 'Invented demonstration data.',
  lines: {
    site: 'Otter & Sons <south field>, 39.1 °N',
    variables: 'Annual rain (1991-2020)',
    components: '4',
  },
};

/** All cells, row by row. */
export const cellsOf = ({ width, height, value }: SurfaceCase): Float32Array =>
  Float32Array.from({ length: width * height }, (_, i) => value(i % width, Math.floor(i / width)));

/** @param rows at a time. */
export async function written(surface: SurfaceCase, rows = surface.height): Promise<Uint8Array> {
  const crs = await crsFrom(surface.crs, surface.name);
  if (!crs.ok) throw new Error(crs.failure.what);
  const { width, height, transform } = surface;
  const writer = openGeotiff({ width, height, transform, crs: crs.value }, ABOUT);
  const cells = cellsOf(surface);
  for (let y = 0; y < height; y += rows)
    await writer.rows(cells.subarray(y * width, Math.min(height, y + rows) * width));
  return joined(await writer.end());
}

export function joined(parts: readonly Uint8Array[]): Uint8Array {
  const out = new Uint8Array(parts.reduce((sum, p) => sum + p.length, 0));
  let at = 0;
  for (const part of parts) {
    out.set(part, at);
    at += part.length;
  }
  return out;
}
