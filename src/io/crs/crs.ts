/** Coordinate systems: from what files say to functions between WGS 84 degrees and the file's coordinates. */
import proj4 from 'proj4';
import { fail, ok, type Result } from '../../domain/base/result.ts';
import { definitionOf, nameOfCode } from './crsDefinitions.ts';
import {
  builtInDatum,
  datumOfBase,
  datumOfProj,
  datumOfWkt,
  type Datum,
  type DatumIdentity,
} from './crsDatum.ts';
import { spelledOut } from './crsEllipsoids.ts';
import { crsLookup } from './crsLookup.ts';
import type { Angles } from './crsShift.ts';
import { partsOfJson } from './crsJson.ts';
import { codeOfText, partsOfWkt, type CrsParts } from './crsText.ts';

export interface Crs {
  /** "EPSG:5070", or the name that the file gives. */
  readonly name: string;
  /** Coordinates are degrees. */
  readonly geographic: boolean;
  /** "degrees", "metres", "feet", or the length of the unit in metres. */
  readonly unit: string;
  /** Length of the unit; 1 for degrees, which have none. */
  readonly metres: number;
  /** How far off the way from its datum to WGS 84 may be; null where that is nothing that counts, or not known (then `note` says so). */
  readonly accuracyMetres: number | null;
  /** What the user should know of the way to WGS 84, fit for a note; null where there is nothing to say. */
  readonly note: string | null;
  /** In the EPSG register or ESRI's list; null where the file defines its own system. */
  readonly code: number | null;
  /** PROJ string of projection, ellipsoid and prime meridian. */
  readonly definition: string;
  readonly datum: DatumIdentity;
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
  const name = nameOfCode(code);
  const built = definitionOf(code);
  if (built !== null) return systemOf(built, builtInDatum(built), name, where, code);
  const lookup = await crsLookup();
  const entry = lookup.entry(code);
  if (!entry) return fail('crs', where, `uses the coordinate system ${name}, which is not known here`, GIVE);
  return systemOf(entry.definition, datumOfBase(entry.base, entry.shift, lookup), name, where, code);
}

/** From an EPSG code ("EPSG:5070", "5070", an OGC URN or URL), a WKT (1 or 2), a PROJ string or a PROJJSON text. */
export async function crsFrom(text: string, where: string): Promise<Result<Crs>> {
  const trimmed = text.trim();
  if (/(?:CRS:?|CRS84:?|:)84$/i.test(trimmed) && /CRS/i.test(trimmed)) return crsFromEpsg(4326, where);
  const code = codeOfText(trimmed);
  if (code !== null) return crsFromEpsg(code, where);
  const init = /^\+init=(?:epsg|esri):(\d+)\b/i.exec(trimmed)?.[1];
  if (init !== undefined) return crsFromEpsg(Number(init), where);
  if (/^\+\w/.test(trimmed)) return crsFromProj(trimmed, trimmed.slice(0, 60), where);
  if (/^[A-Z_]+\s*\[/i.test(trimmed)) return crsFromParts(partsOfWkt(trimmed), trimmed.slice(0, 40), where);
  if (trimmed.startsWith('{')) return crsFromParts(partsOfJson(trimmed), 'PROJJSON', where);
  return fail(
    'crs',
    where,
    `names the coordinate system "${trimmed.slice(0, 60)}", which is not understood`,
    'Give an EPSG code, a WKT or a PROJ string.',
  );
}

/** From a PROJ string; `name` is what the user is shown. */
export async function crsFromProj(
  definition: string,
  name: string,
  where: string,
  code: number | null = null,
): Promise<Result<Crs>> {
  const datum = await datumOfProj(definition);
  if (typeof datum === 'string') return cannot(where, name, datum);
  return systemOf(datum.definition, datum.datum, name, where, code);
}

async function crsFromParts(parts: CrsParts | string, shown: string, where: string): Promise<Result<Crs>> {
  if (typeof parts === 'string') return cannot(where, shown, parts);
  const { code, name } = parts;
  // A shift that the text states is followed; else the code says all.
  if (code !== null && !parts.towgs84?.some((x) => x !== 0)) {
    const known = await crsFromEpsg(code, where);
    if (known.ok) return known;
  }
  const title = code === null ? name : nameOfCode(code);
  if (parts.proj !== null) return crsFromProj(parts.proj, title, where, code);
  if (parts.plain === null) return cannot(where, title, `its projection ${parts.method ?? ''} is not known`);
  return systemOf(parts.plain, await datumOfWkt(parts), title, where, code);
}

const cannot = (where: string, name: string, why: string) =>
  fail('crs', where, `uses the coordinate system ${name}, which cannot be used (${why})`, GIVE);

/** What the library makes of a definition; its own datum shifts are not used. */
interface Projection {
  readonly projName: string;
  readonly a: number;
  readonly es: number;
  readonly to_meter?: number;
  /** Radians. */
  readonly from_greenwich?: number;
  forward(p: Angles): Angles | undefined;
  inverse(p: Angles): Angles | undefined;
}
const projectionOf = proj4.Proj as unknown as new (definition: unknown) => Projection;

const RADIAN = Math.PI / 180;

/** From a PROJ string and what is known of its datum; the shift to WGS 84 is the datum's alone. */
export function systemOf(
  definition: string,
  datum: Datum,
  name: string,
  where: string,
  code: number | null = null,
): Result<Crs> {
  let projection: Projection;
  try {
    const spelled = spelledOut(definition);
    if (spelled === null) return cannot(where, name, 'its ellipsoid is not known');
    projection = new projectionOf(complete(spelled));
  } catch (error) {
    // Messages of the library may repeat the whole definition.
    const why = error instanceof Error ? error.message : String(error);
    const foreign = /^Could not get projection name/.test(why);
    const method = /\+proj=(\w*)/.exec(definition)?.[1] ?? '';
    return cannot(
      where,
      name,
      foreign ? `its projection ${method} is not known` : why.split(/[\n:]/)[0].slice(0, 80),
    );
  }
  if (projection.projName === 'geocent' || projection.projName === 'identity')
    return cannot(where, name, 'it holds no positions on a map');
  const geographic = projection.projName === 'longlat';
  const metres = geographic ? 1 : (projection.to_meter ?? 1);
  const crs = functionsOf(projection, geographic, metres, datum);
  if (!(metres > 0)) return cannot(where, name, 'its unit has no length');
  // Some definitions parse and fail only when used, or give nothing: some place on the earth must have one there.
  const tried = crs.forward(
    Float64Array.of(-85, 0, 100, 140, -60, 20),
    Float64Array.of(40, 0, 40, -30, -30, 80),
  );
  if (!tried.x.some(Number.isFinite)) return cannot(where, name, 'it gives no positions');
  return ok({
    name,
    geographic,
    unit: geographic ? 'degrees' : unitOf(metres),
    metres,
    accuracyMetres: datum.accuracy,
    note: datum.note,
    code,
    definition,
    datum,
    ...crs,
  });
}

function unitOf(metres: number): string {
  if (metres === 1) return 'metres';
  return Math.abs(metres - 0.3048) < 1e-6 ? 'feet' : `units of ${metres} m`;
}

function functionsOf(
  projection: Projection,
  geographic: boolean,
  metres: number,
  datum: Datum,
): Pick<Crs, 'forward' | 'inverse' | 'inverseOne'> {
  const mover = datum.mover?.(projection.a, projection.es) ?? null;
  const greenwich = projection.from_greenwich ?? 0;
  // Degrees on WGS 84 or as good as that: longitudes from 0 to 360 are kept.
  const plain = geographic && !mover && greenwich === 0;
  const p: Angles = { x: 0, y: 0 };
  // A few projections of the library throw for a position that has no place.
  const inverse = (at: Angles): Angles | undefined => {
    try {
      return projection.inverse(at);
    } catch {
      return undefined;
    }
  };
  const forward = (at: Angles): Angles | undefined => {
    try {
      return projection.forward(at);
    } catch {
      return undefined;
    }
  };
  /** In place; false where the position has no place. */
  const toDegrees = (x: number, y: number): boolean => {
    if (!Number.isFinite(x) || !Number.isFinite(y)) return false;
    if (geographic) {
      p.x = x * RADIAN + greenwich;
      p.y = y * RADIAN;
    } else {
      p.x = x * metres;
      p.y = y * metres;
      const q = inverse(p);
      if (!q) return false;
      const [qx, qy] = [q.x, q.y];
      p.x = qx + greenwich;
      p.y = qy;
    }
    if (mover) {
      const before = p.x;
      mover.toWgs84(p);
      p.x = sameTurn(p.x, before);
    }
    p.x /= RADIAN;
    p.y /= RADIAN;
    return Number.isFinite(p.x) && Number.isFinite(p.y);
  };
  const fromDegrees = (lon: number, lat: number): boolean => {
    if (!Number.isFinite(lon) || !Number.isFinite(lat)) return false;
    p.x = lon * RADIAN;
    p.y = lat * RADIAN;
    if (mover) {
      mover.fromWgs84(p);
      p.x = sameTurn(p.x, lon * RADIAN);
    }
    p.x -= greenwich;
    if (geographic) {
      p.x /= RADIAN;
      p.y /= RADIAN;
    } else {
      const q = forward(p);
      if (!q) return false;
      const [qx, qy] = [q.x, q.y];
      p.x = qx / metres;
      p.y = qy / metres;
    }
    return Number.isFinite(p.x) && Number.isFinite(p.y);
  };
  const each = (
    move: (a: number, b: number) => boolean,
    a: Float64Array,
    b: Float64Array,
  ): [Float64Array, Float64Array] => {
    if (plain) return [a.slice(), b.slice()];
    const c = new Float64Array(a.length).fill(NaN);
    const d = new Float64Array(a.length).fill(NaN);
    for (let i = 0; i < a.length; i++)
      if (move(a[i], b[i])) {
        c[i] = p.x;
        d[i] = p.y;
      }
    return [c, d];
  };
  return {
    forward(lon, lat) {
      const [x, y] = each(fromDegrees, lon, lat);
      return { x, y };
    },
    inverse(x, y) {
      const [lon, lat] = each(toDegrees, x, y);
      return { lon, lat };
    },
    inverseOne: (x, y) => (plain ? [x, y] : toDegrees(x, y) ? [p.x, p.y] : [NaN, NaN]),
  };
}

/** Longitudes from 0 to 360 stay there: a shift gives them within half a turn of Greenwich. */
const sameTurn = (lon: number, before: number): number =>
  Math.abs(lon - before) > Math.PI ? lon + 2 * Math.PI * Math.round((before - lon) / (2 * Math.PI)) : lon;

/** A PROJ string with the zeros that PROJ assumes where an origin or offset is not given; the library does not. */
function complete(definition: string): string {
  if (/\+proj=(longlat|latlong|lonlat|latlon|utm)\b/.test(definition)) return definition;
  const missing = ['x_0', 'y_0', 'lat_0', 'lon_0'].filter(
    (name) =>
      !new RegExp(`\\+${name}\\s*=`).test(definition) && !(name === 'lon_0' && definition.includes('+lonc')),
  );
  return [definition, ...missing.map((name) => `+${name}=0`)].join(' ');
}
