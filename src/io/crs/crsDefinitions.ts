/**
 * Definitions that the projection library does not carry itself, by EPSG code (ESRI's for 102001 and above), as PROJ
 * strings. Checked against GDAL in tests/reference/crs.test.ts. All lie on NAD83 or WGS 84 or within two metres of them:
 * the realisations of NAD83 are taken as one, as maps of this scale do. Any other code stands in crsTable.ts, which is loaded when it is asked for.
 */
const METRES = '+x_0=0 +y_0=0 +datum=NAD83 +units=m +no_defs';
const CONUS_ALBERS = `+proj=aea +lat_0=23 +lon_0=-96 +lat_1=29.5 +lat_2=45.5 ${METRES}`;
const NAD83 = '+proj=longlat +datum=NAD83 +no_defs';
const WEB_MERCATOR =
  '+proj=merc +a=6378137 +b=6378137 +lat_ts=0 +lon_0=0 +x_0=0 +y_0=0 +k=1 +units=m +nadgrids=@null +no_defs';
const GREAT_LAKES =
  '+proj=aea +lat_0=45.568977 +lat_1=42.122774 +lat_2=49.01518 +x_0=1000000 +y_0=1000000 +datum=NAD83 +units=m +no_defs';
const ONTARIO =
  '+proj=lcc +lat_0=0 +lon_0=-85 +lat_1=44.5 +lat_2=53.5 +x_0=930000 +y_0=6430000 +datum=NAD83 +units=m +no_defs';

const DEFINITIONS: Readonly<Record<number, string>> = {
  4326: '+proj=longlat +datum=WGS84 +no_defs',
  // NAD83, HARN, CSRS, NSRS2007, 2011
  4269: NAD83,
  4152: NAD83,
  4617: NAD83,
  4759: NAD83,
  6318: NAD83,
  3857: WEB_MERCATOR,
  900913: WEB_MERCATOR,
  102100: WEB_MERCATOR,
  3395: '+proj=merc +lon_0=0 +k=1 +x_0=0 +y_0=0 +datum=WGS84 +units=m +no_defs',
  5070: CONUS_ALBERS,
  5072: CONUS_ALBERS,
  6350: CONUS_ALBERS,
  102039: CONUS_ALBERS,
  3174: `${GREAT_LAKES} +lon_0=-84.455955`,
  3175: `${GREAT_LAKES} +lon_0=-83.248627`,
  3071: '+proj=tmerc +lat_0=0 +lon_0=-90 +k=0.9996 +x_0=520000 +y_0=-4480000 +datum=NAD83 +units=m +no_defs',
  3161: ONTARIO,
  3162: ONTARIO,
  3347: '+proj=lcc +lat_0=63.390675 +lon_0=-91.8666666666667 +lat_1=49 +lat_2=77 +x_0=6200000 +y_0=3000000 +datum=NAD83 +units=m +no_defs',
  3978: `+proj=lcc +lat_0=49 +lon_0=-95 +lat_1=49 +lat_2=77 ${METRES}`,
  3979: `+proj=lcc +lat_0=49 +lon_0=-95 +lat_1=49 +lat_2=77 ${METRES}`,
  102001: `+proj=aea +lat_0=40 +lon_0=-96 +lat_1=50 +lat_2=70 ${METRES}`,
  102002: `+proj=lcc +lat_0=40 +lon_0=-96 +lat_1=50 +lat_2=70 ${METRES}`,
  102003: `+proj=aea +lat_0=37.5 +lon_0=-96 +lat_1=29.5 +lat_2=45.5 ${METRES}`,
  102004: `+proj=lcc +lat_0=39 +lon_0=-96 +lat_1=33 +lat_2=45 ${METRES}`,
  102005: `+proj=eqdc +lat_0=39 +lon_0=-96 +lat_1=33 +lat_2=45 ${METRES}`,
  102008: `+proj=aea +lat_0=40 +lon_0=-96 +lat_1=20 +lat_2=60 ${METRES}`,
  102009: `+proj=lcc +lat_0=40 +lon_0=-96 +lat_1=20 +lat_2=60 ${METRES}`,
};

/** UTM zones by the numbering of their EPSG codes: first code, last code, number of the first zone, datum and hemisphere. */
const UTM: ReadonlyArray<readonly [number, number, number, string]> = [
  [32601, 32660, 1, '+datum=WGS84'],
  [32701, 32760, 1, '+south +datum=WGS84'],
  [26901, 26923, 1, '+datum=NAD83'],
  // NSRS2007, HARN, 2011
  [3708, 3726, 1, '+datum=NAD83'],
  [3740, 3749, 10, '+datum=NAD83'],
  [6330, 6348, 1, '+datum=NAD83'],
];

/** EPSG codes of the CSRS zones do not run with the zone. */
const CSRS: Readonly<Record<number, number>> = {
  3154: 7,
  3155: 8,
  3156: 9,
  3157: 10,
  2955: 11,
  2956: 12,
  2957: 13,
  3158: 14,
  3159: 15,
  3160: 16,
  2958: 17,
  2959: 18,
  2960: 19,
  2961: 20,
  2962: 21,
};

/** PROJ string of a code, or null where it is not built in. */
export function definitionOf(code: number): string | null {
  const plain = DEFINITIONS[code];
  if (plain !== undefined) return plain;
  const csrs = CSRS[code];
  if (csrs !== undefined) return `+proj=utm +zone=${csrs} +datum=NAD83 +units=m +no_defs`;
  for (const [first, last, zone, datum] of UTM)
    if (code >= first && code <= last)
      return `+proj=utm +zone=${zone + code - first} ${datum} +units=m +no_defs`;
  return null;
}

/** "EPSG:5070"; the codes from 37001 on are ESRI's. */
export const nameOfCode = (code: number): string =>
  `${code > 37_000 && code < 900_000 ? 'ESRI' : 'EPSG'}:${code}`;
