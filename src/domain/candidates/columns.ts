/** Which column of a table holds which field of a candidate. */
import type { TextField } from './candidates.ts';

/** Fields that a column can be mapped to. */
export type Field =
  | 'id'
  | 'lon'
  | 'lat'
  | 'accuracy'
  | 'species'
  | 'commonName'
  | 'dbh'
  | 'form'
  | 'crown'
  | 'crop'
  | 'permission'
  | Exclude<TextField, 'file' | 'row'>;

/**
 * Headers as they are written, without case, spaces, signs and units. Darwin Core terms (TDWG) stand among them; so do the
 * usual words of a notebook. Earlier wins.
 */
export const HEADERS: Readonly<Record<Field, readonly string[]>> = {
  id: [
    'id',
    'treeid',
    'treeno',
    'treenumber',
    'treenum',
    'tree',
    'tag',
    'tagno',
    'tagnumber',
    'candidateid',
    'candidate',
    'occurrenceid',
    'catalognumber',
    'recordnumber',
    'number',
    'no',
    'code',
  ],
  lon: ['decimallongitude', 'longitude', 'lon', 'long', 'lng', 'x', 'londd', 'longdd', 'longitudedd'],
  lat: ['decimallatitude', 'latitude', 'lat', 'y', 'latdd', 'latitudedd'],
  accuracy: [
    'coordinateuncertaintyinmeters',
    'accuracy',
    'gpsaccuracy',
    'positionaccuracy',
    'horizontalaccuracy',
    'precision',
    'uncertainty',
    'error',
    'gpserror',
    'epe',
  ],
  species: ['scientificname', 'species', 'taxon', 'latinname', 'taxonname', 'sp'],
  commonName: ['vernacularname', 'commonname', 'common', 'englishname'],
  dbh: ['dbh', 'diameter', 'diameteratbreastheight', 'diam'],
  form: ['form', 'stemform', 'formscore'],
  crown: ['crown', 'crownscore', 'crowncondition'],
  crop: ['crop', 'cropclass', 'cropscore', 'lastcrop', 'acorncrop', 'mast', 'mastclass'],
  permission: ['permission', 'access', 'ownerpermission', 'accesspermission'],
  name: ['name', 'treename', 'title', 'label'],
  owner: ['owner', 'landowner', 'ownername', 'contact'],
  stand: ['stand', 'standid', 'site', 'sitename', 'locality', 'location', 'grove', 'population'],
  identifiedBy: ['identifiedby', 'determiner', 'idby', 'determinedby'],
  keyUsed: ['keyused', 'key', 'identificationreferences', 'idmethod', 'identificationkey'],
  establishmentMeans: ['establishmentmeans'],
  degreeOfEstablishment: ['degreeofestablishment'],
  setting: ['setting', 'habitat', 'siteclass', 'sitetype', 'landuse', 'place'],
  notes: ['notes', 'note', 'remarks', 'comments', 'comment', 'occurrenceremarks', 'fieldnotes'],
  date: ['eventdate', 'date', 'observed', 'dateobserved', 'visitdate', 'visited'],
  county: ['county', 'countyname', 'district'],
  regeneration: ['regeneration', 'regen', 'seedlingsnearby', 'naturalregeneration'],
};

/** A unit at the end of a header ("accuracy_ft", "DBH (in)") or of a cell ("22 in"), as a factor to the stored unit. */
const LENGTHS: Readonly<Record<string, number>> = {
  m: 1,
  meter: 1,
  meters: 1,
  metre: 1,
  metres: 1,
  ft: 0.3048,
  feet: 0.3048,
  foot: 0.3048,
  "'": 0.3048,
  cm: 0.01,
  centimeters: 0.01,
  centimetres: 0.01,
  mm: 0.001,
  in: 0.0254,
  inch: 0.0254,
  inches: 0.0254,
  '"': 0.0254,
  '″': 0.0254,
};

/** Metres in a unit of length as written; null where it is none. */
export const metresIn = (unit: string): number | null =>
  Object.hasOwn(LENGTHS, unit.toLowerCase()) ? LENGTHS[unit.toLowerCase()] : null;

/** Header without case, signs and a unit at its end, and the unit ('' none). */
export function plainHeader(header: string): { readonly plain: string; readonly unit: string } {
  const words = header
    .normalize('NFKC')
    .replace(/([\p{Ll}\p{N}])(\p{Lu})/gu, '$1 $2')
    .toLowerCase()
    .split(/[^\p{L}\p{N}"'″]+/u)
    .filter(Boolean);
  const last = words[words.length - 1] ?? '';
  const isUnit = words.length > 1 && metresIn(last) !== null && words[words.length - 2] !== 'in';
  return { plain: (isUnit ? words.slice(0, -1) : words).join(''), unit: isUnit ? last : '' };
}

export interface Columns {
  /** Index of the column of each field that the table has. */
  readonly at: Readonly<Partial<Record<Field, number>>>;
  /** Metres in one unit of the column, where its header names a unit. */
  readonly unit: Readonly<Partial<Record<Field, number>>>;
  /** Names in the mapping that are no column of the table. */
  readonly missing: ReadonlyArray<{ readonly field: string; readonly column: string }>;
}

/** Columns of a table by field: what the mapping says, else what the headers say. No column serves two fields. */
export function columnsOf(
  headers: readonly string[],
  mapping: Readonly<Record<string, string>> = {},
): Columns {
  const at: Partial<Record<Field, number>> = {};
  const unit: Partial<Record<Field, number>> = {};
  const missing: Array<{ field: string; column: string }> = [];
  const taken = new Set<number>();
  const plains = headers.map(plainHeader);
  const take = (field: Field, column: number): void => {
    at[field] = column;
    taken.add(column);
    const metres = metresIn(plains[column].unit);
    if (metres !== null) unit[field] = metres;
  };
  const fields = Object.keys(HEADERS) as Field[];
  for (const [field, column] of Object.entries(mapping)) {
    const index = headers.indexOf(column);
    if (index < 0 || !fields.includes(field as Field)) missing.push({ field, column });
    else take(field as Field, index);
  }
  for (const field of fields) {
    if (at[field] !== undefined) continue;
    for (const usual of HEADERS[field]) {
      const index = plains.findIndex((p, i) => !taken.has(i) && p.plain === usual);
      if (index >= 0) {
        take(field, index);
        break;
      }
    }
  }
  return { at, unit, missing };
}
