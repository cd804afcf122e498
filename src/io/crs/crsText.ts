/** What a text says of a coordinate system: a code, or the parts of a WKT. */
import type { DatumParts } from './crsDatum.ts';
import { projOf } from './crsMethods.ts';
import { plainName } from './crsNames.ts';
import { child, children, nameOf, numbersOf, parseWkt, type WktNode } from './crsWkt.ts';

const CODE =
  /^(?:(?:EPSG|ESRI):+|urn:ogc:def:crs:(?:EPSG|ESRI):[\d.]*:|https?:\/\/www\.opengis\.net\/(?:def\/crs\/EPSG\/[\d.]+\/|gml\/srs\/epsg\.xml#))?(\d{4,6})$/i;

export function codeOfText(text: string): number | null {
  const code = CODE.exec(text)?.[1];
  return code === undefined ? null : Number(code);
}

export interface CrsParts extends DatumParts {
  readonly name: string;
  /** EPSG or ESRI code of the whole system. */
  readonly code: number | null;
  /** PROJ string of its projection and figure, without a shift; null where the projection is not known. */
  readonly plain: string | null;
  readonly method: string | null;
  /** A PROJ string that the text carries and that stands for all of it. */
  readonly proj: string | null;
}

const PROJECTED = ['PROJCS', 'PROJCRS', 'PROJECTEDCRS'];
const GEOGRAPHIC = [
  'GEOGCS',
  'GEOGCRS',
  'GEODCRS',
  'GEODETICCRS',
  'GEOGRAPHICCRS',
  'BASEGEOGCRS',
  'BASEGEODCRS',
];
const UNITS = ['LENGTHUNIT', 'ANGLEUNIT', 'SCALEUNIT', 'UNIT'];
const DEGREE = Math.PI / 180;

/** Of a WKT, 1 or 2: compound systems by their horizontal part (heights are not used), bound ones with their shift; or why not. */
export function partsOfWkt(text: string): CrsParts | string {
  const root = parseWkt(text);
  if (!root) return 'its text is cut short or damaged';
  const bound = root.keyword === 'BOUNDCRS' ? root : child(root, ['BOUNDCRS']);
  const source = bound ? child(bound, ['SOURCECRS']) : root;
  const system = source && findSystem(source);
  if (!system) return 'it is not a system of positions on the ground';
  const projected = PROJECTED.includes(system.keyword);
  const geographic = projected ? child(system, GEOGRAPHIC) : system;
  const datum = geographic && child(geographic, ['DATUM', 'GEODETICDATUM', 'TRF', 'ENSEMBLE']);
  const ellipsoid = datum && child(datum, ['SPHEROID', 'ELLIPSOID']);
  if (!geographic || !ellipsoid) return 'it does not say its datum';
  const [a, rf] = numbersOf(ellipsoid);
  if (!(a > 0) || !Number.isFinite(rf)) return 'it does not say its ellipsoid';
  const stated = child(datum, ['TOWGS84']);
  const towgs84 = stated ? numbersOf(stated) : bound ? boundShift(bound) : null;
  if (towgs84 && (![3, 7].includes(towgs84.length) || !towgs84.every(Number.isFinite)))
    return 'its shift to WGS 84 is not three or seven numbers';
  const angle = angleOf(geographic);
  if (!projected && Math.abs(angle / DEGREE - 1) > 1e-6) return 'its unit is not the degree';
  const unit = projected ? unitOf(system) : 1;
  const conversion = child(system, ['CONVERSION']) ?? system;
  const method = projected ? nameOf(child(conversion, ['METHOD', 'PROJECTION'])) : null;
  const meridian = child(geographic, ['PRIMEM']) ?? child(datum, ['PRIMEM']);
  const described = {
    method,
    parameters: parametersOf(conversion, unit, angle),
    a: a * (factor(ellipsoid) ?? 1),
    rf,
    // Without a unit of its own it is in degrees, as all programs write it, whatever the unit of the angles.
    meridian: meridian ? degreesOf(meridian, DEGREE) : 0,
    unit,
  };
  const extension = children(system, ['EXTENSION']).find((e) => nameOf(e) === 'PROJ4');
  return {
    name: nameOf(system) ?? 'WKT',
    code: bound ? null : codeOf(system),
    plain: projOf(described),
    method,
    proj: typeof extension?.values[1] === 'string' ? extension.values[1] : null,
    datumName: nameOf(datum) ?? '',
    baseCode: codeOf(geographic),
    towgs84,
    a: described.a,
    rf,
  };
}

/** The horizontal system, wherever a compound or bound one holds it. */
function findSystem(node: WktNode): WktNode | null {
  if (PROJECTED.includes(node.keyword) || GEOGRAPHIC.includes(node.keyword)) return node;
  for (const value of node.values) {
    if (typeof value !== 'object') continue;
    const found = /^(COMPD_CS|COMPOUNDCRS|SOURCECRS|BOUNDCRS)$/.test(node.keyword) ? findSystem(value) : null;
    if (found) return found;
  }
  return null;
}

function codeOf(node: WktNode): number | null {
  const id = children(node, ['AUTHORITY', 'ID']).at(-1);
  const code = Number(id?.values[1]);
  return /^(EPSG|ESRI)$/i.test(nameOf(id ?? null) ?? '') && Number.isInteger(code) ? code : null;
}

const factor = (node: WktNode | null): number | null => {
  const unit = node && child(node, UNITS);
  const value = unit ? numbersOf(unit)[0] : undefined;
  return value !== undefined && value > 0 ? value : null;
};

/** Radians in the unit of the geographic system. WKT 2 may give it with the axes. */
function angleOf(geographic: WktNode): number {
  return factor(geographic) ?? factor(child(geographic, ['AXIS'])) ?? DEGREE;
}

/** Metres in the unit of the projected system. */
const unitOf = (system: WktNode): number => factor(system) ?? factor(child(system, ['AXIS'])) ?? 1;

const degreesOf = (node: WktNode, angle: number): number => {
  const [value] = numbersOf(node);
  return tidy((value * (factor(node) ?? angle)) / DEGREE);
};

/** Factors of degrees are written to fifteen digits: what is a whole number but for the last is one. */
const tidy = (degrees: number): number => Number(degrees.toPrecision(14));

function parametersOf(conversion: WktNode, unit: number, angle: number): Map<string, number> {
  const parameters = new Map<string, number>();
  for (const node of children(conversion, ['PARAMETER'])) {
    const name = plainName(nameOf(node) ?? '');
    const [value] = numbersOf(node);
    const own = factor(node);
    const isLength = /easting|northing/.test(name);
    const isScale = /^scalefactor/.test(name);
    const size = isScale ? (own ?? 1) : isLength ? (own ?? unit) : (own ?? angle) / DEGREE;
    parameters.set(name, isScale || isLength ? value * size : tidy(value * size));
  }
  return parameters;
}

export const SHIFT_NAMES = [
  'xaxistranslation',
  'yaxistranslation',
  'zaxistranslation',
  'xaxisrotation',
  'yaxisrotation',
  'zaxisrotation',
  'scaledifference',
];

function boundShift(bound: WktNode): number[] | null {
  const way = child(bound, ['ABRIDGEDTRANSFORMATION']);
  if (!way) return null;
  const given = new Map(
    children(way, ['PARAMETER']).map((p): [string, number] => [plainName(nameOf(p) ?? ''), numbersOf(p)[0]]),
  );
  return shiftOf(given, nameOf(child(way, ['METHOD'])) ?? '');
}

/** As +towgs84 has it: rotations of the coordinate frame convention turn the other way. null: not given by numbers (a grid). */
export function shiftOf(given: ReadonlyMap<string, number>, method: string): number[] | null {
  const numbers = SHIFT_NAMES.map((n) => given.get(n)).filter((v): v is number => v !== undefined);
  if (numbers.length < 3) return null;
  if (numbers.length < 7) return numbers.slice(0, 3);
  // A bound system has the scale difference as a factor, others in parts per million.
  if (Math.abs(numbers[6] - 1) < 0.01) numbers[6] = (numbers[6] - 1) * 1e6;
  return /coordinate frame/i.test(method) ? numbers.map((x, i) => (i > 2 && i < 6 ? -x : x)) : numbers;
}
