/**
 * Coordinate systems from the keys of a GeoTIFF (OGC 19-008r4, GeoTIFF 1.1: sections 7.4 and 7.5 and annex C; codes from
 * memory, checked against GDAL in tests/reference), projections of the file's own included.
 */
import { fail, type Result } from '../../domain/base/result.ts';
import { crsFromEpsg, systemOf, type Crs } from './crs.ts';
import { datumOfWkt, type Datum } from './crsDatum.ts';
import { crsLookup } from './crsLookup.ts';
import { plainName } from './crsNames.ts';

export type GeoKeys = Readonly<Record<string, unknown>>;

const USER_DEFINED = 32767;

/** Coordinate transformation codes to PROJ names. */
const METHODS: Readonly<Record<number, string>> = {
  1: 'tmerc',
  3: 'omerc +no_uoff',
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
  22: 'poly',
  24: 'sinu',
  // The code that GDAL writes for the variant whose origin is the centre.
  9815: 'omerc',
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
  if (projected !== undefined && projected !== USER_DEFINED && projected !== 0) {
    const made = await crsFromEpsg(projected, where);
    // A code that is not known is no loss where the file spells the system out as well.
    if (made.ok || !own) return made;
  }
  if (model === 2 || (projected === undefined && !own)) {
    if (geographic !== undefined && geographic !== USER_DEFINED) return crsFromEpsg(geographic, where);
    const datum = await datumOf(keys, number);
    return datum === null
      ? undefinedDatum(where)
      : systemOf(`+proj=longlat ${datum.figure} +no_defs`, datum.datum, citation(keys), where);
  }
  const datum = await datumOf(keys, number);
  if (datum === null) return undefinedDatum(where);
  const zone = utmZone(number('ProjectionGeoKey'));
  if (zone)
    return systemOf(
      `+proj=utm ${zone} ${datum.figure} +units=m +no_defs`,
      datum.datum,
      citation(keys),
      where,
    );
  const code = number('ProjCoordTransGeoKey') ?? -1;
  const definition = ownProjection(code, datum.figure, number);
  if (definition === null)
    return fail(
      'crs',
      where,
      `uses a projection of its own that is not understood (${citation(keys)})`,
      'Give its PROJ string or WKT as the coordinate system of the layer, or convert the file to EPSG:4326 or EPSG:5070.',
    );
  return systemOf(definition, datum.datum, citation(keys), where);
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
  figure: string,
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
    method.startsWith('omerc') ? part('alpha', degrees('ProjAzimuthAngleGeoKey')) : '',
    method.startsWith('omerc') ? part('gamma', degrees('ProjRectifiedGridAngleGeoKey')) : '',
    part(
      method.startsWith('omerc') ? 'lonc' : 'lon_0',
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
    figure,
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

/** Ellipsoid and prime meridian as a PROJ string has them, and the way to WGS 84; null where the keys do not tell. */
async function datumOf(
  keys: GeoKeys,
  number: (...names: string[]) => number | undefined,
): Promise<{ readonly figure: string; readonly datum: Datum } | null> {
  const lookup = await crsLookup();
  const code = number('GeographicTypeGeoKey', 'GeodeticCRSGeoKey');
  const datumCode = number('GeogGeodeticDatumGeoKey');
  const base =
    (code === undefined ? null : lookup.bases.get(code)) ??
    (datumCode === undefined ? null : lookup.baseOfDatumCode(datumCode));
  const shift = keys['GeogTOWGS84GeoKey'];
  const numbers = shift === undefined ? [] : Array.from(shift as ArrayLike<number>);
  const a = number('GeogSemiMajorAxisGeoKey') ?? null;
  const b = number('GeogSemiMinorAxisGeoKey');
  const rf =
    number('GeogInvFlatteningGeoKey') ?? (a !== null && b !== undefined ? (a === b ? 0 : a / (a - b)) : null);
  const names = datumNames(keys);
  const known =
    names.map((n) => lookup.baseOfDatum(plainName(n))).find((found) => found !== null) ?? base ?? null;
  if (known === null && (a === null || rf === null)) return null;
  const ellipsoid = a !== null && rf !== null ? (rf === 0 ? `+a=${a} +b=${a}` : `+a=${a} +rf=${rf}`) : null;
  const figure = (base ?? (ellipsoid === null ? known : null))?.figure ?? ellipsoid;
  if (figure === null) return null;
  const datum = await datumOfWkt({
    datumName: known?.datumNames[0] ?? names[0] ?? 'of the file',
    baseCode: base?.code ?? known?.code ?? null,
    towgs84: [3, 7].includes(numbers.length) ? numbers : null,
    a,
    rf,
  });
  return { figure, datum };
}

/** Names of datums and geographic systems in the citations: "GCS Name = NAD27|Datum = North_American_Datum_1927|...". */
function datumNames(keys: GeoKeys): string[] {
  return ['GeogCitationGeoKey', 'GTCitationGeoKey', 'PCSCitationGeoKey']
    .map((key) => keys[key])
    .filter((text): text is string => typeof text === 'string')
    .flatMap((text) => text.replaceAll('\0', '').split(/[|/]/))
    .map((part) => part.replace(/^.*=/, '').trim())
    .filter((part) => part !== '');
}
