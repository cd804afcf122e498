import type { Cells } from './blocks.ts';
import { viewed } from './cellType.ts';
import { decoderOf } from './decoder.ts';
import type { Level } from './levels.ts';
import { halves, swap, undoDifferences, undoFloatDifferences } from './predictors.ts';
import { sizedFrame } from './zstdFrame.ts';

/** TIFF compression codes that need a word of their own. */
const LERC = 34887;
const ZSTD = 50000;

/** Cells of one stored tile or strip, all bands of it; null where the file has left it out (all nodata). */
export async function storedCells(level: Level, x: number, y: number, band: number): Promise<Cells | null> {
  const { image, type } = level;
  const directory = image.fileDirectory;
  const width = image.getTileWidth();
  const apart = image.planarConfiguration === 2;
  const across = Math.ceil(level.width / width);
  const down = Math.ceil(level.height / image.getTileHeight());
  const index = y * across + x + (apart ? band * across * down : 0);
  const counts = image.isTiled ? 'TileByteCounts' : 'StripByteCounts';
  if (Number(await directory.loadValueIndexed(counts, index)) === 0) return null;

  const method = Number(directory.getValue('Compression'));
  const samples = apart ? 1 : level.samples;
  const bytes = Math.ceil((width * samples * type.bits) / 8) * image.getBlockHeight(y);
  level.decoder.value ??= decoderOf(image);
  const library = await level.decoder.value;
  const decode = (packed: ArrayBufferLike): Promise<ArrayBufferLike> =>
    library.decode(method === ZSTD && packed instanceof ArrayBuffer ? sizedFrame(packed, bytes) : packed);
  const { data } = await image.getTileOrStrip(x, y, band, { decode });
  if (!(data instanceof ArrayBuffer)) throw new Error('a block cannot be unpacked');

  const predictor = Number((await directory.loadValue('Predictor')) ?? 1);
  // Cells of odd widths come spread out, cells of LERC decoded: both in the machine's order, all others in the file's.
  const spread = type.kind === 'UInt' && ![8, 16, 32].includes(type.bits);
  if (predictor === 3) undoFloatDifferences(data, type.bits, width, samples);
  else if (!spread && !image.littleEndian && method !== LERC) swap(data, type.bits / 8);
  if (predictor === 2) undoDifferences(data, type.bits, width, samples);
  if (type.kind === 'Float' && type.bits === 16) return halves(new Uint16Array(data));
  return viewed(type, data);
}
