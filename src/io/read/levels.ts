/** One image of a GeoTIFF (full size, an overview, a mask) cut into blocks. */
import type { GeoTIFFImage } from 'geotiff';
import type { CellType } from './cellType.ts';
import type { Decoder } from './decoder.ts';

export interface Level {
  readonly image: GeoTIFFImage;
  readonly width: number;
  readonly height: number;
  readonly blockWidth: number;
  readonly blockHeight: number;
  readonly across: number;
  readonly down: number;
  readonly key: string;
  readonly samples: number;
  readonly type: CellType;
  /** Image of the same size whose cells are 0 where this one's are missing. */
  readonly mask: Level | null;
  /** Made at the first block. */
  readonly decoder: { value?: Promise<Decoder> };
}

/** Strips are joined to blocks of about this many cells: thousands of one-row strips would each cost a read. */
const CELLS_A_BLOCK = 65_536;
/** More blocks than any real file has; a damaged header is caught here before it asks for memory. */
const MOST_BLOCKS = 1 << 26;
/** Cells of one block that are decoded at once. */
const MOST_CELLS = 1 << 27;

/** How an image is cut; 'damaged' where its header cannot be true, 'huge' where its blocks are too large to decode. */
export function levelOf(
  image: GeoTIFFImage,
  type: CellType,
  key: string,
  mask: Level | null = null,
): Level | 'damaged' | 'huge' {
  const width = image.getWidth();
  const height = image.getHeight();
  const storedHeight = Math.min(height, image.getTileHeight());
  const blockWidth = Math.min(width, image.isTiled ? image.getTileWidth() : width);
  if (!(width > 0 && height > 0 && blockWidth > 0 && storedHeight > 0)) return 'damaged';
  const joined = image.isTiled ? 1 : Math.max(1, Math.round(CELLS_A_BLOCK / (blockWidth * storedHeight)));
  const blockHeight = Math.min(height, storedHeight * joined);
  const across = Math.ceil(width / blockWidth);
  const down = Math.ceil(height / blockHeight);
  if (across * down > MOST_BLOCKS) return 'damaged';
  if (blockWidth * blockHeight > MOST_CELLS) return 'huge';
  const samples = image.getSamplesPerPixel();
  return {
    image,
    width,
    height,
    blockWidth,
    blockHeight,
    across,
    down,
    key,
    samples,
    type,
    mask,
    decoder: {},
  };
}
