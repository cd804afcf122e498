/** One pass over the text of an ASCII grid: how many cells there are, and at which byte each block of them begins. */
import { fail, ok, type Result } from '../../../domain/base/result.ts';
import type { Work } from '../../../domain/base/work.ts';
import type { Source } from '../../source.ts';
import type { AsciiGridHeader } from './asciiGridHeader.ts';
import { CELLS_A_BLOCK, cutInto, MOST_BLOCKS, type Cut } from './levels.ts';

export interface AsciiGridIndex {
  readonly cut: Cut;
  /** Byte at which each block begins, and the end of the last. */
  readonly starts: Float64Array;
  /** All cells are whole numbers that fit into 32 bits. */
  readonly whole: boolean;
  /** Numbers have decimal commas. */
  readonly commas: boolean;
}

export const SLICE = 1 << 21;
/** Cells of one row at most: a row is read at once. */
const MOST_COLS = 1 << 24;
/** Digits and sign of a whole number that surely fits into 32 bits. */
const WHOLE = 9;

const SPACE = 1;
const DOT = 2;
const COMMA = 4;
/** Anything of a number or of nan, inf, 1e5, 1.#QNAN that is not a digit or sign. */
const LETTER = 8;
const OTHER = 16;

/** What each byte may be part of. */
const KIND = Uint8Array.from({ length: 256 }, (_, b) => {
  const c = String.fromCharCode(b);
  if (b === 0x20 || (b >= 9 && b <= 13)) return SPACE;
  if (/[-+\d]/.test(c)) return 0;
  if (c === '.') return DOT;
  if (c === ',') return COMMA;
  return /[naifqsdeNAIFQSDE#]/.test(c) ? LETTER : OTHER;
});

export async function asciiGridIndex(
  source: Source,
  header: AsciiGridHeader,
  work?: Work,
): Promise<Result<AsciiGridIndex>> {
  const { cols, rows, start } = header;
  const where = source.name;
  const cells = cols * rows;
  const again = 'Get the file again.';
  const room = source.size === null ? null : source.size - start;
  // A digit and a space each, the last without.
  if (room !== null && cells * 2 - 1 > room)
    return fail(
      'format',
      where,
      `is damaged or cut short: its header says ${cols} x ${rows} cells, and ${room} bytes cannot hold them`,
      again,
    );
  const blockRows = Math.min(rows, Math.max(1, Math.round(CELLS_A_BLOCK / cols)));
  const cut = cutInto(cols, rows, cols, blockRows);
  if (cols > MOST_COLS || cut.down > MOST_BLOCKS)
    return fail('format', where, `is too large (${cols} x ${rows} cells)`, 'Convert it to GeoTIFF.');
  const per = cols * blockRows;
  const starts = new Float64Array(cut.down + 1);
  let count = 0;
  let next = 0;
  let flags = 0;
  let longest = 0;
  let begun = -1;
  let at = start;
  let coming = source.read(at, SLICE);
  for (;;) {
    const bytes = await coming;
    if (!bytes.ok) return bytes;
    const { value } = bytes;
    // The next slice is fetched while this one is gone through.
    if (value.length > 0) coming = source.read(at + value.length, SLICE);
    for (let i = 0; i < value.length; i++) {
      const kind = KIND[value[i]];
      if (kind === SPACE) {
        if (begun < 0) continue;
        if (at + i - begun > longest) longest = at + i - begun;
        begun = -1;
        continue;
      }
      if (begun < 0) {
        begun = at + i;
        if (count === next && count < cells) {
          starts[count / per] = begun;
          next += per;
        }
        count++;
      }
      if (kind === 0) continue;
      if (kind === OTHER) return fail('format', where, `${cellName(count - 1, cols)} is not a number`, again);
      flags |= kind;
    }
    if (value.length === 0) break;
    at += value.length;
    work?.progress?.(at, source.size ?? at, `bytes of ${where} read`);
    await work?.pause?.();
  }
  if (begun >= 0 && at - begun > longest) longest = at - begun;
  starts[cut.down] = at;
  if (count !== cells)
    return fail(
      'format',
      where,
      count < cells
        ? `is damaged or cut short: it holds ${count} of the ${cells} cells that its header says (${cols} x ${rows})`
        : `holds more cells than the ${cells} that its header says (${cols} x ${rows})`,
      count < cells ? again : 'Check ncols and nrows in its header.',
    );
  const commas = (flags & COMMA) !== 0 || header.commas;
  if ((flags & COMMA) !== 0 && (flags & DOT) !== 0)
    return fail(
      'format',
      where,
      'has decimal commas and decimal points',
      'Write it again with decimal points.',
    );
  return ok({ cut, starts, whole: (flags & ~OTHER) === 0 && longest <= WHOLE, commas });
}

/** "row 3, column 17" counted from one, as a person would find it. */
export const cellName = (index: number, cols: number): string =>
  `row ${Math.floor(index / cols) + 1}, column ${(index % cols) + 1}`;
