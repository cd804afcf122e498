/** Boxes that a GeoParquet file keeps for its groups of rows and for each row, in its own coordinates. */
import type { RowGroup } from 'hyparquet';
import type { Box } from '../../../domain/base/geo.ts';
import type { GeometryColumn } from './geoparquetColumn.ts';

/** Box around all geometries of a group: by statistics of the boxes of its rows, or of its geometries; null where untold. */
export function groupBox(group: RowGroup, { name, covering }: GeometryColumn): Box | null {
  const meta = (path: readonly string[]) =>
    group.columns.find((c) => c.meta_data?.path_in_schema.join('.') === path.join('.'))?.meta_data;
  if (covering) {
    const end = (path: readonly string[], side: 'min' | 'max'): number => {
      const s = meta(path)?.statistics;
      return Number((side === 'min' ? (s?.min_value ?? s?.min) : (s?.max_value ?? s?.max)) ?? NaN);
    };
    const [west, south, east, north] = covering;
    const box = boxOf(end(west, 'min'), end(south, 'min'), end(east, 'max'), end(north, 'max'));
    if (box) return box;
  }
  const own = meta([name])?.geospatial_statistics?.bbox;
  return own ? boxOf(own.xmin, own.ymin, own.xmax, own.ymax) : null;
}

/** @param kept what the row has in the column of boxes. */
export function rowBox(kept: unknown, { covering }: GeometryColumn): Box | null {
  if (!covering || typeof kept !== 'object' || kept === null) return null;
  const box = kept as Readonly<Record<string, unknown>>;
  const [west, south, east, north] = covering.map(([, field]) => Number(box[field] ?? NaN));
  return boxOf(west, south, east, north);
}

/** A box over the antimeridian (west beyond east) is not used: it would have to be two. */
const boxOf = (west: number, south: number, east: number, north: number): Box | null =>
  west <= east && south <= north ? [west, south, east, north] : null;
