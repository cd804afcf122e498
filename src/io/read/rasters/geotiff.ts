/** GeoTIFF and cloud-optimized GeoTIFF through the geotiff library, read by slices of a Source. */
import { GeoTIFF, type GeoTIFFImage } from 'geotiff';
import { fail, ok, type Note, type Result } from '../../../domain/base/result.ts';
import type { Source } from '../../source.ts';
import type { AuxBand } from './auxXml.ts';
import { BlockRaster } from './blockRaster.ts';
import { freshKey, sharedBlocks, type BlockCache } from './blocks.ts';

import { cellType, typeName } from './cellType.ts';
import { checkDirectories } from './geotiffDirectory.ts';
import { levelsOf, pagesOf } from './geotiffLevels.ts';
import { adapted } from './geotiffSource.ts';
import { geotiffClasses } from './geotiffClasses.ts';
import { geotiffPlace } from './geotiffPlace.ts';
import { bandMetas } from './geotiffTags.ts';
import { placedRaster } from './placedRaster.ts';
import type { BandMeta, Raster } from './raster.ts';
import { trouble } from './trouble.ts';
import type { Format, Opened, Part, ReadOptions } from '../types.ts';
import { LERC } from './unpackers.ts';

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
    const opened = await openWithClasses(source, options, sharedBlocks);
    if (!opened.ok) return opened;
    const { raster, classes, pages, page } = opened.value;
    return ok({
      file: source.name,
      format: 'GeoTIFF',
      content: { kind: 'raster', raster },
      crs: raster.crs,
      extent: raster.extent,
      count: raster.bands.length,
      notes: raster.notes,
      ...(classes.length > 0 ? { classes } : {}),
      ...(pages.length > 1 ? { parts: pages, part: pages[page].name } : {}),
    });
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
  cache = sharedBlocks,
): Promise<Result<Raster>> {
  const opened = await openWithClasses(source, options, cache);
  return opened.ok ? ok(opened.value.raster) : opened;
}

interface OpenedGeotiff {
  readonly raster: Raster;
  readonly classes: NonNullable<Opened['classes']>;
  /** What the file holds, and the index of the one that is open. */
  readonly pages: readonly Part[];
  readonly page: number;
}

async function openWithClasses(
  source: Source,
  options: ReadOptions,
  cache: BlockCache,
): Promise<Result<OpenedGeotiff>> {
  const sound = await checkDirectories(source);
  if (!sound.ok) return sound;
  try {
    const tiff = await GeoTIFF.fromSource(adapted(source));
    const images: GeoTIFFImage[] = [];
    const count = await tiff.getImageCount();
    for (let i = 0; i < count; i++) images.push(await tiff.getImage(i));
    const all = pagesOf(images);
    const pages = all.map(([first], i): Part => ({
      name: `page ${i + 1}`,
      kind: 'raster',
      count: first.getSamplesPerPixel(),
    }));
    const page = options.part === undefined ? 0 : pages.findIndex((p) => p.name === options.part);
    if (page < 0)
      return fail(
        'content',
        source.name,
        `has no part "${options.part ?? ''}"`,
        `Choose one of: ${pages.map((p) => p.name).join(', ')}.`,
      );
    const [full] = all[page];
    const type = cellType(full);
    if (!type)
      return fail(
        'format',
        source.name,
        `holds cells of a type that is not read (${typeName(full)})`,
        'Convert it to whole numbers of up to 32 bits or to floating-point numbers.',
      );
    if (
      type.kind === 'UInt' &&
      type.bits === 32 &&
      Number(full.fileDirectory.getValue('Compression')) === LERC
    )
      return fail(
        'format',
        source.name,
        'holds unsigned 32-bit numbers packed with LERC, which cannot be unpacked',
        'Write it again with deflate, LZW or ZSTD.',
      );
    const place = await geotiffPlace(full, source, options);
    if (!place.ok) return place;
    const { transform, crs, aux, notes } = place.value;
    const bands = (await bandMetas(full)).map((meta, i) => withAux(meta, aux?.bands.get(i + 1)));
    const key = freshKey(source.name);
    const levels = levelsOf(all[page], key);
    if (levels === 'huge')
      return fail(
        'format',
        source.name,
        'is stored in pieces too large to read one by one',
        'Write it again in tiles, as a cloud-optimized GeoTIFF.',
      );
    if (levels === 'damaged' || (await cutShort(full, source.size)))
      return fail('format', source.name, 'is damaged or cut short', 'Get the file again.');
    const raster = placedRaster(
      new BlockRaster(source.name, key, levels, bands, crs, transform, cache),
      source.name,
      crs,
      [...notesOf(full, source.name), ...notes],
    );
    if (!raster.ok) return raster;
    const classes = await geotiffClasses(full, source, aux);
    return classes.ok ? ok({ raster: raster.value, classes: classes.value, pages, page }) : classes;
  } catch (error) {
    return trouble(error, source.name);
  }
}

/** What the file leaves open, the .aux.xml beside it may say. */
function withAux(meta: BandMeta, aux: AuxBand | undefined): BandMeta {
  if (!aux) return meta;
  const plain = meta.scale === 1 && meta.offset === 0;
  return {
    ...meta,
    nodata:
      meta.nodata ?? (aux.nodata !== null && meta.dtype === 'Float32' ? Math.fround(aux.nodata) : aux.nodata),
    scale: plain ? (aux.scale ?? 1) : meta.scale,
    offset: plain ? (aux.offset ?? 0) : meta.offset,
    description: meta.description || (aux.description ?? ''),
  };
}

/** The last block of the full-size image, the end of most files, must lie inside the file. */
async function cutShort(image: GeoTIFFImage, size: number | null): Promise<boolean> {
  if (size === null) return false;
  const height = image.getHeight();
  const across = Math.ceil(image.getWidth() / image.getTileWidth());
  const down = Math.ceil(height / Math.min(height, image.getTileHeight()));
  const stored = across * down * (image.planarConfiguration === 2 ? image.getSamplesPerPixel() : 1);
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

function notesOf(image: GeoTIFFImage, where: string): Note[] {
  const packed = LOSSY[Number(image.fileDirectory.getValue('Compression'))];
  return packed ? [{ where, what: `is packed with ${packed}, which changes values a little` }] : [];
}
