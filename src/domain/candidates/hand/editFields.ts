/** A candidate as text, field by field: how a notebook would write it, and how edits by hand are kept in the plan. */
import { PERMISSIONS, type Records } from '../candidates.ts';

/** Fields of a candidate that are edited by hand, in the order of the table. The id stays: all else names the tree by it. */
export const EDIT_FIELDS = [
  'species',
  'name',
  'lat',
  'lon',
  'accuracy',
  'dbh',
  'form',
  'crown',
  'crop',
  'permission',
  'owner',
  'stand',
  'county',
  'setting',
  'date',
  'identifiedBy',
  'keyUsed',
  'establishmentMeans',
  'degreeOfEstablishment',
  'regeneration',
  'notes',
] as const;
export type EditField = (typeof EDIT_FIELDS)[number];

export type FieldTexts = Readonly<Record<string, string>>;

export const isEditField = (name: string): name is EditField =>
  (EDIT_FIELDS as readonly string[]).includes(name);

export const NUMBER_FIELDS = ['lat', 'lon', 'accuracy', 'dbh', 'form', 'crown', 'crop'] as const;
export type NumberField = (typeof NUMBER_FIELDS)[number];
export const isNumberField = (name: string): name is NumberField =>
  (NUMBER_FIELDS as readonly string[]).includes(name);

/** Fields in which a value that is not understood is kept as it is written: a name of no known oak, a date of either order. */
export const KEPT_AS_WRITTEN: ReadonlySet<string> = new Set(['species', 'date']);

/** As it is read back: degrees to 7 decimals (a centimetre), other figures in full. */
const figure = (field: NumberField, x: number): string =>
  Number.isNaN(x) ? '' : String(field === 'lat' || field === 'lon' ? Number(x.toFixed(7)) : x);

/** One field of a candidate as text, '' not recorded. Accuracy in metres, diameter in centimetres, places in degrees. */
export function fieldText(candidates: Records, row: number, field: EditField): string {
  if (field === 'species') return candidates.speciesText[row];
  if (field === 'permission')
    return candidates.permission[row] === 0 ? '' : PERMISSIONS[candidates.permission[row]];
  if (isNumberField(field)) return figure(field, candidates[field][row]);
  return candidates.text[field]?.[row] ?? '';
}

/** All that is recorded of a candidate, with its id and, where it came from a file, file and row. Empty fields are left out. */
export function fieldsOf(candidates: Records, row: number): FieldTexts {
  const fields: Record<string, string> = { id: candidates.id[row] };
  for (const field of EDIT_FIELDS) {
    const text = fieldText(candidates, row, field);
    if (text !== '') fields[field] = text;
  }
  for (const field of ['file', 'row'] as const) {
    const text = candidates.text[field]?.[row];
    if (text) fields[field] = text;
  }
  return fields;
}
