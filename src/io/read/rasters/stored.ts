import type { GeoTIFFImage } from 'geotiff';
import type { Cells } from './blocks.ts';
import { viewed, type CellType } from './cellType.ts';
import { decoderOf, type Unpacker } from './decoder.ts';
import { coloursFromYCbCr, halves, swap, undoDifferences, undoFloatDifferences } from './predictors.ts';
import { unpack } from './unpack.ts';
import { LERC, unpackersReady, ZSTD } from './unpackers.ts';

const JPEG = 7;
/** PhotometricInterpretation. */
const YCBCR = 6;
/** Bytes that one packed byte can stand for: none; LZW with strings of 4096 for 9 bits; deflate (RFC 1951); PackBits. */
const MOST_FROM_A_BYTE: Readonly<Record<number, number>> = { 1: 1, 5: 3641, 8: 1032, 32946: 1032, 32773: 64 };

export interface StoredImage {
  readonly image: GeoTIFFImage;
  readonly type: CellType;
  readonly samples: number;
  readonly width: number;
  readonly height: number;
  /** Made at the first piece. */
  readonly decoder: { value?: Promise<Unpacker> };
}

/** Cells of one stored tile or strip, all bands of it; null where the file has left it out (all nodata). */
export async function storedCells(
  stored: StoredImage,
  x: number,
  y: number,
  band: number,
): Promise<Cells | null> {
  const { image, type } = stored;
  const directory = image.fileDirectory;
  const width = image.getTileWidth();
  const apart = image.planarConfiguration === 2;
  const across = Math.ceil(stored.width / width);
  const down = Math.ceil(stored.height / image.getTileHeight());
  const index = y * across + x + (apart ? band * across * down : 0);
  const counts = image.isTiled ? 'TileByteCounts' : 'StripByteCounts';
  const packedBytes = Number(await directory.loadValueIndexed(counts, index));
  if (packedBytes === 0) return null;

  const method = Number(directory.getValue('Compression'));
  const samples = apart ? 1 : stored.samples;
  const height = image.getBlockHeight(y);
  const rowBytes = Math.ceil((width * samples * type.bits) / 8);
  const bytes = rowBytes * height;
  if (bytes > (MOST_FROM_A_BYTE[method] ?? Infinity) * packedBytes)
    throw new Error(`a block says that it holds ${bytes} bytes in ${packedBytes}`);
  if (method === LERC || method === ZSTD) await unpackersReady();
  stored.decoder.value ??= decoderOf(image);
  const library = await stored.decoder.value;
  // A strip may say that it is higher than the image.
  const tallest = Math.max(height, Math.min(image.getTileHeight(), stored.height));
  const piece = { method, bytes, most: rowBytes * tallest, width, height };
  const decode = (packed: ArrayBufferLike): Promise<ArrayBufferLike> =>
    unpack(packed as ArrayBuffer, piece, library);
  const { data } = await image.getTileOrStrip(x, y, band, { decode });
  if (!(data instanceof ArrayBuffer)) throw new Error('a block cannot be unpacked');

  const predictor = Number((await directory.loadValue('Predictor')) ?? 1);
  // Cells of odd widths come spread out, cells of LERC decoded: both in the machine's order, all others in the file's.
  const spread = type.kind === 'UInt' && ![8, 16, 32].includes(type.bits);
  if (predictor === 3) undoFloatDifferences(data, type.bits, width, samples);
  else if (!spread && !image.littleEndian && method !== LERC) swap(data, type.bits / 8);
  if (predictor === 2) undoDifferences(data, type.bits, width, samples);
  if (type.kind === 'Float' && type.bits === 16) return halves(new Uint16Array(data));
  if (method === JPEG && samples === 3 && Number(directory.getValue('PhotometricInterpretation')) === YCBCR)
    coloursFromYCbCr(new Uint8Array(data));
  return viewed(type, data);
}
