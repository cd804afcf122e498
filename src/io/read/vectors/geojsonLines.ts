import { fail, ok, type Note, type Result } from '../../../domain/base/result.ts';
import type { Work } from '../../../domain/base/work.ts';
import { crsFrom } from '../../crs/crs.ts';
import { featuresOf } from './geojsonValue.ts';
import type { RawFeature } from './geometry.ts';
import { decodeText } from '../text.ts';
import type { Format } from '../types.ts';
import { vectorOpened } from './vector.ts';
import { whole } from '../whole.ts';

const NEWLINE = 0x0a;
/** Stands before each record of an RFC 7464 sequence. */
const RECORD = 0x1e;
const SEPARATOR = String.fromCharCode(RECORD);
const PAUSE_BYTES = 1 << 21;

/** GeoJSON features one after the other, one a line (newline-delimited) or each after a record separator (RFC 8142). */
export const geojsonLines: Format = {
  id: 'geojson-lines',
  title: 'newline-delimited GeoJSON',
  extensions: ['geojsonl', 'geojsons', 'ndjson', 'ndgeojson', 'jsonl'],
  recognises: (head, name) =>
    (head[0] === RECORD && startsObject(decodeText(head.subarray(1)).text)) ||
    (/\.(geojsonl|geojsons|ndjson|ndgeojson|jsonl)$/i.test(name) && startsObject(decodeText(head).text)),
  async read(source, options) {
    const bytes = await whole(source);
    if (!bytes.ok) return bytes;
    const lines = await readLines(bytes.value, source.name, options.work);
    if (!lines.ok) return lines;
    const crs = options.crs ? await crsFrom(options.crs, source.name) : ok(null);
    if (!crs.ok) return crs;
    return vectorOpened(
      { file: source.name, format: 'newline-delimited GeoJSON', crs: crs.value, ...lines.value },
      options,
    );
  },
};

const startsObject = (text: string): boolean => text.trimStart().startsWith('{');

/** Whether the first line is one whole JSON object, and another follows. */
export function isLines(bytes: Uint8Array): boolean {
  const end = bytes.indexOf(NEWLINE);
  if (end < 0 || bytes.subarray(end).every((b) => b <= 0x20)) return false;
  try {
    return featuresOf(JSON.parse(decodeText(bytes.subarray(0, end)).text)) !== null;
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
    return false;
  }
}

/** @returns features of all records; a record that is none is a Failure that names its line. */
export async function readLines(
  bytes: Uint8Array,
  file: string,
  work?: Work,
): Promise<Result<{ raw: RawFeature[]; notes: Note[] }>> {
  // With separators, a record may go over several lines.
  const separator = bytes[0] === RECORD ? RECORD : NEWLINE;
  const raw: RawFeature[] = [];
  const notes: Note[] = [];
  let line = 1;
  let paused = 0;
  for (let at = 0; at < bytes.length;) {
    const next = bytes.indexOf(separator, at);
    const end = next < 0 ? bytes.length : next;
    const { text, notes: own } = decodeText(bytes.subarray(at, end), file);
    if (notes.length === 0) notes.push(...own);
    const where = `${file}, line ${line + /^\s*/.exec(text)![0].split('\n').length - 1}`;
    if (text.trim() !== '') {
      let value: unknown;
      try {
        // A file with separators before each line as well.
        value = JSON.parse(text.trimStart().replace(SEPARATOR, ''));
      } catch (error) {
        if (!(error instanceof SyntaxError)) throw error;
        return fail('format', where, `is not valid JSON (${error.message})`, 'Check the line.');
      }
      const features = featuresOf(value);
      if (!features) return fail('format', where, 'is JSON, but no feature', 'Check the line.');
      for (const f of features) raw.push(f);
    }
    line += separator === NEWLINE ? 1 : text.split('\n').length - 1;
    at = end + 1;
    if (at - paused > PAUSE_BYTES) {
      paused = at;
      work?.progress?.(at, bytes.length, 'bytes read');
      await work?.pause?.();
    }
  }
  return ok({ raw, notes });
}
