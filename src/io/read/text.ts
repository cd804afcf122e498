import type { Note } from '../../domain/base/result.ts';

export type Encoding = 'utf-8' | 'utf-16le' | 'utf-16be' | 'windows-1252';

/** By the byte-order mark, or by the zeros that Latin text leaves in UTF-16; else UTF-8, which the bytes may yet belie. */
export function encodingOf(head: Uint8Array): Encoding {
  const [a, b] = head;
  if (a === 0xff && b === 0xfe) return 'utf-16le';
  if (a === 0xfe && b === 0xff) return 'utf-16be';
  const n = Math.min(head.length, 512) & ~1;
  let even = 0;
  let odd = 0;
  for (let i = 0; i < n; i += 2) {
    if (head[i] === 0) even++;
    if (head[i + 1] === 0) odd++;
  }
  // Half of the letters at least are Latin, and none of the other bytes is zero; three zeros are no chance.
  if (odd >= 3 && odd * 4 >= n && even === 0) return 'utf-16le';
  if (even >= 3 && even * 4 >= n && odd === 0) return 'utf-16be';
  return 'utf-8';
}

/** Text of bytes that come in pieces. Throws a TypeError for bytes that are not UTF-8, unless `lossy`. */
export class PieceDecoder {
  readonly #decoder: TextDecoder;
  readonly #windows: boolean;

  constructor(encoding: Encoding, lossy = false) {
    this.#windows = encoding === 'windows-1252';
    this.#decoder = new TextDecoder(encoding, { fatal: encoding === 'utf-8' && !lossy });
  }

  decode(bytes: Uint8Array, last: boolean): string {
    const text = this.#decoder.decode(bytes, { stream: !last });
    return this.#windows ? text.replace(/[\x80-\x9f]/g, windows1252) : text;
  }
}

/** What bytes are that are not UTF-8 throughout: mostly so (a few damaged letters), or Windows-1252. */
export function insteadOfUtf8(bytes: Uint8Array): { readonly encoding: Encoding; readonly what: string } {
  let good = 0;
  let bad = 0;
  for (const c of new TextDecoder('utf-8').decode(bytes)) {
    if (c === '\ufffd') bad++;
    else if (c > '\x7f') good++;
  }
  return good > bad
    ? {
        encoding: 'utf-8',
        what: 'has letters that are not in UTF-8 as the others are; they stand as "\ufffd"',
      }
    : {
        encoding: 'windows-1252',
        what: 'is not in UTF-8; it was read as Windows-1252. Check the accents',
      };
}

/**
 * Text of a file: by its byte-order mark, else as UTF-8, else (bytes that are not UTF-8) as Windows-1252, which is noted
 * since accents may then be wrong.
 */
export function decodeText(bytes: Uint8Array, file = ''): { text: string; notes: Note[] } {
  const encoding = encodingOf(bytes);
  try {
    return { text: new PieceDecoder(encoding).decode(bytes, true), notes: [] };
  } catch (error) {
    if (!(error instanceof TypeError)) throw error;
    const instead = insteadOfUtf8(bytes);
    return {
      text: new PieceDecoder(instead.encoding, true).decode(bytes, true),
      notes: [{ where: file, what: instead.what }],
    };
  }
}

/** Bytes 0x80 to 0x9f of Windows-1252 (WHATWG Encoding Standard); the five that are not assigned stay control characters. */
const WINDOWS_1252 =
  '\u20ac\x81\u201a\u0192\u201e\u2026\u2020\u2021\u02c6\u2030\u0160\u2039\u0152\x8d\u017d\x8f' +
  '\x90\u2018\u2019\u201c\u201d\u2022\u2013\u2014\u02dc\u2122\u0161\u203a\u0153\x9d\u017e\u0178';

/** Some versions of Node take Windows-1252 for Latin-1 and leave these as they are. */
const windows1252 = (c: string): string => WINDOWS_1252[c.charCodeAt(0) - 0x80];
