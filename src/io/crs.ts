/** Coordinate systems: from what files say to functions between WGS 84 degrees and the file's coordinates. */
import proj4, { type Converter } from 'proj4';
import { fail, ok, type Result } from '../domain/base/result.ts';

export interface Crs {
  /** "EPSG:5070", or the name that the file gives. */
  readonly name: string;
  /** Coordinates are degrees. */
  readonly geographic: boolean;
  /** lon, lat (degrees) to x, y. */
  forward(lon: number, lat: number): [number, number];
  /** x, y to lon, lat (degrees). */
  inverse(x: number, y: number): [number, number];
}

/**
 * Definitions that proj4 does not carry itself (parameters as in the EPSG registry and, for the 102xxx codes, as in the
 * WKT that files in these systems carry; from memory). Any other code needs the WKT or PROJ string from the file's maker.
 */
const DEFINITIONS: Readonly<Record<number, string>> = {
  4326: '+proj=longlat +datum=WGS84 +no_defs',
  4269: '+proj=longlat +datum=NAD83 +no_defs',
  4152: '+proj=longlat +ellps=GRS80 +towgs84=0,0,0 +no_defs',
  6318: '+proj=longlat +ellps=GRS80 +towgs84=0,0,0 +no_defs',
  3857: '+proj=merc +a=6378137 +b=6378137 +lat_ts=0 +lon_0=0 +x_0=0 +y_0=0 +k=1 +units=m +nadgrids=@null +no_defs',
  5070: '+proj=aea +lat_0=23 +lon_0=-96 +lat_1=29.5 +lat_2=45.5 +x_0=0 +y_0=0 +datum=NAD83 +units=m +no_defs',
  6350: '+proj=aea +lat_0=23 +lon_0=-96 +lat_1=29.5 +lat_2=45.5 +x_0=0 +y_0=0 +ellps=GRS80 +towgs84=0,0,0 +units=m +no_defs',
  3978: '+proj=lcc +lat_0=49 +lon_0=-95 +lat_1=49 +lat_2=77 +x_0=0 +y_0=0 +datum=NAD83 +units=m +no_defs',
  102003:
    '+proj=aea +lat_0=37.5 +lon_0=-96 +lat_1=29.5 +lat_2=45.5 +x_0=0 +y_0=0 +datum=NAD83 +units=m +no_defs',
  102008: '+proj=aea +lat_0=40 +lon_0=-96 +lat_1=20 +lat_2=60 +x_0=0 +y_0=0 +datum=NAD83 +units=m +no_defs',
  102039:
    '+proj=aea +lat_0=23 +lon_0=-96 +lat_1=29.5 +lat_2=45.5 +x_0=0 +y_0=0 +datum=NAD83 +units=m +no_defs',
};

/** UTM zones by the numbering of their EPSG codes: WGS 84 north and south, NAD83. */
function utm(code: number): string | null {
  if (code >= 32601 && code <= 32660) return `+proj=utm +zone=${code - 32600} +datum=WGS84 +units=m +no_defs`;
  if (code >= 32701 && code <= 32760)
    return `+proj=utm +zone=${code - 32700} +south +datum=WGS84 +units=m +no_defs`;
  if (code >= 26901 && code <= 26923) return `+proj=utm +zone=${code - 26900} +datum=NAD83 +units=m +no_defs`;
  return null;
}

export function crsFromEpsg(code: number, where: string): Result<Crs> {
  const definition = DEFINITIONS[code] ?? utm(code);
  if (definition === null) {
    return fail(
      'crs',
      where,
      `uses the coordinate system EPSG:${code}, which is not built in`,
      'Give its PROJ string or WKT in the plan, or convert the file to EPSG:4326 or EPSG:5070.',
    );
  }
  return made(definition, `EPSG:${code}`, where);
}

/** From an EPSG code ("EPSG:5070", "5070", an OGC URN or URL), a WKT, or a PROJ string. */
export function crsFrom(text: string, where: string): Result<Crs> {
  const trimmed = text.trim();
  if (/CRS:?84$/i.test(trimmed)) return crsFromEpsg(4326, where);
  const code =
    /^(?:(?:EPSG|ESRI):+|urn:ogc:def:crs:EPSG:[\d.]*:|https?:\/\/www\.opengis\.net\/(?:def\/crs\/EPSG\/\d+\/|gml\/srs\/epsg\.xml#))?(\d{4,6})$/i.exec(
      trimmed,
    )?.[1];
  if (code !== undefined) return crsFromEpsg(Number(code), where);
  if (trimmed.startsWith('+')) return made(trimmed, trimmed.slice(0, 60), where);
  if (/^[A-Z_]+\s*\[/i.test(trimmed)) return crsFromWkt(trimmed, where);
  return fail(
    'crs',
    where,
    `names the coordinate system "${trimmed.slice(0, 60)}", which is not understood`,
    'Give an EPSG code, a WKT or a PROJ string.',
  );
}

function crsFromWkt(wkt: string, where: string): Result<Crs> {
  const name = /\[\s*"([^"]+)"/.exec(wkt)?.[1] ?? 'WKT';
  if (/NAD[ _]?(19)?27|North_American_Datum_1927/i.test(wkt)) {
    return fail(
      'crs',
      where,
      `is on the old datum NAD27 (${name}), which is off by tens of metres without a shift grid`,
      'Convert the file to NAD83 or WGS 84.',
    );
  }
  // The outermost authority code is the last one of the text.
  const code = /(?:AUTHORITY|ID)\s*\[\s*"EPSG"\s*,\s*"?(\d+)"?\s*\]\s*\]\s*$/i.exec(wkt)?.[1];
  if (code !== undefined && (DEFINITIONS[Number(code)] !== undefined || utm(Number(code)) !== null))
    return crsFromEpsg(Number(code), where);
  return made(wkt, code === undefined ? name : `EPSG:${code}`, where);
}

function made(definition: string, name: string, where: string): Result<Crs> {
  let converter: Converter;
  try {
    converter = proj4(definition, 'EPSG:4326');
    // Some definitions parse and fail only when used.
    converter.forward([0, 0]);
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    return fail(
      'crs',
      where,
      `uses the coordinate system ${name}, which cannot be used (${why})`,
      'Convert the file to EPSG:4326 or EPSG:5070.',
    );
  }
  const geographic =
    /\+proj=(longlat|latlong)/.test(definition) || /^\s*(GEOGCS|GEOGCRS|GEODCRS)/i.test(definition);
  return ok({
    name,
    geographic,
    forward: (lon, lat) => converter.inverse([lon, lat]),
    inverse: (x, y) => converter.forward([x, y]),
  });
}

type Keys = Readonly<Record<string, unknown>>;

const USER_DEFINED = 32767;

/** GeoTIFF coordinate transformation codes (GeoTIFF 1.1, OGC 19-008r4, from memory) to PROJ names. */
const METHODS: Readonly<Record<number, string>> = {
  1: 'tmerc',
  7: 'merc',
  8: 'lcc',
  9: 'lcc',
  10: 'laea',
  11: 'aea',
};
const LINEAR_UNITS: Readonly<Record<number, string>> = {
  9001: '+units=m',
  9002: '+units=ft',
  9003: '+units=us-ft',
};
const DATUMS: Readonly<Record<number, string>> = {
  6326: '+datum=WGS84',
  6269: '+datum=NAD83',
  4326: '+datum=WGS84',
  4269: '+datum=NAD83',
};

/** From the keys of a GeoTIFF, user-defined projections included. */
export function crsFromGeoKeys(keys: Keys | null, where: string): Result<Crs> {
  const number = (...names: string[]): number | undefined =>
    names.map((n) => keys?.[n]).find((v): v is number => typeof v === 'number');
  const model = number('GTModelTypeGeoKey');
  const projected = number('ProjectedCSTypeGeoKey');
  const geographic = number('GeographicTypeGeoKey', 'GeodeticCRSGeoKey');
  if (!keys || (model === undefined && projected === undefined && geographic === undefined)) {
    return fail(
      'crs',
      where,
      'does not say its coordinate system',
      'Add it to the file, or give it in the plan (crs).',
    );
  }
  if (projected !== undefined && projected !== USER_DEFINED) return crsFromEpsg(projected, where);
  if (model === 2 || (projected === undefined && model !== 1)) {
    if (geographic !== undefined && geographic !== USER_DEFINED) return crsFromEpsg(geographic, where);
    const datum = datumOf(keys, number);
    return datum === null
      ? undefinedDatum(where)
      : made(`+proj=longlat ${datum} +no_defs`, citation(keys), where);
  }
  const method = METHODS[number('ProjCoordTransGeoKey') ?? -1];
  const datum = datumOf(keys, number);
  if (method === undefined)
    return fail(
      'crs',
      where,
      'uses a projection of its own that is not understood',
      'Convert the file to EPSG:4326 or EPSG:5070.',
    );
  if (datum === null) return undefinedDatum(where);
  const part = (name: string, value: number | undefined): string =>
    value === undefined ? '' : `+${name}=${value}`;
  const definition = [
    `+proj=${method}`,
    part('lat_0', number('ProjNatOriginLatGeoKey', 'ProjFalseOriginLatGeoKey', 'ProjCenterLatGeoKey')),
    part('lon_0', number('ProjNatOriginLongGeoKey', 'ProjFalseOriginLongGeoKey', 'ProjCenterLongGeoKey')),
    part('lat_1', number('ProjStdParallel1GeoKey')),
    part('lat_2', number('ProjStdParallel2GeoKey')),
    part('k', number('ProjScaleAtNatOriginGeoKey')),
    part('x_0', number('ProjFalseEastingGeoKey', 'ProjFalseOriginEastingGeoKey', 'ProjCenterEastingGeoKey')),
    part(
      'y_0',
      number('ProjFalseNorthingGeoKey', 'ProjFalseOriginNorthingGeoKey', 'ProjCenterNorthingGeoKey'),
    ),
    datum,
    LINEAR_UNITS[number('ProjLinearUnitsGeoKey') ?? 9001] ?? '+units=m',
    '+no_defs',
  ];
  return made(definition.filter((p) => p !== '').join(' '), citation(keys), where);
}

const undefinedDatum = (where: string) =>
  fail('crs', where, 'is on a datum that is not understood', 'Convert the file to NAD83 or WGS 84.');

const citation = (keys: Keys): string => {
  const text = [keys['PCSCitationGeoKey'], keys['GTCitationGeoKey'], keys['GeogCitationGeoKey']].find(
    (t): t is string => typeof t === 'string' && t.trim() !== '',
  );
  return text?.replace(/[|\0]+$/, '').trim() || 'defined in the file';
};

function datumOf(keys: Keys, number: (...names: string[]) => number | undefined): string | null {
  for (const code of [
    number('GeographicTypeGeoKey', 'GeodeticCRSGeoKey'),
    number('GeogGeodeticDatumGeoKey'),
  ]) {
    if (code !== undefined && DATUMS[code] !== undefined) return DATUMS[code];
  }
  const a = number('GeogSemiMajorAxisGeoKey');
  const flattening = number('GeogInvFlatteningGeoKey');
  const b = number('GeogSemiMinorAxisGeoKey');
  if (a !== undefined && flattening !== undefined) return `+a=${a} +rf=${flattening} +towgs84=0,0,0`;
  if (a !== undefined && b !== undefined) return `+a=${a} +b=${b} +towgs84=0,0,0`;
  const names = [keys['GeogCitationGeoKey'], keys['GTCitationGeoKey'], keys['PCSCitationGeoKey']].join(' ');
  if (/WGS[ _]?(19)?84/i.test(names)) return '+datum=WGS84';
  if (/NAD[ _]?(19)?83|North.American.(Datum.)?(of )?1983/i.test(names)) return '+datum=NAD83';
  return null;
}
