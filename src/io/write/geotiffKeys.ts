/**
 * The keys of a GeoTIFF that say its coordinate system (OGC 19-008r4, GeoTIFF 1.1, sections 7.4 and 7.5 and annex C): the
 * inverse of crs/crsGeoKeys.ts. A system that the EPSG register has goes by its code, any other is spelled out.
 */
import type { Crs } from '../crs/crs.ts';
import { spelledOut } from '../crs/crsEllipsoids.ts';
import type { Tag } from './geotiffLayout.ts';
import { geotiffProjection } from './geotiffProjections.ts';

const USER_DEFINED = 32767;
/** Codes above are not the EPSG register's; no more fit into a key. */
const LAST_CODE = 32766;
const PROJECTED = 1;
const GEOGRAPHIC = 2;
const AREA = 1;
const DEGREE = 9102;

const KEY = {
  model: 1024,
  raster: 1025,
  citation: 1026,
  geographic: 2048,
  geographicCitation: 2049,
  datum: 2050,
  angles: 2054,
  ellipsoid: 2056,
  semiMajorAxis: 2057,
  inverseFlattening: 2059,
  toWgs84: 2062,
  projected: 3072,
  projectedCitation: 3073,
  projection: 3074,
  method: 3075,
  units: 3076,
  unitSize: 3077,
} as const;

/** By key: codes are short whole numbers, measures lists of doubles, citations texts. */
type KeyValues = Readonly<Record<number, { readonly code: number } | readonly number[] | string>>;

const when = (condition: boolean, keys: KeyValues): KeyValues => (condition ? keys : {});

export interface GeoKeys {
  readonly tags: readonly Tag[];
  /** Where the keys cannot spell the system out: what they leave open; else null. */
  readonly note: string | null;
}

export function geoKeys(crs: Crs): GeoKeys {
  const own = codeOf(crs) === null ? ownSystem(crs) : null;
  const keys = {
    [KEY.model]: { code: crs.geographic ? GEOGRAPHIC : PROJECTED },
    [KEY.raster]: { code: AREA },
    [KEY.citation]: crs.name,
    ...(own ?? knownSystem(crs)),
  };
  return {
    tags: packed(keys),
    note:
      codeOf(crs) === null && own === null
        ? `keys of this format cannot hold the coordinate system ${crs.definition}: give it when the file is opened`
        : null,
  };
}

/** Other numbers of one system. */
const SAME: Readonly<Record<number, number>> = { 900913: 3857, 102100: 3857, 102113: 3857, 102039: 5070 };

function codeOf({ code }: Crs): number | null {
  const same = code === null ? null : (SAME[code] ?? code);
  return same !== null && same <= LAST_CODE ? same : null;
}

/** By its code; without one, only what it is called. */
function knownSystem(crs: Crs): KeyValues {
  const code = { code: codeOf(crs) ?? USER_DEFINED };
  return crs.geographic
    ? { [KEY.geographic]: code, [KEY.angles]: { code: DEGREE } }
    : { [KEY.projected]: code, [KEY.projectedCitation]: crs.name };
}

/** The parts of a PROJ string by name; those without a value are "". */
type Parts = ReadonlyMap<string, string>;

const partsOf = (definition: string): Parts =>
  new Map(
    definition
      .trim()
      .split(/\s+/)
      .map((part): [string, string] => {
        const [name, ...value] = part.replace(/^\+/, '').split('=');
        return [name, value.join('=')];
      }),
  );

/** Parts that move no position, and those of the figure and the coordinates, which are written whatever the projection. */
const OTHERS = new Set(
  'no_defs wktext type approx over title nadgrids datum proj a b rf R units to_meter x_0 y_0'.split(' '),
);

/** A system spelled out; null where the keys have no words for it. */
function ownSystem(crs: Crs): KeyValues | null {
  const parts = partsOf(spelledOut(crs.definition) ?? '');
  const figure = geographic(crs, parts);
  const projection = crs.geographic ? {} : projected(crs, parts);
  return figure && projection && { ...figure, ...projection };
}

function geographic({ datum, name }: Crs, parts: Parts): KeyValues | null {
  const angles = { [KEY.angles]: { code: DEGREE } };
  if (datum.base !== null && datum.base <= LAST_CODE)
    return { [KEY.geographic]: { code: datum.base }, ...angles };
  const a = Number(parts.get('a') ?? parts.get('R'));
  const b = Number(parts.get('b') ?? parts.get('R'));
  const rf = Number(parts.get('rf') ?? (a === b ? 0 : a / (a - b)));
  // Few programs read a meridian of its own.
  if (!(a > 0) || !(rf >= 0) || parts.has('pm')) return null;
  return {
    [KEY.geographic]: { code: USER_DEFINED },
    [KEY.geographicCitation]: `of ${name}`,
    [KEY.datum]: { code: USER_DEFINED },
    [KEY.ellipsoid]: { code: USER_DEFINED },
    [KEY.semiMajorAxis]: [a],
    [KEY.inverseFlattening]: [rf],
    ...when(datum.towgs84 !== null, { [KEY.toWgs84]: datum.towgs84 ?? [] }),
    ...angles,
  };
}

/** Metres in a unit of length by its name in PROJ, with its EPSG code. */
const UNITS: Readonly<Record<string, readonly [metres: number, code: number]>> = {
  m: [1, 9001],
  ft: [0.3048, 9002],
  'us-ft': [1200 / 3937, 9003],
};

function projected({ name, datum }: Crs, parts: Parts): KeyValues | null {
  const number = (part: string, otherwise = NaN): number => {
    const value = parts.get(part);
    return value === undefined ? otherwise : value === '' ? 1 : Number(value);
  };
  const projection = geotiffProjection(parts.get('proj') ?? '', number);
  const own = parts.has('to_meter');
  const [metres, code] = own
    ? [number('to_meter'), USER_DEFINED]
    : (UNITS[parts.get('units') ?? 'm'] ?? [NaN, USER_DEFINED]);
  // The keys are in the unit of the coordinates, PROJ's offsets always in metres.
  const offsets = [number('x_0', 0) / metres, number('y_0', 0) / metres];
  if (!projection || !(metres > 0) || !offsets.every(Number.isFinite)) return null;
  // A factor of 1 says nothing, and the meridian of a datum that goes by its code is known from it.
  const lost = [...parts.keys()].some(
    (p) =>
      !OTHERS.has(p) &&
      !projection.reads.includes(p) &&
      !(/^k(_0)?$/.test(p) && number(p) === 1) &&
      !(p === 'pm' && datum.base !== null),
  );
  if (lost) return null;
  return {
    [KEY.projected]: { code: USER_DEFINED },
    [KEY.projectedCitation]: name,
    [KEY.projection]: { code: projection.zone ?? USER_DEFINED },
    [KEY.units]: { code },
    ...when(own, { [KEY.unitSize]: [metres] }),
    ...when(projection.zone === undefined, {
      [KEY.method]: { code: projection.method },
      ...Object.fromEntries(Object.entries(projection.keys).map(([key, value]) => [key, [value]])),
      [projection.east]: [offsets[0]],
      [projection.north]: [offsets[1]],
    }),
  };
}

/** The directory of the keys and what they point to, in the order of the keys. */
function packed(keys: KeyValues): Tag[] {
  const doubles: number[] = [];
  let text = '';
  // Keys that are whole numbers come in rising order.
  const entries = Object.entries(keys).map(([key, value]) => {
    if (typeof value === 'string') {
      const written = ascii(value) + '|';
      text += written;
      return [Number(key), 34737, written.length, text.length - written.length];
    }
    if ('code' in value) return [Number(key), 0, 1, value.code];
    doubles.push(...value);
    return [Number(key), 34736, value.length, doubles.length - value.length];
  });
  return [
    { tag: 34735, type: 'short', values: [1, 1, 1, entries.length, ...entries.flat()] },
    ...(doubles.length > 0 ? [{ tag: 34736, type: 'double', values: doubles } as const] : []),
    ...(text === '' ? [] : [{ tag: 34737, type: 'ascii', values: text } as const]),
  ];
}

/** "|" ends a text among the keys, and they are of seven bits. */
const ascii = (text: string): string => text.normalize('NFKD').replace(/[^ -{}~]/g, '') || 'unnamed';
