/** Coordinate systems as PROJJSON (schema 0.5, as GeoParquet has them). */
import { projOf } from './crsMethods.ts';
import { plainName } from './crsNames.ts';
import { shiftOf, type CrsParts } from './crsText.ts';

type Unit = string | { readonly conversion_factor?: number } | undefined;
interface Parameter {
  readonly name?: string;
  readonly value?: number;
  readonly unit?: Unit;
}
interface Json {
  readonly type?: string;
  readonly name?: string;
  readonly id?: { readonly authority?: string; readonly code?: number | string };
  readonly components?: readonly Json[];
  readonly source_crs?: Json;
  readonly base_crs?: Json;
  readonly datum?: Json;
  readonly datum_ensemble?: Json;
  readonly ellipsoid?: Readonly<Record<string, number | { readonly value?: number; readonly unit?: Unit }>>;
  readonly prime_meridian?: {
    readonly longitude?: number | { readonly value?: number; readonly unit?: Unit };
  };
  readonly coordinate_system?: {
    readonly unit?: Unit;
    readonly axis?: ReadonlyArray<{ readonly unit?: Unit }>;
  };
  readonly conversion?: {
    readonly method?: { readonly name?: string };
    readonly parameters?: readonly Parameter[];
  };
  readonly transformation?: Json['conversion'];
}

const DEGREE = Math.PI / 180;
/** Size of a unit in metres, radians or one. */
const sizeOf = (unit: Unit): number =>
  typeof unit === 'object' ? (unit.conversion_factor ?? 1) : unit === 'degree' ? DEGREE : 1;
type Measure = number | { readonly value?: number; readonly unit?: Unit } | undefined;
const measure = (m: Measure, unit: number): number | null =>
  typeof m === 'number' ? m * unit : typeof m?.value === 'number' ? m.value * sizeOf(m.unit) : null;
const tidy = (degrees: number): number => Number(degrees.toPrecision(14));

/** Compound and bound systems are taken as in a WKT; or why the text cannot be used. */
export function partsOfJson(text: string): CrsParts | string {
  let json: Json;
  try {
    json = JSON.parse(text) as Json;
  } catch {
    return 'it is not valid JSON';
  }
  let bound: Json['transformation'] | null = null;
  for (let i = 0; i < 4; i++) {
    if (json.type === 'CompoundCRS' && json.components?.[0]) json = json.components[0];
    if (json.type === 'BoundCRS' && json.source_crs) {
      bound = json.transformation;
      json = json.source_crs;
    }
  }
  const projected = json.type === 'ProjectedCRS';
  if (!projected && json.type !== 'GeographicCRS' && json.type !== 'GeodeticCRS')
    return 'it is not a system of positions on the ground';
  const geographic = projected ? json.base_crs : json;
  const datum = geographic?.datum ?? geographic?.datum_ensemble;
  const a = measure(datum?.ellipsoid?.['semi_major_axis'] ?? datum?.ellipsoid?.['radius'], 1);
  const b = measure(datum?.ellipsoid?.['semi_minor_axis'], 1);
  const flattening = measure(datum?.ellipsoid?.['inverse_flattening'], 1);
  if (a === null) return 'it does not say its ellipsoid';
  const rf = flattening ?? (b === null || b === a ? 0 : a / (a - b));
  const unitOf = (j: Json | undefined): Unit =>
    j?.coordinate_system?.unit ?? j?.coordinate_system?.axis?.[0]?.unit;
  const unit = projected ? sizeOf(unitOf(json)) : 1;
  if (!projected && unitOf(json) !== undefined && Math.abs(sizeOf(unitOf(json)) / DEGREE - 1) > 1e-6)
    return 'its unit is not the degree';
  const parameters = new Map<string, number>();
  for (const p of json.conversion?.parameters ?? []) {
    const name = plainName(p.name ?? '');
    if (typeof p.value !== 'number') continue;
    const angle = /^(latitude|longitude|azimuth|angle)/.test(name);
    parameters.set(
      name,
      angle ? tidy((p.value * sizeOf(p.unit ?? 'degree')) / DEGREE) : p.value * sizeOf(p.unit),
    );
  }
  const method = projected ? (json.conversion?.method?.name ?? '') : null;
  const meridian = measure(datum?.prime_meridian?.longitude, DEGREE);
  const given = new Map(
    (bound?.parameters ?? []).map((p): [string, number] => [plainName(p.name ?? ''), p.value ?? NaN]),
  );
  return {
    name: json.name ?? 'PROJJSON',
    code: bound ? null : codeOf(json),
    plain: projOf({
      method,
      parameters,
      a,
      rf,
      meridian: meridian === null ? 0 : tidy(meridian / DEGREE),
      unit,
    }),
    method,
    proj: null,
    datumName: datum?.name ?? '',
    baseCode: geographic ? codeOf(geographic) : null,
    towgs84: bound ? shiftOf(given, bound.method?.name ?? '') : null,
    a,
    rf,
  };
}

const codeOf = ({ id }: Json): number | null =>
  /^(EPSG|ESRI)$/.test(id?.authority ?? '') && Number.isInteger(Number(id?.code)) ? Number(id?.code) : null;
