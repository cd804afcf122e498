/** The cells of one block of an ASCII grid, from its text. */
import type { Cells } from './blocks.ts';
import { cellName, SLICE, type AsciiGridIndex } from './asciiGridIndex.ts';
import { partOf } from './levels.ts';
import { ReadTrouble } from './trouble.ts';
import type { Source } from '../../source.ts';

/** Characters of a number; a 64-bit number to all digits has 24. */
const LONGEST = 64;

export async function asciiBlock(source: Source, index: AsciiGridIndex, block: number): Promise<Cells> {
  const { cut, starts } = index;
  const { top, bottom } = partOf(cut, block);
  const n = (bottom - top) * cut.width;
  const cells = index.whole ? new Int32Array(n) : new Float64Array(n);
  const word = new Uint8Array(LONGEST);
  let length = 0;
  let count = 0;
  const put = (): void => {
    const value = length > LONGEST ? null : numberOf(word, length);
    if (value === null || count >= n)
      throw new ReadTrouble({
        code: 'format',
        where: source.name,
        what: `${cellName(top * cut.width + count, cut.width)} is not a number ("${String.fromCharCode(...word.subarray(0, Math.min(20, length)))}")`,
        todo: 'Get the file again.',
      });
    cells[count++] = value;
    length = 0;
  };
  // In pieces: what lies between two blocks may be any amount of empty lines.
  for (let at = starts[block]; at < starts[block + 1] && count < n;) {
    const bytes = await source.read(at, Math.min(SLICE, starts[block + 1] - at));
    if (!bytes.ok) throw new ReadTrouble(bytes.failure);
    const { value } = bytes;
    if (value.length === 0) break;
    for (let i = 0; i < value.length; i++) {
      const b = value[i];
      if (b === 0x20 || (b >= 9 && b <= 13)) {
        if (length > 0) put();
      } else {
        if (length < LONGEST) word[length] = b;
        length++;
      }
    }
    at += value.length;
  }
  if (length > 0) put();
  if (count < n) throw new Error(`it holds ${count} of ${n} cells of a block`);
  return cells;
}

/** Powers of ten that a 64-bit number holds exactly. */
const POWERS = Float64Array.from({ length: 23 }, (_, k) => Number(`1e${k}`));

/** The number written in ASCII, with a decimal point or comma; null where it is none. */
export function numberOf(word: Uint8Array, length: number): number | null {
  let i = 0;
  const negative = word[0] === 0x2d;
  if (negative || word[0] === 0x2b) i = 1;
  let digits = 0;
  let mantissa = 0;
  let decimals = -1;
  for (; i < length; i++) {
    const d = word[i] - 0x30;
    if (d >= 0 && d <= 9) {
      mantissa = mantissa * 10 + d;
      digits++;
      if (decimals >= 0) decimals++;
    } else if ((word[i] === 0x2e || word[i] === 0x2c) && decimals < 0) decimals = 0;
    else break;
  }
  // Up to 15 digits are exact, and so is the power: one division rounds once (Clinger 1990, the easy case).
  if (i === length && digits > 0 && digits <= 15) {
    const value = decimals > 0 ? mantissa / POWERS[decimals] : mantissa;
    return negative ? -value : value;
  }
  const text = String.fromCharCode(...word.subarray(0, length)).replace(',', '.');
  if (/^[-+]?(nan|1\.#(qnan|snan|ind)\d*)$/i.test(text)) return NaN;
  if (/^[-+]?(inf(inity)?|1\.#inf\d*)$/i.test(text)) return text.startsWith('-') ? -Infinity : Infinity;
  return /^[-+]?(\d+\.?\d*|\.\d+)(e[-+]?\d+)?$/i.test(text) ? Number(text) : null;
}
