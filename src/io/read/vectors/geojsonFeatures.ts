import { fail, ok, type Note, type Result } from '../../../domain/base/result.ts';
import type { Work } from '../../../domain/base/work.ts';
import { decodeText } from '../text.ts';

export interface ReadFeatures {
  /** The collection with an empty list of features. */
  readonly collection: unknown;
  /** The members of the list as they stand, whatever they are. */
  readonly features: readonly unknown[];
  readonly notes: readonly Note[];
}

const QUOTE = 0x22;
const BACKSLASH = 0x5c;
const COMMA = 0x2c;
const COLON = 0x3a;
const OPEN = 0x5b;
const CLOSE = 0x5d;
const OPEN_OBJECT = 0x7b;
const CLOSE_OBJECT = 0x7d;
const PAUSE_BYTES = 1 << 21;

/** Thrown where the text is no JSON; told with the feature in which it is so. */
class NotJson extends Error {}

/**
 * A FeatureCollection feature by feature, so that a large one is read with progress, can be stopped, and need not fit into
 * one string. null where the text has no list of features at its top, or more than one: then it is to be read whole.
 */
export async function geojsonFeatures(
  bytes: Uint8Array,
  file: string,
  work?: Work,
): Promise<Result<ReadFeatures | null>> {
  const list = featuresAt(bytes);
  if (list === null) return ok(null);
  const features: unknown[] = [];
  const notes: Note[] = [];
  let at = afterSpace(bytes, list + 1);
  let paused = at;
  try {
    while (bytes[at] !== CLOSE) {
      const end = endOfValue(bytes, at);
      features.push(parsed(bytes.subarray(at, end), file, notes));
      at = afterSpace(bytes, end);
      if (bytes[at] === COMMA) {
        at = afterSpace(bytes, at + 1);
        if (bytes[at] === CLOSE) throw new NotJson('a comma too many');
      } else if (bytes[at] !== CLOSE) throw new NotJson('the list breaks off');
      if (at - paused > PAUSE_BYTES) {
        paused = at;
        work?.progress?.(at, bytes.length, 'bytes read');
        await work?.pause?.();
      }
    }
  } catch (error) {
    if (!(error instanceof NotJson || error instanceof SyntaxError)) throw error;
    return fail(
      'format',
      `${file}, feature ${features.length + 1}`,
      `is not valid JSON (${error.message})`,
      'Get the file again, or check where it was edited.',
    );
  }
  const rest = new Uint8Array(list + 1 + bytes.length - at);
  rest.set(bytes.subarray(0, list + 1));
  rest.set(bytes.subarray(at), list + 1);
  if (featuresAt(bytes, at + 1, 1) !== null) return ok(null);
  try {
    return ok({ collection: parsed(rest, file, notes), features, notes });
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
    return fail(
      'format',
      file,
      `is not valid JSON (${error.message})`,
      'Get the file again, or check where it was edited.',
    );
  }
}

function parsed(bytes: Uint8Array, file: string, notes: Note[]): unknown {
  const { text, notes: own } = decodeText(bytes, file);
  // Of texts that are not UTF-8, one note is enough.
  if (notes.length === 0) notes.push(...own);
  return JSON.parse(text);
}

/** Where the list of the member "features" begins; null where there is none. `from` lies at so many levels within the text. */
function featuresAt(bytes: Uint8Array, from = 0, level = 0): number | null {
  let depth = level;
  for (let i = from; i < bytes.length; i++) {
    const b = bytes[i];
    if (b === QUOTE) {
      const end = endOfText(bytes, i);
      if (depth === 1 && end - i === KEY.length && KEY.every((c, k) => bytes[i + k] === c)) {
        const colon = afterSpace(bytes, end);
        const value = afterSpace(bytes, colon + 1);
        if (bytes[colon] === COLON && bytes[value] === OPEN) return value;
      }
      i = end - 1;
    } else if (b === OPEN || b === OPEN_OBJECT) depth++;
    else if (b === CLOSE || b === CLOSE_OBJECT) depth--;
  }
  return null;
}

const KEY = new TextEncoder().encode('"features"');

/** Byte after a value that begins at `at`. */
function endOfValue(bytes: Uint8Array, at: number): number {
  let depth = 0;
  for (let i = at; i < bytes.length; i++) {
    const b = bytes[i];
    if (b === QUOTE) i = endOfText(bytes, i) - 1;
    else if (b === OPEN || b === OPEN_OBJECT) depth++;
    else if (b === CLOSE || b === CLOSE_OBJECT) {
      if (depth === 0) return i;
      depth--;
      if (depth === 0) return i + 1;
    } else if (b === COMMA && depth === 0) return i;
  }
  throw new NotJson('the text breaks off');
}

/** Byte after the text in quotation marks that begins at `at`. */
function endOfText(bytes: Uint8Array, at: number): number {
  for (let end = bytes.indexOf(QUOTE, at + 1); end >= 0; end = bytes.indexOf(QUOTE, end + 1)) {
    let slashes = 0;
    while (bytes[end - 1 - slashes] === BACKSLASH) slashes++;
    if (slashes % 2 === 0) return end + 1;
  }
  return bytes.length;
}

function afterSpace(bytes: Uint8Array, at: number): number {
  while (at < bytes.length && (bytes[at] === 0x20 || (bytes[at] >= 0x09 && bytes[at] <= 0x0d))) at++;
  return at;
}
