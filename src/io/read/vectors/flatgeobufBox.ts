import { fromFeature } from 'flatgeobuf/lib/mjs/geojson/feature.js';
import { HttpReader } from 'flatgeobuf/lib/mjs/http-reader.js';
import type { Box } from '../../../domain/base/geo.ts';
import { fail, ok, type Failure, type Result } from '../../../domain/base/result.ts';
import type { Crs } from '../../crs/crs.ts';
import type { Source } from '../../source.ts';
import { boxIn } from './boxIn.ts';
import { flatgeobufFeature, flatgeobufIndexed } from './flatgeobufCheck.ts';
import type { RawFeature } from './geometry.ts';

/** What of the header the reading needs. */
export interface BoxHeader {
  readonly crs: { readonly code?: number; readonly wkt?: string | null; readonly org?: string | null } | null;
}

export interface FeaturesInBox {
  readonly header: BoxHeader;
  /** In the file's order, coordinates as in the file. */
  readonly raw: readonly RawFeature[];
  /** Positions had measures (M), which are left out. */
  readonly measures: boolean;
}

class Trouble extends Error {
  readonly failure: Failure;
  constructor(failure: Failure) {
    super(failure.what);
    this.failure = failure;
  }
}

/**
 * Features whose box touches `within` (WGS 84), found through the file's index by reading that and them only.
 * null where the file has no index, so that it must be read whole.
 * @param crsOf the coordinate system by the header; null for WGS 84 degrees.
 */
export async function featuresInBox(
  source: Source,
  within: Box,
  crsOf: (header: BoxHeader) => Promise<Result<Crs | null>>,
): Promise<Result<FeaturesInBox | null>> {
  const indexed = await flatgeobufIndexed(source);
  if (!indexed.ok) return indexed;
  if (!indexed.value) return ok(null);
  const getRange = async (offset: number, length: number): Promise<ArrayBuffer> => {
    if (!(offset >= 0 && length >= 0)) throw new Error('an offset leads out of the file');
    const bytes = await source.read(offset, length);
    if (!bytes.ok) throw new Trouble(bytes.failure);
    return new Uint8Array(bytes.value).buffer;
  };
  try {
    const reader = await HttpReader.openSource({
      // A header is fetched with some bytes more than a small file has; what follows is asked for to the byte.
      getRange: async (offset, length, purpose) => {
        const bytes = await getRange(offset, length);
        if (bytes.byteLength < length && purpose !== 'header') throw new Error('the end is missing');
        return bytes;
      },
    });
    const crs = await crsOf(reader.header);
    if (!crs.ok) return crs;
    const [minX, minY, maxX, maxY] = crs.value ? boxIn(crs.value, within) : within;
    const found: Array<{ id: number; raw: RawFeature }> = [];
    for await (const { id, feature } of reader.selectBbox({ minX, minY, maxX, maxY })) {
      const sound = flatgeobufFeature(feature.bb?.bytes() ?? new Uint8Array(0), source.name);
      if (!sound.ok) return sound;
      found.push({ id, raw: fromFeature(id, feature, reader.header) });
    }
    // Batches arrive in the order of the host's answers.
    found.sort((a, b) => a.id - b.id);
    return ok({ header: reader.header, raw: found.map((f) => f.raw), measures: indexed.value.measures });
  } catch (error) {
    if (error instanceof Trouble) return { ok: false, failure: error.failure };
    const why = error instanceof Error ? error.message : String(error);
    return fail('format', source.name, `is damaged or cut short (${why})`, 'Get the file again.');
  }
}
