/** Reads the table of coordinate systems (crsTable.ts), which is loaded when the first of them is asked for. */
import type { Box } from '../../domain/base/geo.ts';
import { plainName } from './crsNames.ts';

/** The way from a datum to WGS 84: three or seven parameters as +towgs84 takes them (metres, seconds of arc, parts per million). */
export interface Shift {
  /** Of the EPSG register, or of ESRI's list. */
  readonly code: string;
  readonly numbers: readonly number[];
  /** Metres; null where the register does not say. */
  readonly accuracy: number | null;
  /** Degrees; empty where it holds for all of the datum's area. */
  readonly areas: readonly Box[];
}

/** A geographic system, and so the datum of every projected system on it. */
export interface Base {
  readonly code: number;
  readonly name: string;
  /** Its own coordinates are degrees (not grads, for one). */
  readonly degrees: boolean;
  /** Ellipsoid and prime meridian as a PROJ string has them. */
  readonly figure: string;
  readonly datumCode: number;
  /** See crsNames.ts. */
  readonly datumNames: readonly string[];
  /** null where no shift is known. */
  readonly shift: Shift | null;
  readonly area: Box | null;
}

export interface Entry {
  readonly code: number;
  readonly name: string;
  readonly base: Base;
  /** PROJ string with ellipsoid and prime meridian, without a shift; degrees for a geographic system. */
  readonly definition: string;
  /** Projection alone, equal for the same projection on another datum; "" for a geographic system. */
  readonly projection: string;
  readonly shift: Shift | null;
  /** Where the system is used (degrees; the east may be above 180). */
  readonly area: Box | null;
}

export interface Lookup {
  entry(code: number): Entry | null;
  readonly entries: readonly Entry[];
  readonly bases: ReadonlyMap<number, Base>;
  /** The geographic system on a datum of this name (crsNames.ts) or code. */
  baseOfDatum(name: string): Base | null;
  baseOfDatumCode(code: number): Base | null;
  /** The shifts of NAD27 by region. */
  readonly nad27: readonly Shift[];
  /** How good a shift is by its numbers: files give numbers without saying. */
  accuracyOf(numbers: readonly number[]): { readonly code: string; readonly accuracy: number | null } | null;
}

let loaded: Promise<Lookup> | null = null;

export function crsLookup(): Promise<Lookup> {
  loaded ??= import('./crsTable.ts').then(({ crsTable }) => read(crsTable));
  return loaded;
}

type Table = Readonly<Record<'areas' | 'shifts' | 'nad27' | 'bases' | 'systems' | 'seconds', string>>;

const numbersOf = (text: string): number[] => text.split(' ').map(Number);
const boxOf = (text: string): Box => numbersOf(text) as unknown as Box;
const accuracyOf = (text: string): number | null => (text === '' ? null : Number(text));

function read(table: Table): Lookup {
  const areas = table.areas.split('\n').map(boxOf);
  const areaOf = (index: string): Box | null => (index === '' ? null : areas[Number(index)]);
  const shifts = new Map(
    table.shifts.split('\n').map((line): [string, Shift] => {
      const [code, numbers, accuracy] = line.split('|');
      return [code, { code, numbers: numbersOf(numbers), accuracy: accuracyOf(accuracy), areas: [] }];
    }),
  );
  const nad27 = table.nad27.split('\n').map((line): Shift => {
    const [code, numbers, accuracy, boxes] = line.split('|');
    return {
      code,
      numbers: numbersOf(numbers),
      accuracy: accuracyOf(accuracy),
      areas: boxes === '' ? [] : boxes.split(',').map(boxOf),
    };
  });
  const bases = new Map<number, Base>();
  const entries = new Map<number, Entry>();
  for (const line of table.bases.split('\n')) {
    const [code, name, unit, figure, datumCode, names, shift, area] = line.split('|');
    const base: Base = {
      code: Number(code),
      name,
      degrees: unit === '',
      figure: plus(figure),
      datumCode: Number(datumCode),
      datumNames: [...names.split(',').filter((n) => n !== ''), plainName(name)],
      shift: shifts.get(shift) ?? null,
      area: areaOf(area),
    };
    bases.set(base.code, base);
    if (base.degrees)
      entries.set(base.code, {
        code: base.code,
        name,
        base,
        definition: `+proj=longlat ${base.figure} +no_defs`,
        projection: '',
        shift: base.shift,
        area: base.area,
      });
  }
  let code = 0;
  for (const line of table.systems.split('\n')) {
    const [step, name, projection, baseCode, shift, area] = line.split('|');
    code += Number(step);
    const base = bases.get(Number(baseCode));
    if (!base) continue;
    const units = /\b(units|to_meter)=/.test(projection) ? '' : ' +units=m';
    entries.set(code, {
      code,
      name: name.startsWith('~') ? `${base.name} / ${name.slice(1)}` : name,
      base,
      definition: `+proj=${plus(projection).slice(1)} ${base.figure}${units} +no_defs`,
      projection,
      shift: shift === '' ? base.shift : (shifts.get(shift) ?? null),
      area: areaOf(area),
    });
  }
  for (const line of table.seconds.split('\n')) {
    const [second, first] = line.split('|').map(Number);
    const entry = entries.get(first);
    if (entry) entries.set(second, entry);
  }
  return lookupOf(entries, bases, nad27, shifts);
}

const plus = (text: string): string =>
  text
    .split(' ')
    .map((part) => `+${part}`)
    .join(' ');

function lookupOf(
  entries: ReadonlyMap<number, Entry>,
  bases: ReadonlyMap<number, Base>,
  nad27: readonly Shift[],
  shifts: ReadonlyMap<string, Shift>,
): Lookup {
  const byName = new Map<string, Base>();
  const byDatum = new Map<number, Base>();
  for (const base of bases.values()) {
    for (const name of [...base.datumNames, plainName(base.name)])
      if (!byName.has(name)) byName.set(name, base);
    if (!byDatum.has(base.datumCode)) byDatum.set(base.datumCode, base);
  }
  const key = (numbers: readonly number[]): string =>
    [0, 1, 2, 3, 4, 5, 6].map((i) => (numbers[i] ?? 0).toFixed(4)).join(' ');
  const byNumbers = new Map([...shifts.values(), ...nad27].map((s) => [key(s.numbers), s]));
  return {
    entry: (code) => entries.get(code) ?? null,
    entries: [...new Set(entries.values())],
    bases,
    baseOfDatum: (name) => byName.get(name) ?? null,
    baseOfDatumCode: (code) => byDatum.get(code) ?? null,
    nad27,
    accuracyOf: (numbers) => byNumbers.get(key(numbers)) ?? null,
  };
}
