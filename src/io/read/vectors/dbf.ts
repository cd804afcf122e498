/**
 * Table of attributes of a shapefile (dBase III and IV, Visual FoxPro numbers). Read here and not by the parsedbf library,
 * which turns dates by the local clock, gives records that were deleted, and does not look at the language of the table.
 */
import { fail, ok, type Note, type Result } from '../../../domain/base/result.ts';
import { codePage, codePageOfDbf, type CodePage } from './codePages.ts';

export type DbfValue = string | number | boolean | null;

export interface DbfTable {
  readonly fields: readonly string[];
  readonly n: number;
  /** Marked as deleted, and not to be shown. */
  deleted(record: number): boolean;
  /** Attributes by name. */
  record(record: number): Record<string, DbfValue>;
  /** What was met so far in the records that were asked for. */
  notes(): Note[];
}

interface Field {
  readonly name: string;
  readonly type: string;
  readonly at: number;
  readonly length: number;
  readonly decimals: number;
}

const AGAIN = 'Get the file again, all parts of it from the same place.';
const END_OF_FIELDS = 0x0d;
const DELETED = 0x2a;
const SAMPLED = 200_000;

/** @param cpg text of the .cpg beside the table; null where there is none. */
export function readDbf(bytes: Uint8Array, file: string, cpg: string | null): Result<DbfTable> {
  if (bytes.length < 33) return fail('format', file, 'is cut short', AGAIN);
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const n = view.getUint32(4, true);
  const start = view.getUint16(8, true);
  const step = view.getUint16(10, true);
  if (start < 33 || start > bytes.length || step < 1)
    return fail('format', file, 'is damaged (its header is not that of a table)', AGAIN);
  // The last byte, a mark of the end, is often left out.
  if (start + n * step > bytes.length)
    return fail(
      'format',
      file,
      `is cut short (${Math.max(0, Math.floor((bytes.length - start) / step))} of ${n} records)`,
      AGAIN,
    );
  const notes: Note[] = [];
  const page = pageOf(
    bytes.subarray(start, start + Math.min(n * step, SAMPLED)),
    cpg,
    bytes[29],
    file,
    notes,
  );
  const fields = fieldsOf(bytes, view, start, step, page);
  if (!fields) return fail('format', file, 'is damaged (its list of fields does not fit its records)', AGAIN);
  const met = { misspelt: 0, memo: fields.some((f) => isMemo(f)) };
  return ok({
    fields: fields.map((f) => f.name),
    n,
    deleted: (record) => bytes[start + record * step] === DELETED,
    record(record) {
      const at = start + record * step;
      return Object.fromEntries(
        fields.map((f) => [f.name, valueOf(bytes.subarray(at + f.at, at + f.at + f.length), f, page, met)]),
      );
    },
    notes() {
      const found = [...notes];
      if (met.misspelt > 0)
        found.push({
          where: file,
          what: `says that it is in ${page.name}; ${met.misspelt} texts are not, and were read as Windows-1252. Check the accents`,
        });
      if (met.memo)
        found.push({ where: file, what: 'has long texts (memo) in a file of their own: left empty' });
      return found;
    },
  });
}

/** The code page by the .cpg, by the table itself, or by what its bytes can be. */
function pageOf(
  records: Uint8Array,
  cpg: string | null,
  driver: number,
  where: string,
  notes: Note[],
): CodePage {
  const western = codePage('1252') as CodePage;
  const utf8 = codePage('utf-8') as CodePage;
  const stated = cpg === null || cpg.trim() === '' ? null : codePage(cpg);
  if (stated) return stated;
  if (cpg !== null && cpg.trim() !== '' && !/^system$/i.test(cpg.trim()))
    notes.push({ where, what: `names the encoding "${cpg.trim().slice(0, 40)}", which is not known` });
  const own = codePageOfDbf(driver);
  if (own) return own;
  if (!records.some((b) => b > 0x7f)) return western;
  // Fields end where they are full, perhaps amid a letter, so that the bytes are looked at one by one.
  if (looksLikeUtf8(records)) return utf8;
  notes.push({ where, what: 'does not say its encoding; it was read as Windows-1252. Check the accents' });
  return western;
}

/** Whether nine in ten of the letters beyond ASCII are whole ones of UTF-8. */
function looksLikeUtf8(bytes: Uint8Array): boolean {
  let whole = 0;
  let broken = 0;
  for (let i = 0; i < bytes.length; i++) {
    const b = bytes[i];
    if (b < 0x80) continue;
    const more = b >= 0xf0 ? 3 : b >= 0xe0 ? 2 : b >= 0xc2 ? 1 : 0;
    const follow = bytes.subarray(i + 1, i + 1 + more);
    if (more > 0 && follow.length === more && follow.every((c) => (c & 0xc0) === 0x80)) {
      whole++;
      i += more;
    } else broken++;
  }
  return whole > 9 * broken;
}

function fieldsOf(
  bytes: Uint8Array,
  view: DataView,
  start: number,
  step: number,
  page: CodePage,
): Field[] | null {
  const fields: Field[] = [];
  const taken = new Set<string>();
  // Before the fields of a record stands the mark of a deleted one.
  let at = 1;
  for (let from = 32; from + 32 <= start && bytes[from] !== END_OF_FIELDS; from += 32) {
    const raw = bytes.subarray(from, from + 11);
    const zero = raw.indexOf(0);
    const type = String.fromCharCode(bytes[from + 11]).toUpperCase();
    // Texts may be longer than 255 bytes in tables of some programs: the byte for decimals then counts 256s.
    const length = type === 'C' ? view.getUint16(from + 16, true) : bytes[from + 16];
    const name = page.decode(zero < 0 ? raw : raw.subarray(0, zero)).trim() || `field ${fields.length + 1}`;
    // Names are cut to ten bytes, so that two may be the same.
    let own = name;
    for (let i = 2; taken.has(own); i++) own = `${name} (${i})`;
    taken.add(own);
    fields.push({ name: own, type, at, length, decimals: bytes[from + 17] });
    at += length;
  }
  if (at <= step) return fields;
  // The decimals of a text were set without meaning: take one byte for the length.
  at = 1;
  const narrow = fields.map((f) => {
    const field = { ...f, at, length: f.length & 0xff };
    at += field.length;
    return field;
  });
  return at <= step ? narrow : null;
}

function valueOf(
  bytes: Uint8Array,
  { type, length, decimals }: Field,
  page: CodePage,
  met: { misspelt: number },
): DbfValue {
  const view = (): DataView => new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if ((type === 'I' || type === '+') && length === 4) return view().getInt32(0, true);
  if ((type === 'O' || type === 'B') && length === 8) return view().getFloat64(0, true);
  if ((type === 'T' || type === '@') && length === 8) return moment(view());
  if (isMemo({ type, length })) return null;
  const text = textOf(bytes, page, met);
  if (type === 'N' || type === 'F') {
    const plain = text.trim().replace(',', '.');
    const number = plain === '' ? NaN : Number(plain);
    if (!Number.isFinite(number)) return null;
    // Whole numbers beyond those that a number holds to the unit are kept as they are written: they are names.
    return decimals === 0 && /^[-+]?\d+$/.test(plain) && !Number.isSafeInteger(number) ? plain : number;
  }
  if (type === 'D') {
    const date = /^(\d{4})(\d\d)(\d\d)$/.exec(text.trim());
    return !date || text.trim() === '00000000' ? null : `${date[1]}-${date[2]}-${date[3]}`;
  }
  if (type === 'L') return /^[yt1]/i.test(text) ? true : /^[nf0]/i.test(text) ? false : null;
  return text.trimStart() || null;
}

/** Without the blanks and zeros that fill the field. */
function textOf(bytes: Uint8Array, page: CodePage, met: { misspelt: number }): string {
  let end = bytes.length;
  const zero = bytes.indexOf(0);
  if (zero >= 0) end = zero;
  while (end > 0 && bytes[end - 1] === 0x20) end--;
  const text = page.decode(bytes.subarray(0, end));
  if (page.name !== 'UTF-8' || !text.includes('\ufffd')) return text;
  // A letter that was cut in two by the end of the field.
  const cut = text.replace(/\ufffd+$/, '');
  if (!cut.includes('\ufffd') && end >= bytes.length - 3) return cut;
  met.misspelt++;
  return (codePage('1252') as CodePage).decode(bytes.subarray(0, end));
}

/** Day (Julian) and milliseconds of the day. */
function moment(view: DataView): string | null {
  const day = view.getUint32(0, true);
  const ms = view.getUint32(4, true);
  if (day === 0) return null;
  const date = new Date((day - 2_440_588) * 86_400_000 + ms);
  return Number.isNaN(date.getTime()) ? null : date.toISOString().replace(/\.000Z$|Z$/, '');
}

/** Kept in a file of its own; the field is a pointer into it. */
const isMemo = ({ type, length }: { type: string; length: number }): boolean =>
  type === 'M' || type === 'G' || type === 'P' || (type === 'B' && length === 10);
