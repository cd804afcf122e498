import type { Table } from '../../base/table.ts';
import { columnsOf, sampleOf } from './columns.ts';
import { hasSpecies, speciesReader, Unsettled, type UnsettledName } from './speciesColumn.ts';

/**
 * Names in a table that stand for no oak of the species table, with the number of rows and oaks that are written nearly so; the
 * most frequent first. What `names` settles is not among them.
 */
export function unsettledNames(
  table: Table,
  mapping: Readonly<Record<string, string>> = {},
  names: Readonly<Record<string, string>> = {},
): UnsettledName[] {
  const columns = columnsOf(table.columns, mapping, sampleOf(table));
  if (!hasSpecies(columns)) return [];
  const speciesAt = speciesReader(table, columns, names);
  const unsettled = new Unsettled();
  for (let row = 0; row < table.n; row++) unsettled.add(speciesAt(row));
  return unsettled.list();
}
