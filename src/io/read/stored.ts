import type { Cells } from './blocks.ts';
import { viewed } from './cellType.ts';
import { decoderOf } from './decoder.ts';
import type { Level } from './levels.ts';
import { halves, swap, undoDifferences, undoFloatDifferences } from './predictors.ts';

const LERC = 34887;

/** Cells of one stored tile or strip, all bands of it; null where the file has left it out (all nodata). */
export async function storedCells(level: Level, x: number, y: number, band: number): Promise<Cells | null> {
  const { image, type } = level;
  const directory = image.fileDirectory;
  const across = Math.ceil(level.width / image.getTileWidth());
  const down = Math.ceil(level.height / image.getTileHeight());
  const index = y * across + x + (image.planarConfiguration === 2 ? band * across * down : 0);
  const counts = image.isTiled ? 'TileByteCounts' : 'StripByteCounts';
  if (Number(await directory.loadValueIndexed(counts, index)) === 0) return null;
  level.decoder.value ??= decoderOf(image);
  const { data } = await image.getTileOrStrip(x, y, band, await level.decoder.value);
  if (!(data instanceof ArrayBuffer)) throw new Error('a block cannot be unpacked');
  const predictor = Number((await directory.loadValue('Predictor')) ?? 1);
  // Cells of odd widths come spread out, cells of LERC decoded: both in the machine's order, all others in the file's.
  const spread = type.kind === 'UInt' && ![8, 16, 32].includes(type.bits);
  const samples = image.planarConfiguration === 2 ? 1 : level.samples;
  const width = image.getTileWidth();
  if (predictor === 3) undoFloatDifferences(data, type.bits, width, samples);
  else if (!spread && !image.littleEndian && Number(directory.getValue('Compression')) !== LERC)
    swap(data, type.bits / 8);
  if (predictor === 2) undoDifferences(data, type.bits, width, samples);
  if (type.kind === 'Float' && type.bits === 16) return halves(new Uint16Array(data));
  return viewed(type, data);
}
