import type { Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import { candidatesFromStands } from '../../domain/candidates/table/fromStands.ts';
import {
  candidatesFrom,
  candidatesFromSpots,
  type CandidatesRead,
} from '../../domain/candidates/table/fromTable.ts';
import type { LayerEntry } from '../../domain/plan/schema.ts';
import type { Content } from '../../io/read/types.ts';
import { tableReading } from './tableReading.ts';

/** The candidates in a table, in points or in polygons (stands), as the entry says to read them; null in anything else. */
export async function candidatesIn(
  content: Content,
  entry: Pick<LayerEntry, 'columns' | 'names' | 'mend' | 'crs'>,
  file: string,
  work: Work,
): Promise<Result<CandidatesRead> | null> {
  const how = await tableReading(entry, file, content);
  switch (content.kind) {
    case 'table':
      return candidatesFrom(content.table, file, how, work);
    case 'point':
      return candidatesFromSpots(content.features, file, how, work);
    case 'polygon':
      return candidatesFromStands(content.features, file, how, work);
    case 'line':
    case 'raster':
      return null;
  }
}
