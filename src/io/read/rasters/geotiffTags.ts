/** What the tags of a GeoTIFF say of its cells: where they lie, and how stored numbers become values. */
import type { GeoTIFFImage } from 'geotiff';
import type { Affine, BandMeta } from './raster.ts';
import { resolve } from '../markup/xml.ts';

/** Pixel to CRS, for the upper-left corner of the first cell; null where the file does not say. */
export async function pixelTransform(image: GeoTIFFImage): Promise<Affine | null> {
  const directory = image.fileDirectory;
  const list = async (
    tag: 'ModelTransformation' | 'ModelTiepoint' | 'ModelPixelScale',
  ): Promise<number[] | null> =>
    directory.hasTag(tag) ? Array.from((await directory.loadValue(tag)) as ArrayLike<number>) : null;
  let affine: Affine;
  const matrix = await list('ModelTransformation');
  if (matrix && matrix.length >= 8) {
    affine = [matrix[3], matrix[0], matrix[1], matrix[7], matrix[4], matrix[5]];
  } else {
    const tie = await list('ModelTiepoint');
    const scale = await list('ModelPixelScale');
    if (!tie || !scale || tie.length < 6) return null;
    affine = [tie[3] - tie[0] * scale[0], scale[0], 0, tie[4] + tie[1] * scale[1], 0, -scale[1]];
  }
  if (!affine.every(Number.isFinite) || affine[1] * affine[5] - affine[2] * affine[4] === 0) return null;
  if (image.pixelIsArea()) return affine;
  // "Pixel is point": the position given is that of the cell's centre.
  const [a, b, c, d, e, f] = affine;
  return [a - b / 2 - c / 2, b, c, d - e / 2 - f / 2, e, f];
}

const KINDS: Readonly<Record<number, string>> = { 1: 'UInt', 2: 'Int', 3: 'Float' };

export async function bandMetas(image: GeoTIFFImage): Promise<BandMeta[]> {
  const text = image.fileDirectory.hasTag('GDAL_METADATA')
    ? String(await image.fileDirectory.loadValue('GDAL_METADATA'))
    : '';
  const nodataText = image.fileDirectory.hasTag('GDAL_NODATA')
    ? String(await image.fileDirectory.loadValue('GDAL_NODATA'))
        .replace(/\0.*$/, '')
        .trim()
    : '';
  return Array.from({ length: image.getSamplesPerPixel() }, (_, band) => {
    const kind = KINDS[Number(image.getSampleFormat(band))] ?? 'UInt';
    const bits = Number(image.getBitsPerSample(band));
    const item = (role: string): string | null => metadata(text, band, role);
    return {
      nodata: nodataText === '' ? null : stored(Number(nodataText), kind, bits),
      scale: finite(item('scale'), 1),
      offset: finite(item('offset'), 0),
      dtype: `${kind}${bits}`,
      description: item('description') ?? '',
    };
  });
}

/** Nodata as a stored cell of that type would hold it; a 32-bit cell cannot hold -3.4e38 to all digits. NaN needs no test. */
function stored(nodata: number, kind: string, bits: number): number | null {
  if (Number.isNaN(nodata)) return null;
  return kind === 'Float' && bits === 32 ? Math.fround(nodata) : nodata;
}

function finite(text: string | null, otherwise: number): number {
  const value = text === null || text.trim() === '' ? NaN : Number(text);
  return Number.isFinite(value) ? value : otherwise;
}

/** One item of GDAL's metadata tag: <Item name="SCALE" sample="0" role="scale">0.1</Item>. */
function metadata(text: string, band: number, role: string): string | null {
  for (const [, attributes, value] of text.matchAll(/<Item\s+([^>]*)>([^<]*)<\/Item>/g)) {
    if (new RegExp(`sample="${band}"`).test(attributes) && new RegExp(`role="${role}"`).test(attributes)) {
      // GDAL writes the references of XML twice over, and reads them so.
      return resolve(resolve(value));
    }
  }
  return null;
}
