import { ok, type Note, type Result } from '../../../domain/base/result.ts';
import type { Work } from '../../../domain/base/work.ts';
import { columnsOf, sampleOf } from '../../../domain/candidates/table/columns.ts';
import { crsFrom } from '../../crs/crs.ts';
import { featuresFrom, type RawFeature } from '../vectors/geometry.ts';
import type { Mend, Opened } from '../types.ts';
import { loadWkt } from './wkt.ts';

const STRIDE = 5_000;
const MOST_NOTED = 5;

/**
 * A table whose rows have lines or outlines as well-known text becomes a layer of them, the other columns their attributes.
 * A table of points, or without well-known text, is given back as it is: its positions are read row by row
 * (domain/candidates/places.ts).
 */
export async function tableGeometry(
  opened: Opened,
  mapping: Readonly<Record<string, string>> | undefined,
  crs: string | undefined,
  work: Work = {},
  mend: readonly Mend[] = [],
): Promise<Result<Opened>> {
  const { content, file } = opened;
  if (content.kind !== 'table') return ok(opened);
  const { table } = content;
  const sample = sampleOf(table);
  const column = columnsOf(table.columns, mapping, sample).at.wkt;
  if (column === undefined) return ok(opened);
  const read = await loadWkt();
  const kinds = sample.map((row) => read(row[column])?.type).filter((t) => t !== undefined);
  if (kinds.length === 0 || kinds.filter((t) => t === 'Point').length * 2 > kinds.length) return ok(opened);
  const system = crs ? await crsFrom(crs, file) : ok(null);
  if (!system.ok) return system;
  const notes: Note[] = [];
  const raw: RawFeature[] = [];
  let bad = 0;
  for (let row = 0; row < table.n; row++) {
    if (row % STRIDE === 0) {
      work.progress?.(row, table.n, 'geometries read');
      await work.pause?.();
    }
    const text = table.cell(row, column);
    const geometry = read(text);
    if (!geometry) {
      bad++;
      if (bad <= MOST_NOTED)
        notes.push({
          where: `${file}, row ${table.line(row)}, ${table.columns[column]}`,
          what:
            text.trim() === ''
              ? 'no geometry; row left out'
              : `"${text.slice(0, 60)}" is not well-known text that is read; row left out`,
        });
      continue;
    }
    const properties: Record<string, string> = {};
    table.columns.forEach((name, c) => {
      if (c !== column) properties[name] = table.cell(row, c);
    });
    raw.push({ geometry, properties });
  }
  if (bad > MOST_NOTED)
    notes.push({ where: file, what: `${bad - MOST_NOTED} more rows have no geometry that can be read` });
  const features = featuresFrom(raw, system.value, file, { mend, ...(crs ? { crs } : {}) });
  if (!features.ok) return features;
  const { value } = features;
  return ok({
    ...opened,
    content: value.content,
    crs: system.value?.name ?? 'EPSG:4326',
    extent: value.extent,
    count:
      value.content.kind === 'raster' || value.content.kind === 'table' ? 0 : value.content.features.length,
    notes: [...opened.notes, ...notes, ...value.notes],
    offers: value.offers,
  });
}
