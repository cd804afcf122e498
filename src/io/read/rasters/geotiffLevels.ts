/** The images of a GeoTIFF: pages, each with smaller versions of it and masks. */
import type { GeoTIFFImage } from 'geotiff';
import { cellType } from './cellType.ts';
import { cutOf, levelOf } from './geotiffLevel.ts';
import type { Level } from './levels.ts';

/** Bits of the subfile type (TIFF 6.0, NewSubfileType): a smaller version; a mask. */
const SMALLER = 1;
const MASK = 4;

const kindOf = (image: GeoTIFFImage): number => Number(image.fileDirectory.getValue('NewSubfileType') ?? 0);

/** Images by page: one that is neither a smaller version nor a mask begins the next. */
export function pagesOf(images: readonly GeoTIFFImage[]): GeoTIFFImage[][] {
  const pages: GeoTIFFImage[][] = [];
  for (const image of images) {
    const page = pages.at(-1);
    if (page && (kindOf(image) & (SMALLER | MASK)) !== 0) page.push(image);
    else pages.push([image]);
  }
  return pages;
}

/** Full size first, then the overviews from fine to coarse, each with its mask. */
export function levelsOf(images: readonly GeoTIFFImage[], key: string): Level[] | 'damaged' | 'huge' {
  const [full] = images;
  const masks = images.filter((image) => (kindOf(image) & MASK) !== 0);
  const levels: Level[] = [];
  for (const [i, image] of images.entries()) {
    const smaller = (kindOf(image) & SMALLER) !== 0 && (kindOf(image) & MASK) === 0;
    if (i > 0 && !(smaller && image.getSamplesPerPixel() === full.getSamplesPerPixel())) continue;
    const type = cellType(image);
    const cut = type ? cutOf(image, type) : 'damaged';
    if (!type || typeof cut === 'string') {
      if (i === 0) return cut === 'huge' ? 'huge' : 'damaged';
      continue;
    }
    const own = masks.find((m) => m.getWidth() === image.getWidth() && m.getHeight() === image.getHeight());
    const maskType = own ? cellType(own) : null;
    const mask = own && maskType ? levelOf(own, maskType, cut, `${key}/mask${i}`, null) : null;
    levels.push(levelOf(image, type, cut, `${key}/${i}`, mask));
  }
  return levels.sort((a, b) => b.width - a.width);
}
