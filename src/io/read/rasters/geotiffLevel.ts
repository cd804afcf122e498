/** One image of a GeoTIFF as a level: its blocks are the file's tiles, or strips joined to blocks. */
import type { GeoTIFFImage } from 'geotiff';
import type { Cells } from './blocks.ts';
import { emptyCells, type CellType } from './cellType.ts';
import { CELLS_A_BLOCK, cutInto, MOST_BLOCKS, partOf, type Cut, type Level } from './levels.ts';
import { isPlain, plainRows } from './plainStrips.ts';
import { storedCells, type StoredImage } from './stored.ts';

/** Bytes of one tile or strip that are unpacked at once, all bands together. */
const MOST_BYTES = 1 << 27;

/** How an image is cut; 'damaged' where its header cannot be true, 'huge' where its pieces are too large or too many. */
export function cutOf(image: GeoTIFFImage, type: CellType): Cut | 'damaged' | 'huge' {
  const width = image.getWidth();
  const height = image.getHeight();
  const storedHeight = Math.min(height, image.getTileHeight());
  const blockWidth = Math.min(width, image.isTiled ? image.getTileWidth() : width);
  if (!(width > 0 && height > 0 && blockWidth > 0 && storedHeight > 0)) return 'damaged';
  const samples = image.planarConfiguration === 2 ? 1 : image.getSamplesPerPixel();
  const plain = isPlain(image, type);
  if (blockWidth * (plain ? 1 : storedHeight) * type.bytes * samples > MOST_BYTES) return 'huge';
  // Thousands of one-row strips would each cost a read.
  const joined = image.isTiled ? 1 : Math.max(1, Math.round(CELLS_A_BLOCK / (blockWidth * storedHeight)));
  const rows = plain ? Math.max(1, Math.round(CELLS_A_BLOCK / blockWidth)) : storedHeight * joined;
  const cut = cutInto(width, height, blockWidth, Math.min(height, rows));
  return cut.across * cut.down > MOST_BLOCKS ? 'huge' : cut;
}

/** @param mask level of the image's mask, cut into the same blocks. */
export function levelOf(
  image: GeoTIFFImage,
  type: CellType,
  cut: Cut,
  key: string,
  mask: Level | null,
): Level {
  const samples = image.getSamplesPerPixel();
  const apart = image.planarConfiguration === 2;
  const stored: StoredImage = { image, type, samples, width: cut.width, height: cut.height, decoder: {} };
  return {
    ...cut,
    key,
    together: apart ? 1 : samples,
    cellBytes: type.bytes,
    mask,
    // A mask may be in strips where its image is in tiles.
    decode:
      isPlain(image, type) && cut.across === 1
        ? (block, bands) => plainRows(stored, cut, block, bands)
        : (block, bands) => decodeBlock(stored, cut, block, bands),
  };
}

/** Cells of a block from the tiles or strips that it lies in. */
async function decodeBlock(
  stored: StoredImage,
  cut: Cut,
  block: number,
  bands: readonly number[],
): Promise<Cells[]> {
  const { image, type } = stored;
  const { left, top, right, bottom } = partOf(cut, block);
  const width = right - left;
  const storedWidth = image.getTileWidth();
  const storedHeight = Math.min(cut.height, image.getTileHeight());
  const out: Cells[] = [];
  const stride = image.planarConfiguration === 2 ? 1 : stored.samples;
  for (let y = Math.floor(top / storedHeight); y * storedHeight < bottom; y++) {
    for (let x = Math.floor(left / storedWidth); x * storedWidth < right; x++) {
      const cells = await storedCells(stored, x, y, bands[0]);
      // The part of the stored piece that is in the block, in cells of the piece.
      const c0 = Math.max(left - x * storedWidth, 0);
      const c1 = Math.min(right - x * storedWidth, storedWidth);
      const r0 = Math.max(top - y * storedHeight, 0);
      const r1 = Math.min(bottom - y * storedHeight, storedHeight);
      if (cells && cells.length < ((r1 - 1) * storedWidth + c1) * stride)
        throw new Error(`block ${x}, ${y} holds too few cells`);
      // A tile that is a block, of one band: as it is.
      const all = width * (bottom - top);
      if (cells && stride === 1 && width === storedWidth && r0 === 0 && r1 === bottom - top)
        return [cells.length === all ? cells : cells.slice(0, all)];
      bands.forEach((band, i) => {
        // Made only when the first piece was unpacked: a damaged file asks for no memory.
        const to = (out[i] ??= emptyCells(type, all));
        const sample = stride === 1 ? 0 : band;
        for (let r = r0; r < r1; r++) {
          const at = (y * storedHeight + r - top) * width + (x * storedWidth + c0 - left);
          const from = r * storedWidth + c0;
          const n = c1 - c0;
          if (!cells) to.fill(Number(image.getGDALNoData() ?? 0), at, at + n);
          else if (stride === 1) to.set(cells.subarray(from, from + n), at);
          else for (let c = 0; c < n; c++) to[at + c] = cells[(from + c) * stride + sample];
        }
      });
    }
  }
  return out;
}
