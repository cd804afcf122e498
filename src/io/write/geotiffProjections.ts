/**
 * Projections in the words of a GeoTIFF's keys (OGC 19-008r4, annex C, and the parameters that GDAL reads for each), from
 * the parameters of a PROJ string: the inverse of the projections in crs/crsGeoKeys.ts.
 */

/** Numbers of a PROJ string by name. Degrees and factors as they stand there, offsets in metres. */
export type Numbers = (name: string, otherwise?: number) => number;

export interface Projection {
  /** Of the coordinate transformation (key 3075), or of a UTM zone (key 3074) where it is one. */
  readonly method: number;
  readonly zone?: number;
  /** Degrees and factors by key. */
  readonly keys: Readonly<Record<number, number>>;
  /** Keys of the offsets. */
  readonly east: number;
  readonly north: number;
  /** Parameters that were looked at; one that is set and was not would be lost. */
  readonly reads: readonly string[];
}

const USER_DEFINED = 32767;
const [PARALLEL_1, PARALLEL_2] = [3078, 3079];
const [NATURAL_LON, NATURAL_LAT] = [3080, 3081];
const [FALSE_EASTING, FALSE_NORTHING] = [3082, 3083];
const [FALSE_ORIGIN_LON, FALSE_ORIGIN_LAT] = [3084, 3085];
const [FALSE_ORIGIN_EASTING, FALSE_ORIGIN_NORTHING] = [3086, 3087];
const [CENTRE_LON, CENTRE_LAT] = [3088, 3089];
const [SCALE_NATURAL, SCALE_CENTRE] = [3092, 3093];
const [AZIMUTH, POLE_LON, GRID_ANGLE] = [3094, 3095, 3096];

const of = (
  method: number,
  reads: readonly string[],
  keys: Readonly<Record<number, number>>,
  [east, north] = [FALSE_EASTING, FALSE_NORTHING],
): Projection => ({ method, keys, east, north, reads });

const natural = (n: Numbers): Record<number, number> => ({
  [NATURAL_LON]: n('lon_0', 0),
  [NATURAL_LAT]: n('lat_0', 0),
});
const centre = (n: Numbers): Record<number, number> => ({
  [CENTRE_LON]: n('lon_0', 0),
  [CENTRE_LAT]: n('lat_0', 0),
});
const parallels = (n: Numbers): Record<number, number> => ({
  [PARALLEL_1]: n('lat_1'),
  [PARALLEL_2]: n('lat_2', n('lat_1')),
});
const scale = (n: Numbers): number => n('k', n('k_0', 1));
const ORIGIN = ['lat_0', 'lon_0'];
const SCALE = ['k', 'k_0'];
const PARALLELS = ['lat_1', 'lat_2'];

/** By PROJ's name; null: the keys have no words for these parameters. */
const METHODS: Readonly<Record<string, (n: Numbers) => Projection | null>> = {
  tmerc: (n) => of(1, [...ORIGIN, ...SCALE], { ...natural(n), [SCALE_NATURAL]: scale(n) }),
  utm(n) {
    const zone = n('zone');
    const whole = Number.isInteger(zone) && zone >= 1 && zone <= 60;
    // A zone's key holds all of its numbers.
    return whole
      ? {
          ...of(USER_DEFINED, ['zone', 'south'], {}),
          zone: (Number.isNaN(n('south')) ? 16000 : 16100) + zone,
        }
      : null;
  },
  merc: (n) =>
    Number.isNaN(n('lat_ts'))
      ? of(7, [...ORIGIN, ...SCALE], { ...natural(n), [SCALE_NATURAL]: scale(n) })
      : of(7, ['lat_ts', 'lat_1', ...ORIGIN], { ...natural(n), [PARALLEL_1]: n('lat_ts') }),
  lcc(n) {
    const [first, second, origin] = [n('lat_1'), n('lat_2', n('lat_1')), n('lat_0', 0)];
    const reads = [...ORIGIN, ...PARALLELS];
    if (first === second && origin === first)
      return of(9, [...reads, ...SCALE], { ...natural(n), [SCALE_NATURAL]: scale(n) });
    const keys = { [FALSE_ORIGIN_LON]: n('lon_0', 0), [FALSE_ORIGIN_LAT]: origin, ...parallels(n) };
    // With two parallels there is no factor.
    return of(8, reads, keys, [FALSE_ORIGIN_EASTING, FALSE_ORIGIN_NORTHING]);
  },
  laea: (n) => of(10, ORIGIN, centre(n)),
  aea: (n) => of(11, [...ORIGIN, ...PARALLELS], { ...natural(n), ...parallels(n) }),
  aeqd: (n) => of(12, ORIGIN, centre(n)),
  eqdc: (n) => of(13, [...ORIGIN, ...PARALLELS], { ...natural(n), ...parallels(n) }),
  stere(n) {
    const pole = n('lat_0', 0);
    if (Math.abs(pole) !== 90)
      return of(14, [...ORIGIN, ...SCALE], { ...centre(n), [SCALE_NATURAL]: scale(n) });
    const keys = { [POLE_LON]: n('lon_0', 0), [NATURAL_LAT]: n('lat_ts', pole), [SCALE_NATURAL]: scale(n) };
    return of(15, [...ORIGIN, ...SCALE, 'lat_ts'], keys);
  },
  sterea: (n) => of(16, [...ORIGIN, ...SCALE], { ...natural(n), [SCALE_NATURAL]: scale(n) }),
  eqc: (n) => of(17, [...ORIGIN, 'lat_ts', 'lat_1'], { ...centre(n), [PARALLEL_1]: n('lat_ts', 0) }),
  cass: (n) => of(18, ORIGIN, { ...natural(n), [SCALE_NATURAL]: 1 }),
  poly: (n) => of(22, ORIGIN, { ...natural(n), [SCALE_NATURAL]: 1 }),
  sinu: (n) => of(24, ['lon_0'], { [CENTRE_LON]: n('lon_0', 0) }),
  omerc(n) {
    const keys = {
      [CENTRE_LON]: n('lonc', n('lon_0')),
      [CENTRE_LAT]: n('lat_0', 0),
      [AZIMUTH]: n('alpha'),
      [GRID_ANGLE]: n('gamma', n('alpha')),
      [SCALE_CENTRE]: scale(n),
    };
    const reads = [...ORIGIN, ...SCALE, 'lonc', 'alpha', 'gamma', 'no_uoff', 'no_off'];
    const fromOrigin = !Number.isNaN(n('no_uoff')) || !Number.isNaN(n('no_off'));
    return of(fromOrigin ? 3 : 9815, reads, keys);
  },
};

/** null where the keys have no words for the projection. @param n gives 1 for a part without a value. */
export function geotiffProjection(name: string, n: Numbers): Projection | null {
  const projection = METHODS[name]?.(n) ?? null;
  return projection && Object.values(projection.keys).every(Number.isFinite) ? projection : null;
}
