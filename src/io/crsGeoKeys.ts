/**
 * Coordinate systems from the keys of a GeoTIFF (OGC 19-008r4, GeoTIFF 1.1: sections 7.4 and 7.5 and annex C; codes from
 * memory, checked against GDAL in tests/reference), projections of the file's own included.
 */
import { fail, type Result } from '../domain/base/result.ts';
import { crsFromEpsg, crsFromProj, type Crs } from './crs.ts';
import { definitionOf } from './crsDefinitions.ts';

export type GeoKeys = Readonly<Record<string, unknown>>;

const USER_DEFINED = 32767;

/** Coordinate transformation codes to PROJ names. */
const METHODS: Readonly<Record<number, string>> = {
  1: 'tmerc',
  7: 'merc',
  8: 'lcc',
  9: 'lcc',
  10: 'laea',
  11: 'aea',
  12: 'aeqd',
  13: 'eqdc',
  14: 'stere',
  15: 'stere',
  16: 'sterea',
  17: 'eqc',
  18: 'cass',
  24: 'sinu',
};
const LCC_ONE_PARALLEL = 9;
const POLAR = 15;

/** Metres in one unit of length, by EPSG code. */
const UNITS: Readonly<Record<number, readonly [metres: number, proj: string]>> = {
  9001: [1, '+units=m'],
  9002: [0.3048, '+units=ft'],
  9003: [1200 / 3937, '+units=us-ft'],
};
/** Degrees in one unit of angle. */
const ANGLES: Readonly<Record<number, number>> = { 9101: 180 / Math.PI, 9102: 1, 9105: 0.9, 9106: 0.9 };

/** Datums and geographic systems that count as WGS 84 or NAD83. */
const DATUMS: Readonly<Record<number, string>> = {
  6326: '+datum=WGS84',
  4326: '+datum=WGS84',
  ...Object.fromEntries(
    [6269, 4269, 6152, 4152, 6140, 4617, 6759, 4759, 1116, 6318].map((code) => [code, '+datum=NAD83']),
  ),
};

/** The coordinate system that a GeoTIFF's keys describe. Fails where they are missing or not understood. */
export async function crsFromGeoKeys(keys: GeoKeys | null, where: string): Promise<Result<Crs>> {
  const number = (...names: string[]): number | undefined =>
    names.map((n) => keys?.[n]).find((v): v is number => typeof v === 'number');
  const model = number('GTModelTypeGeoKey');
  const projected = number('ProjectedCSTypeGeoKey');
  const geographic = number('GeographicTypeGeoKey', 'GeodeticCRSGeoKey');
  if (!keys || (projected === undefined && geographic === undefined && !isProjection(keys))) {
    return fail(
      'crs',
      where,
      'does not say its coordinate system',
      'Give its EPSG code, WKT or PROJ string as the coordinate system of the layer, or write it into the file.',
    );
  }
  const own = isProjection(keys);
  // A code that is not built in is no loss where the file spells the system out as well.
  if (
    projected !== undefined &&
    projected !== USER_DEFINED &&
    projected !== 0 &&
    (definitionOf(projected) !== null || !own)
  )
    return crsFromEpsg(projected, where);
  if (model === 2 || (projected === undefined && !own)) {
    if (geographic !== undefined && geographic !== USER_DEFINED) return crsFromEpsg(geographic, where);
    const datum = datumOf(keys, number);
    return datum === null
      ? undefinedDatum(where)
      : crsFromProj(`+proj=longlat ${datum} +no_defs`, citation(keys), where);
  }
  const datum = datumOf(keys, number);
  if (datum === null) return undefinedDatum(where);
  const zone = utmZone(number('ProjectionGeoKey'));
  if (zone) return crsFromProj(`+proj=utm ${zone} ${datum} +units=m +no_defs`, citation(keys), where);
  const code = number('ProjCoordTransGeoKey') ?? -1;
  const definition = ownProjection(code, datum, number);
  if (definition === null)
    return fail(
      'crs',
      where,
      `uses a projection of its own that is not understood (${citation(keys)})`,
      'Give its PROJ string or WKT as the coordinate system of the layer, or convert the file to EPSG:4326 or EPSG:5070.',
    );
  return crsFromProj(definition, citation(keys), where);
}

const isProjection = (keys: GeoKeys): boolean =>
  typeof keys['ProjCoordTransGeoKey'] === 'number' || utmZone(keys['ProjectionGeoKey']) !== null;

/** 16001-16060 and 16101-16160 are the UTM zones north and south. */
function utmZone(projection: unknown): string | null {
  if (typeof projection !== 'number') return null;
  if (projection >= 16001 && projection <= 16060) return `+zone=${projection - 16000}`;
  if (projection >= 16101 && projection <= 16160) return `+zone=${projection - 16100} +south`;
  return null;
}

function ownProjection(
  code: number,
  datum: string,
  number: (...names: string[]) => number | undefined,
): string | null {
  const method = METHODS[code];
  const unit = unitOf(number);
  const angle = ANGLES[number('GeogAngularUnitsGeoKey') ?? 9102];
  if (method === undefined || !unit || angle === undefined) return null;
  const degrees = (...names: string[]): number | undefined => scaled(number(...names), angle);
  // The keys are in the unit of the coordinates, PROJ's offsets always in metres.
  const metres = (...names: string[]): number | undefined => scaled(number(...names), unit[0]);
  const part = (name: string, value: number | undefined): string =>
    value === undefined ? '' : `+${name}=${value}`;
  const lat0 = degrees('ProjNatOriginLatGeoKey', 'ProjFalseOriginLatGeoKey', 'ProjCenterLatGeoKey');
  const lat1 = degrees('ProjStdParallel1GeoKey');
  return [
    `+proj=${method}`,
    code === POLAR ? `+lat_0=${(lat0 ?? 90) < 0 ? -90 : 90} +lat_ts=${lat0 ?? 90}` : part('lat_0', lat0),
    part(
      'lon_0',
      degrees(
        'ProjNatOriginLongGeoKey',
        'ProjFalseOriginLongGeoKey',
        'ProjCenterLongGeoKey',
        'ProjStraightVertPoleLongGeoKey',
      ),
    ),
    part('lat_1', code === LCC_ONE_PARALLEL ? lat0 : lat1),
    part('lat_2', degrees('ProjStdParallel2GeoKey')),
    // Mercator and plate carrée name the latitude of true scale as their standard parallel.
    method === 'merc' || method === 'eqc' ? part('lat_ts', lat1) : '',
    part('k', number('ProjScaleAtNatOriginGeoKey', 'ProjScaleAtCenterGeoKey')),
    part('x_0', metres('ProjFalseEastingGeoKey', 'ProjFalseOriginEastingGeoKey', 'ProjCenterEastingGeoKey')),
    part(
      'y_0',
      metres('ProjFalseNorthingGeoKey', 'ProjFalseOriginNorthingGeoKey', 'ProjCenterNorthingGeoKey'),
    ),
    datum,
    unit[1],
    '+no_defs',
  ]
    .filter((p) => p !== '')
    .join(' ');
}

const scaled = (value: number | undefined, factor: number): number | undefined =>
  value === undefined ? undefined : value * factor;

function unitOf(number: (...names: string[]) => number | undefined): readonly [number, string] | null {
  const code = number('ProjLinearUnitsGeoKey') ?? 9001;
  const size = number('ProjLinearUnitSizeGeoKey');
  if (code === USER_DEFINED && size !== undefined && size > 0) return [size, `+to_meter=${size}`];
  return UNITS[code] ?? null;
}

const undefinedDatum = (where: string) =>
  fail('crs', where, 'is on a datum that is not understood', 'Convert the file to NAD83 or WGS 84.');

/** The name that the file gives to its system, without what GDAL puts before it. */
function citation(keys: GeoKeys): string {
  const text = [keys['PCSCitationGeoKey'], keys['GTCitationGeoKey'], keys['GeogCitationGeoKey']].find(
    (t): t is string => typeof t === 'string' && t.trim() !== '',
  );
  const name = text
    ?.split('|')[0]
    .replace(/\0.*$/s, '')
    .replace(/^(PCS Name|GCS Name)\s*=\s*/, '')
    .trim();
  return name && name !== 'unknown' && name !== 'unnamed' ? name.slice(0, 60) : 'defined in the file';
}

function datumOf(keys: GeoKeys, number: (...names: string[]) => number | undefined): string | null {
  for (const code of [
    number('GeographicTypeGeoKey', 'GeodeticCRSGeoKey'),
    number('GeogGeodeticDatumGeoKey'),
  ]) {
    if (code !== undefined && DATUMS[code] !== undefined) return DATUMS[code];
  }
  const names = [keys['GeogCitationGeoKey'], keys['GTCitationGeoKey'], keys['PCSCitationGeoKey']].join(' ');
  if (/NAD[ _]?(19)?27|North.American.(Datum.)?(of )?1927/i.test(names)) return null;
  if (/WGS[ _]?(19)?84/i.test(names)) return '+datum=WGS84';
  if (/NAD[ _]?(19)?83|North.American.(Datum.)?(of )?1983/i.test(names)) return '+datum=NAD83';
  const a = number('GeogSemiMajorAxisGeoKey');
  const flattening = number('GeogInvFlatteningGeoKey');
  const b = number('GeogSemiMinorAxisGeoKey');
  // Clarke 1866: NAD27, though only its code (4267) or nothing may say so.
  if (a !== undefined && Math.abs(a - 6378206.4) < 0.1) return null;
  if (a !== undefined && flattening !== undefined) return `+a=${a} +rf=${flattening} +towgs84=0,0,0`;
  if (a !== undefined && b !== undefined) return `+a=${a} +b=${b} +towgs84=0,0,0`;
  return null;
}
