/** GeoTIFF and cloud-optimized GeoTIFF through the geotiff library, read by slices of a Source. */
import { GeoTIFF, type GeoTIFFImage } from 'geotiff';
import { fail, ok, type Note, type Result } from '../../domain/base/result.ts';
import { crsFrom } from '../crs.ts';
import { crsFromGeoKeys } from '../crsGeoKeys.ts';
import type { Source } from '../source.ts';
import { BlockCache } from './blocks.ts';
import { cellType, typeName } from './cellType.ts';
import { checkDirectories } from './geotiffDirectory.ts';
import { GeotiffRaster } from './geotiffRaster.ts';
import { adapted } from './geotiffSource.ts';
import { bandMetas, pixelTransform } from './geotiffTags.ts';
import { trouble } from './geotiffTrouble.ts';
import { levelOf, type Level } from './levels.ts';
import type { Raster } from './raster.ts';
import type { Format, Opened, ReadOptions } from './types.ts';

/** One limit for all rasters of this thread. */
const shared = new BlockCache();
let opened = 0;

export const geotiff: Format = {
  id: 'geotiff',
  title: 'GeoTIFF',
  extensions: ['tif', 'tiff', 'cog'],
  recognises(head) {
    const [a, b, c, d] = head;
    const little = a === 0x49 && b === 0x49 && (c === 42 || c === 43) && d === 0;
    const big = a === 0x4d && b === 0x4d && c === 0 && (d === 42 || d === 43);
    return little || big;
  },
  async read(source, options) {
    const raster = await openGeotiff(source, options);
    if (!raster.ok) return raster;
    const r = raster.value;
    const result: Opened = {
      file: source.name,
      format: 'GeoTIFF',
      content: { kind: 'raster', raster: r },
      crs: r.crs,
      extent: r.extent,
      count: r.bands.length,
      notes: r.notes,
    };
    return ok(result);
  },
};

/**
 * Opens a raster: reads the directories only. Fails where the file is damaged, does not say where it lies, or holds cells
 * of a type that is not read (complex, 64-bit whole numbers).
 * @param cache blocks are kept there; by default one for all rasters of the thread.
 */
export async function openGeotiff(
  source: Source,
  options: ReadOptions = {},
  cache = shared,
): Promise<Result<Raster>> {
  const sound = await checkDirectories(source);
  if (!sound.ok) return sound;
  try {
    const tiff = await GeoTIFF.fromSource(adapted(source));
    const images: GeoTIFFImage[] = [];
    const count = await tiff.getImageCount();
    for (let i = 0; i < count; i++) images.push(await tiff.getImage(i));
    const [full] = images;
    const type = cellType(full);
    if (!type)
      return fail(
        'format',
        source.name,
        `holds cells of a type that is not read (${typeName(full)})`,
        'Convert it to whole numbers of up to 32 bits or to floating-point numbers.',
      );
    const transform = await pixelTransform(full);
    const keys = full.getGeoKeys();
    if (!transform) {
      const points = full.fileDirectory.hasTag('ModelTiepoint');
      return fail(
        'crs',
        source.name,
        points
          ? 'is tied to the ground by single points, not by a regular grid'
          : 'does not say where its cells lie (no position in the file)',
        points ? 'Warp it to a grid first.' : 'Give a GeoTIFF with its georeference inside.',
      );
    }
    const crs = await (options.crs ? crsFrom(options.crs, source.name) : crsFromGeoKeys(keys, source.name));
    if (!crs.ok) return crs;
    const bands = await bandMetas(full);
    const key = `${source.name}#${opened++}`;
    const levels = levelsOf(images, key);
    if (levels === 'huge')
      return fail(
        'format',
        source.name,
        'is stored in pieces too large to read one by one',
        'Write it again in tiles, as a cloud-optimized GeoTIFF.',
      );
    if (levels === 'damaged' || (await cutShort(levels[0], source.size)))
      return fail('format', source.name, 'is damaged or cut short', 'Get the file again.');
    const raster = new GeotiffRaster(source.name, key, levels, bands, crs.value, transform, cache);
    const misplaced = raster.offGlobe();
    if (misplaced)
      return fail(
        'crs',
        source.name,
        misplaced,
        'Give its real coordinate system (EPSG code, WKT or PROJ string).',
      );
    raster.notes = notesOf(full, source.name, raster, crs.value.note);
    return ok(raster);
  } catch (error) {
    return trouble(error, source.name);
  }
}

/** Bits of the subfile type (TIFF 6.0, NewSubfileType): a smaller version; a mask. */
const SMALLER = 1;
const MASK = 4;

/** Full size first, then the overviews from fine to coarse, each with its mask. */
function levelsOf(images: readonly GeoTIFFImage[], key: string): Level[] | 'damaged' | 'huge' {
  const [full] = images;
  const kind = (image: GeoTIFFImage): number => Number(image.fileDirectory.getValue('NewSubfileType') ?? 0);
  const masks = images.filter((image) => (kind(image) & MASK) !== 0);
  const levels: Level[] = [];
  for (const [i, image] of images.entries()) {
    const smaller = (kind(image) & SMALLER) !== 0 && (kind(image) & MASK) === 0;
    if (i > 0 && !(smaller && image.getSamplesPerPixel() === full.getSamplesPerPixel())) continue;
    const type = cellType(image);
    const own = masks.find((m) => m.getWidth() === image.getWidth() && m.getHeight() === image.getHeight());
    const maskType = own ? cellType(own) : null;
    const cut = own && maskType ? levelOf(own, maskType, `${key}/mask${i}`) : null;
    const mask = typeof cut === 'string' ? null : cut;
    const level = type ? levelOf(image, type, `${key}/${i}`, mask) : 'damaged';
    if (typeof level !== 'string') levels.push(level);
    else if (i === 0) return level;
  }
  return levels.sort((a, b) => b.width - a.width);
}

/** The last block of the full-size image, the end of most files, must lie inside the file. */
async function cutShort(level: Level, size: number | null): Promise<boolean> {
  if (size === null) return false;
  const { image } = level;
  const across = Math.ceil(level.width / image.getTileWidth());
  const down = Math.ceil(level.height / Math.min(level.height, image.getTileHeight()));
  const stored = across * down * (image.planarConfiguration === 2 ? level.samples : 1);
  for (const index of [0, stored - 1]) {
    const names = image.isTiled
      ? (['TileOffsets', 'TileByteCounts'] as const)
      : (['StripOffsets', 'StripByteCounts'] as const);
    const [offset, count] = await Promise.all(
      names.map((name) => image.fileDirectory.loadValueIndexed(name, index)),
    );
    // Fewer offsets than blocks: the header contradicts itself.
    if (offset === undefined || count === undefined || Number(offset) + Number(count) > size) return true;
  }
  return false;
}

const LOSSY: Readonly<Record<number, string>> = { 7: 'JPEG', 50001: 'WebP' };

function notesOf(image: GeoTIFFImage, where: string, raster: GeotiffRaster, crsNote: string | null): Note[] {
  const notes: Note[] = [];
  const packed = LOSSY[Number(image.fileDirectory.getValue('Compression'))];
  if (packed) notes.push({ where, what: `is packed with ${packed}, which changes values a little` });
  const doubt = raster.doubt();
  if (doubt) notes.push({ where, what: doubt });
  if (crsNote) notes.push({ where, what: crsNote });
  return notes;
}
