/** Map tiles in one file (PMTiles, version 3), read by slices: a basemap from disk or from an address. */
import type { Box } from '../../domain/base/geo.ts';
import { fail, ok, type Result } from '../../domain/base/result.ts';
import type { Source } from '../source.ts';

export interface TileArchive {
  readonly kind: 'raster' | 'vector';
  readonly minZoom: number;
  readonly maxZoom: number;
  /** WGS 84 degrees. */
  readonly extent: Box;
  /** Whom the makers ask to be named, as plain text; '' where they ask nothing. */
  readonly attribution: string;
  /** Names of the layers inside vector tiles. */
  readonly vectorLayers: readonly string[];
  /** Bytes of one tile, unpacked; null where the archive has none. */
  tile(z: number, x: number, y: number): Promise<Result<ArrayBuffer | null>>;
}

const MAGIC = 'PMTiles';
/** Directories and metadata beyond this are no basemap but a mistake or an attack. */
const MOST_DIRECTORY = 64 * 1024 * 1024;

/** Fails where the file is another thing, of another version, damaged, or holds tiles of a kind that no map draws. */
export async function openTileArchive(source: Source): Promise<Result<TileArchive>> {
  const head = await source.read(0, 127);
  if (!head.ok) return head;
  const start = new TextDecoder().decode(head.value.subarray(0, MAGIC.length));
  if (start !== MAGIC)
    return fail('format', source.name, 'is not a PMTiles file', 'Choose a PMTiles file, version 3.');
  if (head.value[7] !== 3)
    return fail(
      'format',
      source.name,
      `is PMTiles of version ${head.value[7]}; only version 3 is read`,
      'Convert it to version 3.',
    );
  const { PMTiles, TileType } = await import('pmtiles');
  const archive = new PMTiles({
    getKey: () => source.url ?? source.name,
    async getBytes(offset, length) {
      if (length > MOST_DIRECTORY) throw new Error('it states parts of an impossible size');
      const read = await source.read(offset, length);
      if (!read.ok) throw new Trouble(read);
      return { data: read.value.slice().buffer };
    },
  });
  try {
    const header = await archive.getHeader();
    const kind = header.tileType === TileType.Mvt ? 'vector' : 'raster';
    const drawn = [TileType.Mvt, TileType.Png, TileType.Jpeg, TileType.Webp, TileType.Avif];
    if (!drawn.includes(header.tileType))
      return fail(
        'format',
        source.name,
        'holds tiles of a kind that is not drawn',
        'Choose one with pictures (PNG, JPEG, WebP) or Mapbox vector tiles.',
      );
    // Reads the directory of tiles as well, so that a damaged one is told now and not at the first look.
    await archive.getZxy(header.minZoom, 0, 0);
    const metadata = (await archive.getMetadata()) as {
      attribution?: unknown;
      vector_layers?: unknown;
    } | null;
    const layers = Array.isArray(metadata?.vector_layers) ? (metadata.vector_layers as unknown[]) : [];
    return ok({
      kind,
      minZoom: header.minZoom,
      maxZoom: header.maxZoom,
      extent: [header.minLon, header.minLat, header.maxLon, header.maxLat],
      attribution: plainText(typeof metadata?.attribution === 'string' ? metadata.attribution : ''),
      vectorLayers: layers.flatMap((l) => {
        const id = (l as { id?: unknown } | null)?.id;
        return typeof id === 'string' ? [id] : [];
      }),
      async tile(z, x, y) {
        try {
          const found = await archive.getZxy(z, x, y);
          return ok(found?.data ?? null);
        } catch (error) {
          return troubled(error, source.name);
        }
      },
    });
  } catch (error) {
    return troubled(error, source.name);
  }
}

/** A failure of the source on its way through the library, which knows exceptions only. */
class Trouble extends Error {
  readonly result: Result<never>;
  constructor(result: Result<never>) {
    super('source');
    this.result = result;
  }
}

function troubled(error: unknown, name: string): Result<never> {
  if (error instanceof Trouble) return error.result;
  const why = error instanceof Error ? error.message : String(error);
  return fail('format', name, `is damaged or cut short (${why.slice(0, 100)})`, 'Get the file again.');
}

/** Attributions are often HTML: the words without the markup. */
const plainText = (html: string): string =>
  html
    .replace(/<[^>]*>/g, '')
    .replace(/&copy;/gi, '©')
    .replace(/&amp;/gi, '&')
    .replace(/\s+/g, ' ')
    .trim()
    .slice(0, 300);
