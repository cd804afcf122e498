/** What a file holds, as the screens of intake and layers need it: its parts, fields, first rows, classes and offers. */
import type { Area, Attributes, Spot } from '../../domain/base/geo.ts';
import { standPoint } from '../../domain/candidates/standPoint.ts';
import type { Content, Opened } from '../../io/read/types.ts';
import type { FileFacts, Sample } from '../protocol.ts';

/** Rows that are shown while columns are chosen. */
const SAMPLE_ROWS = 30;
/** The first features tell the fields; reading all of a large layer for its names would not tell more. */
const FIELD_FEATURES = 100;

export function fileFacts(opened: Opened): FileFacts {
  const { content } = opened;
  const fields = fieldsOf(content);
  return {
    kind: content.kind,
    fields,
    parts: opened.parts ?? [],
    part: opened.part ?? '',
    offers: opened.offers ?? [],
    classes: opened.classes ?? [],
    sample: sampleOf(content, fields),
  };
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
      return [
        ...new Set(content.features.slice(0, FIELD_FEATURES).flatMap((f) => Object.keys(f.attributes))),
      ];
  }
}

/** The first rows as text: of a table as written, of points and areas their attributes; null for pictures. */
function sampleOf(content: Content, fields: readonly string[]): Sample | null {
  switch (content.kind) {
    case 'raster':
      return null;
    case 'table': {
      const { table } = content;
      const n = Math.min(SAMPLE_ROWS, table.n);
      return {
        columns: [...table.columns],
        rows: Array.from({ length: n }, (_, r) => table.columns.map((_name, c) => table.cell(r, c))),
        lines: Array.from({ length: n }, (_, r) => table.line(r)),
        places: null,
      };
    }
    case 'point':
      return ofFeatures(
        content.features,
        fields,
        content.features.slice(0, SAMPLE_ROWS).map((s: Spot) => [s.lon, s.lat] as const),
      );
    case 'polygon':
      return ofFeatures(content.features, fields, content.features.slice(0, SAMPLE_ROWS).map(inside));
    case 'line':
      return ofFeatures(content.features, fields, null);
  }
}

/** A stand is asked for as a place; one without an area has none. */
function inside({ geometry }: Area): readonly [number, number] {
  const point = standPoint(geometry);
  return point ? [point.lon, point.lat] : [NaN, NaN];
}

function ofFeatures(
  features: ReadonlyArray<{ readonly attributes: Attributes }>,
  columns: readonly string[],
  places: Sample['places'],
): Sample {
  const first = features.slice(0, SAMPLE_ROWS);
  const text = (value: Attributes[string] | undefined): string =>
    value === null || value === undefined ? '' : String(value);
  return {
    columns: [...columns],
    rows: first.map((f) => columns.map((c) => text(f.attributes[c]))),
    lines: first.map((_, i) => i + 1),
    places,
  };
}
