import type { Note } from '../../domain/base/result.ts';

/**
 * Text of a file: by its byte-order mark, else as UTF-8, else (bytes that are not UTF-8) as Windows-1252, which is noted
 * since accents may then be wrong.
 */
export function decodeText(bytes: Uint8Array, file = ''): { text: string; notes: Note[] } {
  const [a, b, c] = bytes;
  if (a === 0xff && b === 0xfe) return { text: new TextDecoder('utf-16le').decode(bytes), notes: [] };
  if (a === 0xfe && b === 0xff) return { text: new TextDecoder('utf-16be').decode(bytes), notes: [] };
  if (a === 0xef && b === 0xbb && c === 0xbf)
    return { text: new TextDecoder('utf-8').decode(bytes), notes: [] };
  try {
    return { text: new TextDecoder('utf-8', { fatal: true }).decode(bytes), notes: [] };
  } catch (error) {
    if (!(error instanceof TypeError)) throw error;
    return {
      text: new TextDecoder('windows-1252').decode(bytes).replace(/[\x80-\x9f]/g, windows1252),
      notes: [{ where: file, what: 'is not in UTF-8; it was read as Windows-1252. Check the accents' }],
    };
  }
}

/** Bytes 0x80 to 0x9f of Windows-1252 (WHATWG Encoding Standard); the five that are not assigned stay control characters. */
const WINDOWS_1252 =
  '\u20ac\x81\u201a\u0192\u201e\u2026\u2020\u2021\u02c6\u2030\u0160\u2039\u0152\x8d\u017d\x8f' +
  '\x90\u2018\u2019\u201c\u201d\u2022\u2013\u2014\u02dc\u2122\u0161\u203a\u0153\x9d\u017e\u0178';

/** Some versions of Node take Windows-1252 for Latin-1 and leave these as they are. */
const windows1252 = (c: string): string => WINDOWS_1252[c.charCodeAt(0) - 0x80];
