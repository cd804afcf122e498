import type { Box } from '../../../domain/base/geo.ts';
import { fail, missingCrs, ok, type Note, type Result } from '../../../domain/base/result.ts';
import type { Crs } from '../../crs/crs.ts';
import { featuresFrom, type RawFeature } from './geometry.ts';
import type { Opened, Part, ReadOptions } from '../types.ts';

/** What a reader of features found, coordinates as in the file. */
export interface Found {
  readonly file: string;
  readonly format: string;
  readonly raw: readonly RawFeature[];
  /** null: WGS 84 degrees; 'missing': the file should say and does not. */
  readonly crs: Crs | null | 'missing';
  readonly notes?: readonly Note[];
  readonly parts?: readonly Part[];
  readonly part?: string;
}

/** Geometries of curved lines and surfaces (ISO 13249-3): what bounds an area cannot be left out or guessed. */
const CURVES = new Set([
  'CircularString',
  'CompoundCurve',
  'CurvePolygon',
  'MultiCurve',
  'MultiSurface',
  'Curve',
  'Surface',
]);

/** Surfaces made of pieces, as models of buildings and terrain are. */
const SURFACES = new Set(['PolyhedralSurface', 'TIN', 'Triangle']);

/** The common end of all readers of features: refuses curves, surfaces and a missing coordinate system, and gives the content. */
export async function vectorOpened(found: Found, options: ReadOptions): Promise<Result<Opened>> {
  const { file, raw, crs } = found;
  const curved = raw.findIndex((f) => f.geometry && CURVES.has(f.geometry.type));
  if (curved >= 0)
    return fail(
      'content',
      file,
      `holds curved lines (${raw[curved].geometry?.type} in feature ${curved + 1}), which are not read`,
      'Turn the curves into straight lines with a GIS, and save it again.',
    );
  const solid = raw.findIndex((f) => f.geometry && SURFACES.has(f.geometry.type));
  if (solid >= 0)
    return fail(
      'content',
      file,
      `holds surfaces in space (${raw[solid].geometry?.type} in feature ${solid + 1}), which are not read`,
      'Export their footprints as polygons.',
    );
  if (crs === 'missing') {
    const box = boxOf(raw);
    if (box) return missingCrs(file, box);
  }
  // What follows goes over all positions at once.
  options.work?.progress?.(0, 1, 'positions placed');
  await options.work?.pause?.();
  const read = featuresFrom(raw, crs === 'missing' ? null : crs, file, options);
  if (!read.ok) return read;
  options.work?.progress?.(1, 1, 'positions placed');
  const { content, extent, notes, offers } = read.value;
  return ok({
    file,
    format: found.format,
    content,
    crs: crs === 'missing' || crs === null ? 'EPSG:4326' : crs.name,
    extent,
    count: content.kind === 'raster' || content.kind === 'table' ? 0 : content.features.length,
    notes: [...(found.notes ?? []), ...notes],
    offers,
    ...(found.parts ? { parts: found.parts } : {}),
    ...(found.part === undefined ? {} : { part: found.part }),
  });
}

/** Box of all positions as they stand; null where there is none. */
function boxOf(raw: readonly RawFeature[]): Box | null {
  let [w, s, e, n] = [Infinity, Infinity, -Infinity, -Infinity];
  const look = (value: unknown): void => {
    if (!Array.isArray(value)) return;
    const [x, y] = value as unknown[];
    if (typeof x === 'number' && typeof y === 'number') {
      if (!Number.isFinite(x) || !Number.isFinite(y)) return;
      w = Math.min(w, x);
      s = Math.min(s, y);
      e = Math.max(e, x);
      n = Math.max(n, y);
    } else for (const inner of value as unknown[]) look(inner);
  };
  for (const f of raw) look(f.geometry?.coordinates);
  return w <= e ? [w, s, e, n] : null;
}
