import { deserialize } from 'flatgeobuf/lib/mjs/geojson.js';
import { fail, ok, type Note, type Result } from '../../../domain/base/result.ts';
import { crsFrom, crsFromEpsg, type Crs } from '../../crs/crs.ts';
import type { Source } from '../../source.ts';
import { featuresInBox } from './flatgeobufBox.ts';
import { flatgeobufFeatures } from './flatgeobufCheck.ts';
import type { RawFeature } from './geometry.ts';
import type { Format, ReadOptions } from '../types.ts';
import { vectorOpened } from './vector.ts';
import { whole } from '../whole.ts';

const MAGIC = [0x66, 0x67, 0x62, 0x03, 0x66, 0x67, 0x62];

const PAUSE_FEATURES = 20_000;

interface HeaderCrs {
  readonly org?: string | null;
  readonly code?: number;
  readonly wkt?: string | null;
}

interface Header {
  readonly crs: HeaderCrs | null;
}

/** FlatGeobuf, version 3. */
export const flatgeobuf: Format = {
  id: 'flatgeobuf',
  title: 'FlatGeobuf',
  extensions: ['fgb'],
  recognises: (head) => MAGIC.every((byte, i) => head[i] === byte),
  async read(source, options) {
    const crsOf = (header: Header): Promise<Result<Crs | null>> =>
      options.crs ? crsFrom(options.crs, source.name) : ownCrs(header.crs, source.name);
    const boxed = options.within ? await featuresInBox(source, options.within, crsOf) : ok(null);
    if (!boxed.ok) return boxed;
    const found = boxed.value ? ok(boxed.value) : await allFeatures(source, options);
    if (!found.ok) return found;
    const { header, raw } = found.value;
    if (boxed.value && raw.length === 0)
      return fail('content', source.name, 'has nothing in this area', 'Choose a layer that covers the area.');
    const crs = await crsOf(header);
    if (!crs.ok) return crs;
    const where = source.name;
    const notes: Note[] = [];
    if (!options.crs && !header.crs)
      notes.push({ where, what: 'does not say its coordinate system; WGS 84 degrees are assumed' });
    if (found.value.measures) notes.push({ where, what: 'measures along the shapes (M) were dropped' });
    return vectorOpened({ file: where, format: 'FlatGeobuf', raw, crs: crs.value, notes }, options);
  },
};

async function allFeatures(
  source: Source,
  { work }: ReadOptions,
): Promise<Result<{ header: Header; raw: readonly RawFeature[]; measures: boolean }>> {
  const bytes = await whole(source);
  if (!bytes.ok) return bytes;
  const features = flatgeobufFeatures(bytes.value, source.name);
  if (!features.ok) return features;
  // The library goes round without end over an index of no features.
  if (features.value.count === 0) return fail('content', source.name, 'holds no features', 'Check the file.');
  const raw: RawFeature[] = [];
  let header: Header = { crs: null };
  try {
    // A copy: the library reads from the start of the underlying buffer.
    const options = { headerMetaFn: (h: unknown) => (header = h as Header) };
    for await (const feature of deserialize(new Uint8Array(bytes.value), options)) {
      raw.push(feature);
      if (raw.length % PAUSE_FEATURES !== 0) continue;
      work?.progress?.(raw.length, features.value.count, 'features read');
      await work?.pause?.();
    }
  } catch (error) {
    if (error instanceof Error && error.name === 'Cancelled') throw error;
    const why = error instanceof Error ? error.message : String(error);
    return fail(
      'format',
      source.name,
      `is damaged or not a whole FlatGeobuf (${why})`,
      'Get the file again.',
    );
  }
  return ok({ header, raw, measures: features.value.measures });
}

/** null: degrees on WGS 84 already. */
async function ownCrs(crs: HeaderCrs | null, file: string): Promise<Result<Crs | null>> {
  if (!crs) return ok(null);
  if (crs.code === 4326) return ok(null);
  if (crs.wkt && !crs.code) return crsFrom(crs.wkt, file);
  if (crs.code) {
    const built = await crsFromEpsg(crs.code, file);
    return built.ok || !crs.wkt ? built : crsFrom(crs.wkt, file);
  }
  return ok(null);
}
