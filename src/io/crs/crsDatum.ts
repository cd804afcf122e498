/** The way from the datum that a definition names to WGS 84, with what is known of how good it is. */
import { crsLookup, type Base, type Lookup, type Shift } from './crsLookup.ts';
import { isNad83Name, isWgs84Name, plainName } from './crsNames.ts';
import { helmert, nad27Mover, type Mover } from './crsShift.ts';

/** By what a datum can be named to another program. */
export interface DatumIdentity {
  /** EPSG code of a geographic system on it; null where it is not known. */
  readonly base: number | null;
  /** Shift to WGS 84 that the file states, as +towgs84 takes it. */
  readonly towgs84: readonly number[] | null;
}

export interface Datum extends DatumIdentity {
  /** Metres; null where it is nothing that counts, or not known. */
  readonly accuracy: number | null;
  readonly note: string | null;
  /** null: its degrees are taken as those of WGS 84. */
  readonly mover: ((a: number, es: number) => Mover) | null;
}

/** WGS 84, and NAD83 in all its realisations, which are taken as one with it: they lie within two metres. */
const KNOWN: Datum = { accuracy: null, note: null, mover: null, base: null, towgs84: null };
const WGS84_BASE = 4326;
const NAD83_BASE = 4269;
const known = (base: number | null): Datum => ({ ...KNOWN, base });

/** Of the definitions of crsDefinitions.ts. */
export const builtInDatum = (definition: string): Datum =>
  known(/\+datum=NAD83/.test(definition) ? NAD83_BASE : WGS84_BASE);

const FOR_MORE = 'Convert the file with a shift grid where that is too coarse';

const shifted = (datum: string, shift: Shift, named: DatumIdentity): Datum => {
  const way = shift.numbers.length > 3 ? 'seven-parameter' : 'three-parameter';
  const good = shift.accuracy === null ? 'of unstated accuracy' : `good to about ${shift.accuracy} m`;
  const code = /^\d+$/.test(shift.code) ? ` (EPSG:${shift.code})` : '';
  return {
    accuracy: shift.accuracy,
    note: `is on the datum ${datum}: shifted to WGS 84 by a ${way} transformation${code}, ${good}. ${FOR_MORE}`,
    mover: (a, es) => helmert(shift, a, es),
    ...named,
  };
};

/** Of NAD27; Michigan's own is this one raised by 800 feet, on which latitudes and longitudes are the same. */
const CLARKE_1866 = { a: 6378206.4, es: 1 - (6356583.8 / 6378206.4) ** 2 };

/** Worst of the shifts for the United States and Canada (EPSG:1174 to 1183). */
const NAD27_ACCURACY = 13;
const nad27 = (lookup: Lookup, taken = false): Datum => ({
  accuracy: NAD27_ACCURACY,
  note:
    `${taken ? 'is on the ellipsoid Clarke 1866, which is taken as the old datum NAD27' : 'is on the old datum NAD27'}: ` +
    `shifted to WGS 84 by the three-parameter transformation of its region (EPSG:1174 to 1187), good to about ${NAD27_ACCURACY} m. ${FOR_MORE}`,
  mover: () => nad27Mover(lookup.nad27, CLARKE_1866.a, CLARKE_1866.es),
  base: NAD27_BASE,
  towgs84: null,
});

const unknown = (datum: string, base: number | null = null): Datum => ({
  accuracy: null,
  note: `is on the datum ${datum}, whose way to WGS 84 is not known: positions may be off by hundreds of metres. Check them on the map`,
  mover: null,
  base,
  towgs84: null,
});

const IS_NAD27 = /^(northamerican(datum)?(of)?1927|nad(19)?27)/;
const isKnown = (name: string): boolean => isWgs84Name(name) || isNad83Name(name);
/** Ellipsoids of today's datums, GRS 1980 and WGS 84, in metres: a datum on one of them lies within metres of WGS 84. */
const MODERN_A = 6378137;

export function datumOfBase(base: Base, shift: Shift | null, lookup: Lookup): Datum {
  if (base.datumNames.some(isKnown) || isSphere(base.figure)) return known(base.code);
  // Its readjustments (1976, CGQ77) and Michigan's ellipsoid differ by less than the shift is good for.
  if (/^NAD27\b/.test(base.name)) return nad27(lookup);
  if (!shift) return isModern(base.figure) ? known(base.code) : unknown(base.name, base.code);
  return shift.numbers.every((x) => x === 0)
    ? known(base.code)
    : shifted(base.name, shift, { base: base.code, towgs84: null });
}

const NAD27_BASE = 4267;

function isModern(figure: string): boolean {
  return (
    /\+(ellps=(GRS80|WGS84)|datum=(WGS84|NAD83))\b/.test(figure) || Number(valueOf(figure, 'a')) === MODERN_A
  );
}

const valueOf = (definition: string, name: string): string | null =>
  new RegExp(`\\+${name}=(\\S+)`).exec(definition)?.[1] ?? null;

/** Datums that PROJ knows by name, and grids of PROJ by the datum they are for: codes of their geographic systems. */
const PROJ_DATUMS: Readonly<Record<string, number>> = {
  GGRS87: 4121,
  potsdam: 4314,
  carthage: 4223,
  hermannskogel: 4312,
  ire65: 4299,
  nzgd49: 4272,
  OSGB36: 4277,
};
const GRIDS: ReadonlyArray<readonly [RegExp, number]> = [
  [/conus|alaska|ntv2_0|ntv1_can|stlrnc|stgeorge|stpaul/i, NAD27_BASE],
  [/OSTN|osgb/i, 4277],
  [/BETA2007/i, 4314],
  [/ntf_r93/i, 4275],
  [/nzgd2kgrid/i, 4272],
];

/** Of a PROJ string: the string without its datum, and the datum; or why it cannot be used. */
export async function datumOfProj(
  definition: string,
): Promise<{ readonly definition: string; readonly datum: Datum } | string> {
  const axis = valueOf(definition, 'axis');
  if (axis !== null && axis !== 'enu') return 'its axes do not run east and north';
  const named = valueOf(definition, 'datum');
  const grids = valueOf(definition, 'nadgrids');
  const towgs84 = valueOf(definition, 'towgs84');
  const bare = definition.replace(/\+(datum|nadgrids|towgs84|geoidgrids)=\S*/g, '').trim();
  const on = async (code: number): Promise<{ definition: string; datum: Datum } | string> => {
    const lookup = await crsLookup();
    const base = lookup.bases.get(code);
    if (!base) return 'its datum is not known';
    const figure = /\+(ellps|a|R)=/.test(bare)
      ? ''
      : ` ${base.figure.replace('+datum=NAD27', '+ellps=clrk66')}`;
    return { definition: bare + figure, datum: datumOfBase(base, base.shift, lookup) };
  };
  if (towgs84 !== null) {
    const numbers = towgs84.split(',').map(Number);
    if (![3, 7].includes(numbers.length) || !numbers.every(Number.isFinite))
      return 'its shift to WGS 84 is not three or seven numbers';
    const figure = named === null ? '' : ` ${await figureOf(named)}`;
    return { definition: bare + figure, datum: await datumOfNumbers(numbers, named ?? 'of the file') };
  }
  if (named !== null) {
    if (/^WGS84$/i.test(named)) return { definition: `${bare} +ellps=WGS84`, datum: known(WGS84_BASE) };
    if (/^NAD83$/i.test(named)) return { definition: `${bare} +ellps=GRS80`, datum: known(NAD83_BASE) };
    if (/^NAD27$/i.test(named)) return on(NAD27_BASE);
    const code = Object.entries(PROJ_DATUMS).find(
      ([name]) => name.toLowerCase() === named.toLowerCase(),
    )?.[1];
    return code === undefined ? `its datum ${named.slice(0, 20)} is not known` : on(code);
  }
  if (grids !== null && !/^@?null$/i.test(grids)) {
    const code = GRIDS.find(([pattern]) => pattern.test(grids))?.[1];
    return code === undefined ? 'it needs a shift grid that is not here' : on(code);
  }
  if (grids !== null || isModern(definition) || isSphere(definition))
    return { definition: bare, datum: KNOWN };
  const ellipsoid = valueOf(definition, 'ellps');
  if (ellipsoid === null && valueOf(definition, 'a') === null) return { definition: bare, datum: KNOWN };
  if (ellipsoid === 'clrk66') return { definition: bare, datum: nad27(await crsLookup(), true) };
  return { definition: bare, datum: unknown(`of the ellipsoid ${ellipsoid ?? 'it gives'}`) };
}

async function figureOf(datum: string): Promise<string> {
  if (/^WGS84$/i.test(datum)) return '+ellps=WGS84';
  if (/^NAD83$/i.test(datum)) return '+ellps=GRS80';
  const code = Object.entries(PROJ_DATUMS).find(([name]) => name.toLowerCase() === datum.toLowerCase())?.[1];
  return (await crsLookup()).bases.get(code ?? 0)?.figure ?? '+ellps=clrk66';
}

function isSphere(definition: string): boolean {
  const [a, b] = [valueOf(definition, 'a'), valueOf(definition, 'b')];
  return (
    /\+(R|r)=|\+ellps=sphere\b/.test(definition) || (a !== null && b !== null && Number(a) === Number(b))
  );
}

async function datumOfNumbers(numbers: readonly number[], name: string): Promise<Datum> {
  const named = { base: null, towgs84: numbers };
  if (numbers.every((x) => x === 0)) return { ...KNOWN, ...named };
  const found = (await crsLookup()).accuracyOf(numbers);
  const shift = { code: found?.code ?? '', numbers, accuracy: found?.accuracy ?? null, areas: [] };
  return shifted(name, shift, named);
}

/** What a WKT or PROJJSON says of its datum. */
export interface DatumParts {
  readonly datumName: string;
  /** Of its geographic system, where it gives one. */
  readonly baseCode: number | null;
  readonly towgs84: readonly number[] | null;
  /** Semi-major axis (metres) and inverse flattening (0: a sphere); null where they are missing. */
  readonly a: number | null;
  readonly rf: number | null;
}

export async function datumOfWkt(parts: DatumParts): Promise<Datum> {
  const name = plainName(parts.datumName);
  if (parts.towgs84) return datumOfNumbers(parts.towgs84, parts.datumName.replaceAll('_', ' '));
  if (isKnown(name)) return known(parts.baseCode ?? (isNad83Name(name) ? NAD83_BASE : WGS84_BASE));
  const lookup = await crsLookup();
  const base =
    (parts.baseCode === null ? null : lookup.bases.get(parts.baseCode)) ?? lookup.baseOfDatum(name);
  // The register has a name for "unknown" by every ellipsoid.
  if (base && !/^unknown/i.test(base.name)) return datumOfBase(base, base.shift, lookup);
  if (IS_NAD27.test(name)) return nad27(lookup);
  if (parts.a === MODERN_A || parts.rf === 0 || parts.a === null) return KNOWN;
  if (isClarke1866(parts.a)) return nad27(lookup, true);
  return unknown(parts.datumName.replaceAll('_', ' '));
}

const isClarke1866 = (a: number): boolean => Math.abs(a - CLARKE_1866.a) < 0.1;
