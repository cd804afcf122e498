/** Coordinate systems: from what files say to functions between WGS 84 degrees and the file's coordinates. */
import proj4, { type Converter } from 'proj4';
import { fail, ok, type Result } from '../domain/base/result.ts';
import { definitionOf, isNad27 } from './crsDefinitions.ts';

export interface Crs {
  /** "EPSG:5070", or the name that the file gives. */
  readonly name: string;
  /** Coordinates are degrees. */
  readonly geographic: boolean;
  /** "degrees", "metres", "feet". */
  readonly unit: string;
  /** How far off the way from its datum to WGS 84 may be; null where that is nothing that counts. */
  readonly accuracyMetres: number | null;
  /** What the user should know of the way to WGS 84, fit for a note; null where there is nothing to say. */
  readonly note: string | null;
  /** lon, lat (degrees) to x, y; new arrays. What has no place in the system is not a finite number. */
  forward(lon: Float64Array, lat: Float64Array): { x: Float64Array; y: Float64Array };
  /** x, y to lon, lat (degrees); new arrays. */
  inverse(x: Float64Array, y: Float64Array): { lon: Float64Array; lat: Float64Array };
  /** One position, x, y to lon, lat. */
  inverseOne(x: number, y: number): [number, number];
}

const GIVE =
  'Give its PROJ string or WKT as the coordinate system of the layer, or convert the file to EPSG:4326 or EPSG:5070.';

/** Asynchronous, since most codes stand in a table that is loaded when the first of them is asked for. */
export async function crsFromEpsg(code: number, where: string): Promise<Result<Crs>> {
  const name = `${code > 100_000 && code < 900_000 ? 'ESRI' : 'EPSG'}:${code}`;
  if (isNad27(code)) return onNad27(where, name);
  const definition = definitionOf(code);
  if (definition === null)
    return fail('crs', where, `uses the coordinate system ${name}, which is not built in`, GIVE);
  return crsFromProj(definition, name, where);
}

const CODE =
  /^(?:(?:EPSG|ESRI):+|urn:ogc:def:crs:(?:EPSG|ESRI):[\d.]*:|https?:\/\/www\.opengis\.net\/(?:def\/crs\/EPSG\/[\d.]+\/|gml\/srs\/epsg\.xml#))?(\d{4,6})$/i;

/** From an EPSG code ("EPSG:5070", "5070", an OGC URN or URL), a WKT, or a PROJ string. */
export async function crsFrom(text: string, where: string): Promise<Result<Crs>> {
  const trimmed = text.trim();
  if (/(?:CRS:?|CRS84:?|:)84$/i.test(trimmed) && /CRS/i.test(trimmed)) return crsFromEpsg(4326, where);
  const code = CODE.exec(trimmed)?.[1];
  if (code !== undefined) return crsFromEpsg(Number(code), where);
  if (/^\+\w/.test(trimmed)) return crsFromProj(trimmed, trimmed.slice(0, 60), where);
  if (/^[A-Z_]+\s*\[/i.test(trimmed)) return crsFromWkt(trimmed, where);
  return fail(
    'crs',
    where,
    `names the coordinate system "${trimmed.slice(0, 60)}", which is not understood`,
    'Give an EPSG code, a WKT or a PROJ string.',
  );
}

function crsFromWkt(wkt: string, where: string): Result<Crs> | Promise<Result<Crs>> {
  const plain = horizontal(wkt);
  const name = /\[\s*"([^"]+)"/.exec(plain)?.[1] ?? 'WKT';
  // The outermost authority code is the last one of the text.
  const code = /(?:AUTHORITY|ID)\s*\[\s*"(?:EPSG|ESRI)"\s*,\s*"?(\d+)"?\s*\]\s*\]\s*$/i.exec(plain)?.[1];
  if (code !== undefined && definitionOf(Number(code)) !== null) return crsFromEpsg(Number(code), where);
  return crsFromProj(plain, code === undefined ? name : `EPSG:${code}`, where);
}

/** The horizontal part of a compound system (with heights): heights are not used. */
function horizontal(wkt: string): string {
  if (!/^\s*(COMPD_CS|COMPOUNDCRS)/i.test(wkt)) return wkt;
  const start = wkt.search(/(PROJCS|PROJCRS|GEOGCS|GEOGCRS|GEODCRS)\s*\[/i);
  if (start < 0) return wkt;
  let depth = 0;
  let quoted = false;
  for (let i = start; i < wkt.length; i++) {
    if (wkt[i] === '"') quoted = !quoted;
    if (quoted) continue;
    if (wkt[i] === '[') depth++;
    if (wkt[i] === ']' && --depth === 0) return wkt.slice(start, i + 1);
  }
  return wkt;
}

function onNad27(where: string, name: string) {
  return fail(
    'crs',
    where,
    `is on the old datum NAD27 (${name}), which is off by tens of metres without a shift grid`,
    'Convert the file to NAD83 or WGS 84.',
  );
}

/** By name, or by its ellipsoid (Clarke 1866), which no other datum of North America has. */
const NAD27 = /NAD[ _]?(19)?27|North[ _]American[ _](Datum[ _])?(of[ _])?1927|Clarke[ _]1866|\+ellps=clrk66/i;
const DEGREES = /^\s*(GEOGCS|GEOGCRS|GEODCRS)|\+proj=(longlat|latlong|lonlat|latlon)\b/i;
const FEET = /\+units=(us-)?ft|foot|feet/i;

/** From a PROJ string or a WKT of a plain (not compound) system; `name` is what the user is shown. */
export function crsFromProj(definition: string, name: string, where: string): Result<Crs> {
  if (NAD27.test(definition)) return onNad27(where, name);
  const cannot = (why: string) =>
    fail('crs', where, `uses the coordinate system ${name}, which cannot be used (${why})`, GIVE);
  if (/\+nadgrids=(?!@null)/i.test(definition)) return cannot('it needs a shift grid');
  let converter: Converter;
  try {
    converter = proj4(complete(definition), 'EPSG:4326');
    // Some definitions parse and fail only when used, or give nothing: a place in their midst must come back.
    const there = converter.inverse([-85, 40]);
    if (!there.every(Number.isFinite)) {
      const origin = converter.forward([0, 0]);
      if (!origin.every(Number.isFinite)) return cannot('it gives no positions');
    }
  } catch (error) {
    // Messages of the library may repeat the whole definition.
    const why = error instanceof Error ? error.message : String(error);
    return cannot(why.split(/[\n:]/)[0].slice(0, 80));
  }
  const geographic = DEGREES.test(definition);
  // Longitudes of a raster that runs from 0 to 360 are kept by the library; degrees on WGS 84 need no work at all.
  const plain = /^\+proj=longlat \+datum=WGS84( \+no_defs)?$/.test(definition.trim());
  return ok({
    name,
    geographic,
    unit: geographic ? 'degrees' : FEET.test(definition) ? 'feet' : 'metres',
    accuracyMetres: null,
    note: null,
    forward(lon, lat) {
      const [x, y] = plain ? [lon.slice(), lat.slice()] : each(lon, lat, (p) => converter.inverse(p));
      return { x, y };
    },
    inverse(x, y) {
      const [lon, lat] = plain ? [x.slice(), y.slice()] : each(x, y, (p) => converter.forward(p));
      return { lon, lat };
    },
    inverseOne: (x, y) => (plain ? [x, y] : orNothing((p) => converter.forward(p), [x, y])),
  });
}

/** A PROJ string with the zeros that PROJ assumes where an origin or offset is not given; the library does not. */
function complete(definition: string): string {
  if (!definition.startsWith('+') || DEGREES.test(definition) || /\+proj=utm\b/.test(definition))
    return definition;
  const missing = ['x_0', 'y_0', 'lat_0', 'lon_0'].filter(
    (name) =>
      !new RegExp(`\\+${name}\\s*=`).test(definition) && !(name === 'lon_0' && definition.includes('+lonc')),
  );
  return [definition, ...missing.map((name) => `+${name}=0`)].join(' ');
}

type Move = (p: [number, number]) => [number, number];

/** The library throws for positions that are not finite; such a position has no place. */
function orNothing(move: Move, p: [number, number]): [number, number] {
  return Number.isFinite(p[0]) && Number.isFinite(p[1]) ? move(p) : [NaN, NaN];
}

function each(a: Float64Array, b: Float64Array, move: Move): [Float64Array, Float64Array] {
  const c = new Float64Array(a.length);
  const d = new Float64Array(a.length);
  for (let i = 0; i < a.length; i++) [c[i], d[i]] = orNothing(move, [a[i], b[i]]);
  return [c, d];
}
