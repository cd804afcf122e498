/** What the mapping screen asks: which column holds what, as guessed, and how to know a set of headers again. */
import { columnsOf } from './columns.ts';
import { FIELDS, type Field } from './fields.ts';

export { FIELDS };

export interface Guess {
  readonly column: string;
  /** In words for the user: 'Darwin Core term decimalLatitude', 'its cells are names of oaks'. */
  readonly reason: string;
}

/**
 * The column guessed for each field, with the reason. This is what is read where the mapping of a layer says nothing; pass
 * what the user has settled so far as `mapping` ("" = in no column) and the rest is guessed around it.
 *
 * @param sample first rows of the table, cells as written.
 */
export function guessMapping(
  columns: readonly string[],
  sample: ReadonlyArray<readonly string[]>,
  mapping: Readonly<Record<string, string>> = {},
): Partial<Record<Field, Guess>> {
  // Columns that are no longer there are no reason to guess nothing.
  const there = Object.fromEntries(
    Object.entries(mapping).filter(([, column]) => column === '' || columns.includes(column)),
  );
  const { at, reason } = columnsOf(columns, there, sample);
  const guesses: Partial<Record<Field, Guess>> = {};
  for (const { field } of FIELDS) {
    const index = at[field];
    if (index !== undefined && reason[field] !== undefined)
      guesses[field] = { column: columns[index], reason: reason[field] };
  }
  return guesses;
}

/** Key of a set of headers, whatever their order, case and spaces: a mapping settled once is remembered under it. */
export function headerKey(columns: readonly string[]): string {
  const plain = columns.map((c) => c.normalize('NFKC').trim().toLowerCase().replace(/\s+/g, ' '));
  return JSON.stringify([...plain].sort());
}
