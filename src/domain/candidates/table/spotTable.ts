import type { Spot } from '../../base/geo.ts';
import type { Table } from '../../base/table.ts';

/** The attributes of points as a table: a column each, a row a point. */
export function spotTable(spots: readonly Spot[]): Table {
  const names = new Set<string>();
  for (const s of spots) for (const name in s.attributes) names.add(name);
  const columns = [...names];
  return {
    columns,
    n: spots.length,
    cell(row, column) {
      const value = spots[row].attributes[columns[column]];
      return value === null || value === undefined ? '' : String(value);
    },
    line: (row) => row + 2,
  };
}
