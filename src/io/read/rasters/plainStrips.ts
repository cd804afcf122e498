/** Strips that are not packed: rows are read from the midst of them, so that a file of one strip is not read whole. */
import type { GeoTIFFImage } from 'geotiff';
import type { Cells } from './blocks.ts';
import { emptyCells, viewed, type CellType } from './cellType.ts';
import { partOf, type Cut } from './levels.ts';
import { swap } from './predictors.ts';
import type { StoredImage } from './stored.ts';

export const isPlain = (image: GeoTIFFImage, type: CellType): boolean =>
  !image.isTiled && Number(image.fileDirectory.getValue('Compression')) === 1 && type.bits === type.bytes * 8;

/** Cells of a block of whole rows, in each of the bands. */
export async function plainRows(
  { image, type, samples, width, height }: StoredImage,
  cut: Cut,
  block: number,
  bands: readonly number[],
): Promise<Cells[]> {
  const { top, bottom } = partOf(cut, block);
  const apart = image.planarConfiguration === 2;
  const stride = apart ? 1 : samples;
  const rowBytes = width * stride * type.bytes;
  const high = Math.min(height, image.getTileHeight());
  const down = Math.ceil(height / high);
  const { fileDirectory: directory } = image;
  const out = bands.map((): Cells | null => null);
  for (let y = Math.floor(top / high); y * high < bottom; y++) {
    const index = y + (apart ? bands[0] * down : 0);
    const [offset, bytes] = await Promise.all(
      (['StripOffsets', 'StripByteCounts'] as const).map(async (tag) =>
        Number(await directory.loadValueIndexed(tag, index)),
      ),
    );
    const first = Math.max(top, y * high);
    const end = Math.min(bottom, (y + 1) * high);
    const from = (first - y * high) * rowBytes;
    const length = (end - first) * rowBytes;
    // A strip that was left out holds nodata.
    let cells: Cells | null = null;
    if (bytes > 0) {
      const [data] = await image.source.fetch([{ offset: offset + from, length }]);
      if (from + length > bytes || data.byteLength < length || !(data instanceof ArrayBuffer))
        throw new Error(`strip ${y} holds too few cells`);
      if (!image.littleEndian) swap(data, type.bytes);
      cells = viewed(type, data);
    }
    bands.forEach((band, i) => {
      const to = (out[i] ??= emptyCells(type, width * (bottom - top)));
      const at = (first - top) * width;
      const n = (end - first) * width;
      if (!cells) to.fill(Number(image.getGDALNoData() ?? 0), at, at + n);
      else if (stride === 1) to.set(cells.subarray(0, n), at);
      else for (let k = 0; k < n; k++) to[at + k] = cells[k * stride + band];
    });
  }
  return out.map((cells) => cells ?? emptyCells(type, 0));
}
