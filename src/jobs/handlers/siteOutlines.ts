/** Areas, closed lines or places of a file, of which the user chooses those that become sites of a planting. */
import { geodesicArea, geodesicMetres } from '../../domain/base/geodesy.ts';
import type { Attributes, MultiPolygon, Place } from '../../domain/base/geo.ts';
import { fail, ok, type Note, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import { standPoint } from '../../domain/candidates/standPoint.ts';
import { mendRings } from '../../domain/layers/rings.ts';
import { openSource } from '../../io/read/formats.ts';
import type { Content } from '../../io/read/types.ts';
import type { Source } from '../../io/source.ts';
import type { Reading, SiteOutline, SiteOutlines } from '../protocol.ts';
import { readOptions } from './readOptions.ts';

/** So many can be chosen among; of more, those nearest to where the work is. */
export const MOST_OUTLINES = 500;
/**
 * A boundary walked with a receiver is a line that ends near its start: within so many metres and this share of its length
 * it is taken as closed (ours).
 */
const GAP_METRES = 50;
const GAP_SHARE = 0.1;

/** What may become a site, before the costly looks at its shape. */
interface Found {
  readonly shape: MultiPolygon | null;
  /** Some place of it: to tell which are nearest. */
  readonly some: Place;
  readonly attributes: Attributes;
}

/**
 * Outlines are mended where that is safe (domain/layers/rings.ts); those without ground are left out, and said.
 * A Failure where the file cannot be read, or holds nothing that can be a site.
 * @param near where the work is: tells which are listed of more than MOST_OUTLINES.
 */
export async function siteOutlines(
  source: Source,
  reading: Reading,
  near: Place | null,
  work: Work,
): Promise<Result<SiteOutlines>> {
  const opened = await openSource(source, readOptions(reading, work));
  if (!opened.ok) return opened;
  const { file, content, crs, extent, parts = [], part = '', offers = [] } = opened.value;
  const notes: Note[] = [...opened.value.notes];
  const found = foundIn(content, file, notes);
  if (!found.ok) return found;
  if (content.kind === 'raster' || content.kind === 'table') throw new Error('not looked for sites in');
  await work.pause?.();
  const chosen = nearest(found.value, near);
  if (chosen.length < found.value.length)
    notes.push({
      where: file,
      what: `holds ${found.value.length}; the ${chosen.length} nearest to the planting are listed`,
    });
  const fields = [...new Set(chosen.flatMap((f) => Object.keys(f.attributes)))];
  const mended = mendRings(
    chosen.map(({ shape, attributes }) => ({ geometry: shape ?? [], attributes })),
    file,
  );
  if (content.kind !== 'point') notes.push(...mended.notes);
  const outlines: SiteOutline[] = [];
  for (const [i, { some, attributes }] of chosen.entries()) {
    if (i % 20 === 0) {
      work.progress?.(i, chosen.length, 'outlines looked at');
      await work.pause?.();
    }
    const texts = fields.map((f) => textOf(attributes[f]));
    if (content.kind === 'point') {
      outlines.push({ texts, area: null, place: some, squareMetres: 0 });
      continue;
    }
    const area = mended.areas[i].geometry;
    const inside = standPoint(area);
    if (!inside) continue;
    const { lon, lat } = inside;
    outlines.push({ texts, area, place: { lon, lat }, squareMetres: geodesicArea(area) });
  }
  const flat = chosen.length - outlines.length;
  if (flat > 0) notes.push({ where: file, what: `${flat} without ground inside: left out` });
  if (outlines.length === 0)
    return fail('content', file, 'has no outline with ground inside', 'Draw the outline on the map instead.');
  return ok({
    file,
    kind: content.kind,
    crs,
    outlines,
    count: found.value.length,
    fields,
    named: namingField(fields, outlines),
    parts,
    part,
    offers,
    extent,
    notes,
  });
}

function foundIn(content: Content, file: string, notes: Note[]): Result<Found[]> {
  const none = (what: string): Result<Found[]> =>
    fail(
      'content',
      file,
      what,
      'Bring areas (polygons), closed lines or places; or draw the outline on the map.',
    );
  switch (content.kind) {
    case 'raster':
      return none('is a picture: it has no outlines');
    case 'table':
      return none('is a table without shapes');
    case 'point':
      return ok(
        content.features.map(({ lon, lat, attributes }) => ({ shape: null, some: { lon, lat }, attributes })),
      );
    case 'polygon':
      return ok(
        content.features.flatMap(({ geometry, attributes }) => {
          const first = geometry.at(0)?.at(0)?.at(0);
          return first ? [{ shape: geometry, some: { lon: first[0], lat: first[1] }, attributes }] : [];
        }),
      );
    case 'line': {
      const found = content.features.flatMap(({ lines, attributes }): Found[] => {
        const shape = lines.filter(isClosed).map((line) => [[...line, line[0]]]);
        if (shape.length === 0) return [];
        const [lon, lat] = shape[0][0][0];
        return [{ shape, some: { lon, lat }, attributes }];
      });
      const open = content.features.length - found.length;
      if (found.length === 0) return none('holds lines, none of which comes back to its start');
      notes.push({ where: file, what: 'its lines come back to their start and are taken as outlines' });
      if (open > 0)
        notes.push({ where: file, what: `${open} that do not come back to their start: left out` });
      return ok(found);
    }
  }
}

function isClosed(line: ReadonlyArray<readonly [number, number]>): boolean {
  if (line.length < 4) return false;
  let length = 0;
  for (let i = 1; i < line.length; i++) length += geodesicMetres(...line[i - 1], ...line[i]);
  const gap = geodesicMetres(...line[0], ...line[line.length - 1]);
  return gap <= GAP_METRES && gap <= GAP_SHARE * length;
}

function nearest(found: readonly Found[], near: Place | null): readonly Found[] {
  if (found.length <= MOST_OUTLINES || !near) return found.slice(0, MOST_OUTLINES);
  // Flat is exact enough to tell near from far, and a county has a hundred thousand parcels.
  const narrow = Math.cos((near.lat * Math.PI) / 180);
  const off = found.map(({ some }) => Math.hypot((some.lon - near.lon) * narrow, some.lat - near.lat));
  const order = found.map((_, i) => i).sort((a, b) => off[a] - off[b]);
  return order.slice(0, MOST_OUTLINES).map((i) => found[i]);
}

const textOf = (value: Attributes[string] | undefined): string =>
  value === null || value === undefined ? '' : String(value).trim();

const NAMING = [
  /^(site|field|parcel|unit|tract|stand|plot|area|block|farm|property)?[ _-]?(name|title|label)$/i,
  /name|title|label/i,
  /^(site|field|parcel|unit|tract|stand|plot|area|block)$/i,
  /(^|[ _-])(id|no|nr|num|number|code|key)$/i,
];

/** The field whose header speaks for a name and that says something of most of them. */
function namingField(fields: readonly string[], outlines: readonly SiteOutline[]): number {
  const says = (f: number): boolean =>
    2 * outlines.filter((o) => o.texts[f] !== '').length >= outlines.length;
  for (const words of NAMING) {
    const at = fields.findIndex((field, f) => words.test(field) && says(f));
    if (at >= 0) return at;
  }
  return -1;
}
