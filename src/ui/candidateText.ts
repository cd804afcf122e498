/** A candidate's fields as the screens name and write them, and what is typed as it is kept. */
import type { Records } from '../domain/candidates/candidates.ts';
import {
  fieldText,
  KEPT_AS_WRITTEN,
  type EditField,
  type FieldTexts,
} from '../domain/candidates/hand/editFields.ts';
import { readFields } from '../domain/candidates/table/readFields.ts';
import type { Units } from '../state/session.svelte.ts';
import { number, shown, unitOf, type Quantity } from './format.ts';

export const FIELD_TITLES: Readonly<Record<EditField, string>> = {
  species: 'Species',
  name: 'Name',
  lat: 'Latitude',
  lon: 'Longitude',
  accuracy: 'Accuracy',
  dbh: 'Diameter',
  form: 'Form (0-4)',
  crown: 'Crown (0-4)',
  crop: 'Last crop (0-4)',
  permission: 'Permission',
  owner: 'Owner',
  stand: 'Stand or place',
  county: 'County',
  setting: 'Setting',
  date: 'Date seen',
  identifiedBy: 'Identified by',
  keyUsed: 'Key used',
  establishmentMeans: 'Establishment means',
  degreeOfEstablishment: 'Degree of establishment',
  regeneration: 'Regeneration',
  notes: 'Notes',
};

const MEASURED: Readonly<Partial<Record<EditField, Quantity>>> = { accuracy: 'length', dbh: 'diameter' };
const BARE = /^[+-]?\d+(?:[.,]\d+)?$/;

/** One decimal is as fine as a tape or a receiver is; what is not touched keeps its full value. */
const DECIMALS = 1;

/** A field as it is shown to be edited: lengths with the user's unit, '' where nothing is recorded. */
export function cellText(c: Records, row: number, field: EditField, units: Units): string {
  const quantity = MEASURED[field];
  if (!quantity) return fieldText(c, row, field);
  const x = field === 'dbh' ? c.dbh[row] : c.accuracy[row];
  if (Number.isNaN(x)) return '';
  return `${Number(shown(x, quantity, units).toFixed(DECIMALS))} ${unitOf(quantity, units)}`;
}

/** What was typed, with the user's unit where a length has none. */
export function typedText(field: EditField, text: string, units: Units): string {
  const quantity = MEASURED[field];
  const plain = text.trim();
  return quantity && BARE.test(plain) ? `${plain} ${unitOf(quantity, units)}` : plain;
}

/** Any field as text that is not a candidate's of the table (a record behind a tree), lengths with their unit. */
export function recordText(record: FieldTexts, field: EditField, units: Units): string {
  const text = record[field] ?? '';
  const quantity = MEASURED[field];
  return quantity && BARE.test(text)
    ? `${Number(shown(Number(text), quantity, units).toFixed(DECIMALS))} ${unitOf(quantity, units)}`
    : text;
}

/** What is wrong with values that are about to be kept; a name of no known oak is no mistake. */
export const troubles = (fields: FieldTexts): string[] =>
  readFields([{ where: '', fields }]).notes.flatMap(({ where, what }) => {
    const field = where.replace(/^, /, '') as EditField;
    return KEPT_AS_WRITTEN.has(field) ? [] : [`${FIELD_TITLES[field]}: ${what.replace(/; left empty$/, '')}`];
  });

/** Square metres in an acre (international foot). */
const ACRE = 4046.8564224;

/** "3.9 ha", "9.6 acres". */
export function areaText(squareMetres: number, units: Units): string {
  const value = squareMetres / (units === 'us' ? ACRE : 1e4);
  return `${number(value, value < 10 ? 2 : value < 100 ? 1 : 0)} ${units === 'us' ? 'acres' : 'ha'}`;
}
