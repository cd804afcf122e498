/** What the screen of columns shows and keeps: choices of the user against guesses. */
import type { FIELDS, Guess } from '../../../domain/candidates/table/mapping.ts';
import type { ColumnsTrial } from '../../../state/columns.svelte.ts';

export type Table = Parameters<ColumnsTrial['ask']>[0];

/** Field -> column as chosen; "" = in no column; a field that is not in it is guessed. */
export type Chosen = Readonly<Record<string, string>>;
export type FieldInfo = (typeof FIELDS)[number];

export const GROUPS: ReadonlyArray<readonly [FieldInfo['group'], string]> = [
  ['position', 'Where it stands'],
  ['tree', 'The tree'],
  ['species', 'Species'],
  ['quality', 'Size and quality'],
  ['origin', 'Origin'],
  ['record', 'Record and access'],
];

/** Always on screen: without them there is no candidate. */
const ALWAYS: ReadonlySet<string> = new Set(['id', 'lon', 'lat', 'species']);

/** Fields worth a line at first: those that have a column, that were chosen, and those that are always wanted. */
export const inSight = (field: FieldInfo, chosen: Chosen, guesses: Partial<Record<string, Guess>>): boolean =>
  ALWAYS.has(field.field) || field.field in chosen || guesses[field.field] !== undefined;

/** Longitude and latitude are not asked for where the place comes another way. */
export const OTHER_PLACES: readonly string[] = ['coordinates', 'easting', 'northing', 'wkt'];

/** Value of a select: a column by its name, or one of two that no column can be called. */
export const GUESS = '\u0000guess';
export const NONE = '\u0000none';

export const valueOf = (field: string, chosen: Chosen): string => {
  const column = chosen[field] as string | undefined;
  return column === undefined ? GUESS : column === '' ? NONE : column;
};

/** A column serves one field: choosing it here takes it from another field that was given it by hand. */
export function choose(chosen: Chosen, field: string, value: string): Chosen {
  const { [field]: _old, ...rest } = chosen;
  if (value === GUESS) return rest;
  if (value === NONE) return { ...rest, [field]: '' };
  const others = Object.fromEntries(Object.entries(rest).filter(([, column]) => column !== value));
  return { ...others, [field]: value };
}
