/** Looks into a file before it becomes a layer. */
import { ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import { openSource } from '../../io/read/formats.ts';
import type { Content } from '../../io/read/types.ts';
import type { Source } from '../../io/source.ts';
import type { Inspection } from '../protocol.ts';
import { guessDefinitions } from './guess.ts';

export async function inspectSource(
  source: Source,
  crs: string | undefined,
  work: Work,
): Promise<Result<Inspection>> {
  const opened = await openSource(source, { ...(crs ? { crs } : {}), work });
  if (!opened.ok) return opened;
  const { file, format, content, extent, count, notes } = opened.value;
  const fields = fieldsOf(content);
  return ok({
    file,
    format,
    kind: content.kind,
    crs: opened.value.crs,
    extent,
    count,
    fields,
    notes,
    definitions: guessDefinitions(content.kind, file, fields),
  });
}

function fieldsOf(content: Content): string[] {
  switch (content.kind) {
    case 'raster':
      return content.raster.bands.map((b, i) => b.description || `Band ${i + 1}`);
    case 'table':
      return [...content.table.columns];
    case 'polygon':
    case 'line':
    case 'point':
      // The first features tell the fields; reading all of a large layer for its names would not tell more.
      return [...new Set(content.features.slice(0, 100).flatMap((f) => Object.keys(f.attributes)))];
  }
}
