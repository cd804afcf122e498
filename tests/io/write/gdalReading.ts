/** What the programs of GDAL read of a raster. */
import { execFileSync } from 'node:child_process';
import type { SurfaceCase } from './surfaces.ts';

export interface GdalReading {
  readonly size: readonly [number, number];
  readonly geoTransform: readonly number[];
  /** lon, lat of the middle, by the coordinate system as GDAL understands it. */
  readonly middle: readonly number[];
  readonly overviews: ReadonlyArray<readonly [number, number]>;
  readonly metadata: Readonly<Record<string, string>>;
  readonly structure: Readonly<Record<string, string>>;
  readonly band: Readonly<Record<string, unknown>>;
  /** Mean, least and most of the cells with a value; null where none has one. */
  readonly statistics: readonly number[] | null;
  /** col, row, value; null: no value. Level 0 is the image, 1 its first overview. */
  readonly cells: ReadonlyArray<readonly [level: number, col: number, row: number, value: number | null]>;
}

const run = (command: string, args: readonly string[], input = ''): string =>
  execFileSync(command, ['--config', 'GDAL_PAM_ENABLED', 'NO', ...args], {
    encoding: 'utf8',
    input,
    stdio: ['pipe', 'pipe', 'pipe'],
  });

/** Whether GDAL is on this machine. */
export function hasGdal(): boolean {
  try {
    run('gdalinfo', ['--version']);
    return true;
  } catch {
    return false;
  }
}

interface Info {
  readonly size: [number, number];
  readonly geoTransform?: number[];
  readonly coordinateSystem: { readonly wkt: string };
  readonly cornerCoordinates: { readonly center: [number, number] };
  readonly metadata: Readonly<Record<string, Readonly<Record<string, string>>>>;
  readonly bands: ReadonlyArray<{
    readonly type: string;
    readonly description?: string;
    readonly noDataValue?: unknown;
    readonly block: number[];
    readonly overviews?: ReadonlyArray<{ readonly size: [number, number] }>;
    readonly metadata: Readonly<Record<string, Readonly<Record<string, string>>>>;
  }>;
}

/** gdalinfo -json -stats, gdaltransform for the middle, gdallocationinfo for cells. */
export function gdalReading(file: string, { width, height }: SurfaceCase): GdalReading {
  const info = JSON.parse(run('gdalinfo', ['-json', '-mdd', 'all', file])) as Info;
  const [band] = info.bands;
  const middle = run(
    'gdaltransform',
    ['-s_srs', info.coordinateSystem.wkt, '-t_srs', 'OGC:CRS84', '-output_xy'],
    info.cornerCoordinates.center.join(' '),
  );
  const overviews = (band.overviews ?? []).map((o) => o.size);
  const cells = [[width, height] as const, ...overviews].flatMap(([w, h], level) =>
    cellsAt(file, level, placesIn(w, h)),
  );
  const metadata = Object.entries(info.metadata[''] ?? {}).filter(([name]) => !name.startsWith('STATISTICS'));
  return {
    size: info.size,
    geoTransform: info.geoTransform ?? [],
    middle: middle.trim().split(' ').map(Number),
    overviews,
    metadata: Object.fromEntries(metadata),
    structure: info.metadata['IMAGE_STRUCTURE'] ?? {},
    band: {
      type: band.type,
      description: band.description,
      noDataValue: band.noDataValue,
      block: band.block,
    },
    statistics: statistics(file),
    cells,
  };
}

function statistics(file: string): number[] | null {
  try {
    const { bands } = JSON.parse(run('gdalinfo', ['-json', '-stats', file])) as Info;
    const figures = bands[0].metadata[''];
    return ['MEAN', 'MINIMUM', 'MAXIMUM'].map((name) => Number(figures[`STATISTICS_${name}`]));
  } catch {
    // GDAL makes an error of a raster without a value.
    return null;
  }
}

function cellsAt(
  file: string,
  level: number,
  places: ReadonlyArray<readonly [number, number]>,
): GdalReading['cells'][number][] {
  const where = level === 0 ? [] : ['-oo', `OVERVIEW_LEVEL=${level - 1}`];
  const lines = places.map(([col, row]) => `${col} ${row}\n`).join('');
  const values = run('gdallocationinfo', [...where, '-valonly', file], lines)
    .trim()
    .split('\n');
  return places.map(([col, row], i) => [level, col, row, /nan/.test(values[i]) ? null : Number(values[i])]);
}

/** Corners, and some cells between: on either side of the edge of a tile, too. */
function placesIn(width: number, height: number): Array<readonly [number, number]> {
  const of = (n: number): number[] =>
    [...new Set([0, Math.floor(n / 3), 255, 256, n - 1])].filter((x) => x < n);
  return of(width).flatMap((col) => of(height).map((row) => [col, row] as const));
}
