import { columnsOf, sampleOf } from '../../domain/candidates/table/columns.ts';
import type { TableReading } from '../../domain/candidates/table/reading.ts';
import type { LayerEntry } from '../../domain/plan/schema.ts';
import { crsFrom } from '../../io/crs/crs.ts';
import type { Content } from '../../io/read/types.ts';
import { loadWkt, pointOf } from '../../io/read/tables/wkt.ts';

/** How the records of a layer are read: what its entry settles, and the coordinate systems and geometries that io knows. */
export async function tableReading(
  { columns, names, mend, crs }: Pick<LayerEntry, 'columns' | 'names' | 'mend' | 'crs'>,
  file: string,
  content: Content,
): Promise<TableReading> {
  const hasWkt =
    content.kind === 'table' &&
    columnsOf(content.table.columns, columns, sampleOf(content.table)).at.wkt !== undefined;
  const read = hasWkt ? await loadWkt() : null;
  return {
    ...(columns ? { mapping: columns } : {}),
    ...(names ? { names } : {}),
    ...(mend ? { mend } : {}),
    ...(crs ? { crs } : {}),
    systems: (code) => crsFrom(code, file),
    ...(read ? { wkt: (text) => pointOf(read(text)) } : {}),
  };
}
