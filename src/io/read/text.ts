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
      text: new TextDecoder('windows-1252').decode(bytes),
      notes: [{ where: file, what: 'is not in UTF-8; it was read as Windows-1252. Check the accents' }],
    };
  }
}
