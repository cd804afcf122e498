/** Text of an XML file: encoding by byte-order mark, by the pattern of the first bytes, or as the prolog declares it (XML 1.0, appendix F). */
import { fail, ok, type Note, type Result } from '../../../domain/base/result.ts';
import { decodeText } from '../text.ts';

export function xmlText(
  bytes: Uint8Array,
  file: string,
): Result<{ readonly text: string; readonly notes: readonly Note[] }> {
  const [a, b, c, d] = bytes;
  if (a === 0x3c && b === 0 && c !== 0) return decoded(bytes, 'utf-16le', file);
  if (a === 0 && b === 0x3c && d !== undefined) return decoded(bytes, 'utf-16be', file);
  const declared = /^\s*<\?xml[^>]*?\bencoding\s*=\s*["']([^"'<>]{1,40})["']/i.exec(ascii(bytes))?.[1];
  // What is declared as UTF-16 but could be read so far is written in bytes; Windows-1252 and Latin-1 need the care of text.ts.
  if (declared === undefined || /^(utf-?8|utf-?16|ucs-2|us-ascii)/i.test(declared))
    return ok(decodeText(bytes, file));
  if (/^(windows-1252|cp-?1252|iso-?8859-1|latin-?1)$/i.test(declared)) {
    const { text, notes } = decodeText(bytes, file);
    // Bytes that happen to be UTF-8 are nearly always UTF-8 under a wrong label; others are what the label says, without a note.
    return ok({ text, notes: notes.length > 0 ? [] : notes });
  }
  return decoded(bytes, declared, file);
}

function decoded(bytes: Uint8Array, encoding: string, file: string): ReturnType<typeof xmlText> {
  try {
    return ok({ text: new TextDecoder(encoding).decode(bytes), notes: [] });
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    return fail(
      'format',
      file,
      `declares the encoding "${encoding}", which is not known`,
      'Save it again in UTF-8.',
    );
  }
}

const ascii = (bytes: Uint8Array): string => String.fromCharCode(...bytes.subarray(0, 256));

/** Name of the root element without prefix, from the first bytes of a file; null where they hold none. */
export function rootOf(head: Uint8Array): string | null {
  const read = xmlText(head, '');
  if (!read.ok) return null;
  let text = read.value.text.replace(/^\ufeff/, '');
  for (;;) {
    text = text.trimStart();
    if (text.startsWith('<!--')) text = after(text, '-->');
    else if (text.startsWith('<?')) text = after(text, '?>');
    else if (/^<!DOCTYPE/i.test(text)) text = after(text, text.includes('[') ? ']>' : '>');
    else break;
  }
  return /^<(?:[\w.-]+:)?([\w.-]+)/.exec(text)?.[1] ?? null;
}

const after = (text: string, end: string): string => {
  const at = text.indexOf(end);
  return at < 0 ? '' : text.slice(at + end.length);
};

/** The head is markup that could go on to be this format: its root says so, or it holds no root yet and the name does. */
export function isXml(head: Uint8Array, name: string, root: string, extension: RegExp): boolean {
  const own = rootOf(head);
  if (own !== null) return own.toLowerCase() === root;
  if (!extension.test(name)) return false;
  const read = xmlText(head, '');
  return read.ok && /^\ufeff?\s*<[?!]/.test(read.value.text) && !/<!doctype\s+html/i.test(read.value.text);
}
