import { fail, ok, type Result } from '../../../domain/base/result.ts';
import type { Source } from '../../source.ts';

export interface AsciiGridHeader {
  readonly cols: number;
  readonly rows: number;
  /** Outer corner of the first cell of the first row: west and north edge. */
  readonly left: number;
  readonly top: number;
  readonly cellX: number;
  readonly cellY: number;
  /** Null where the header gives none. NaN where it says nan. */
  readonly nodata: number | null;
  /** Byte at which the cells begin. */
  readonly start: number;
  /** A number of the header has a decimal comma. */
  readonly commas: boolean;
}

const KEYS = [
  'ncols',
  'nrows',
  'xllcorner',
  'yllcorner',
  'xllcenter',
  'yllcenter',
  'cellsize',
  'dx',
  'dy',
  'nodata_value',
  'nodata',
] as const;
type Key = (typeof KEYS)[number];

/** No header is longer. */
const HEAD = 4096;
const NAMES = new RegExp(`^\\s*(${KEYS.join('|')})\\s+\\S`, 'i');

const latin = (bytes: Uint8Array): string =>
  new TextDecoder('latin1').decode(bytes).replace(/^\u00ef\u00bb\u00bf/, '   ');

/** The first line is a key word of the header and a value. */
export const looksLikeAsciiGrid = (head: Uint8Array): boolean => NAMES.test(latin(head));

/** Key words in any order and case, each with its value; the first word that is a number or "nan" begins the cells. */
export async function asciiGridHeader(source: Source): Promise<Result<AsciiGridHeader>> {
  const where = source.name;
  const bytes = await source.read(0, HEAD);
  if (!bytes.ok) return bytes;
  const text = latin(bytes.value);
  const found = new Map<Key, string>();
  const words = /\S+/g;
  let start = -1;
  for (let word = words.exec(text); word; word = words.exec(text)) {
    const key = KEYS.find((k) => k === word?.[0].toLowerCase());
    if (key === undefined) {
      if (!/^[-+]?[.,\d]|^-?(nan|inf|1\.#)/i.test(word[0]))
        return damaged(where, `has the word "${word[0].slice(0, 20)}" in its header`);
      start = word.index;
      break;
    }
    if (found.has(key)) return damaged(where, `has ${key} twice in its header`);
    found.set(key, words.exec(text)?.[0] ?? '');
  }
  if (start < 0) return damaged(where, 'ends with its header');
  const number = (key: Key): number | null => {
    const written = found.get(key);
    if (written === undefined) return null;
    const plain = /^[-+]?\d*,\d+$/.test(written) ? written.replace(',', '.') : written;
    return /^[-+]?nan$/i.test(plain) || plain === '' ? NaN : Number(plain);
  };
  const cols = number('ncols');
  const rows = number('nrows');
  const cellX = number('dx') ?? number('cellsize');
  const cellY = number('dy') ?? number('cellsize');
  const xCorner = number('xllcorner');
  const yCorner = number('yllcorner');
  const x = xCorner ?? number('xllcenter');
  const y = yCorner ?? number('yllcenter');
  const missing = Object.entries({
    ncols: cols,
    nrows: rows,
    cellsize: cellX ?? cellY,
    xllcorner: x,
    yllcorner: y,
  }).find(([, value]) => value === null);
  if (missing) return damaged(where, `has no ${missing[0]} in its header`);
  // All are there; what is no number is NaN and fails below.
  const n = {
    cols: cols ?? NaN,
    rows: rows ?? NaN,
    cellX: cellX ?? NaN,
    cellY: cellY ?? NaN,
    x: x ?? NaN,
    y: y ?? NaN,
  };
  for (const [name, value] of [
    ['ncols', n.cols],
    ['nrows', n.rows],
  ] as const)
    if (!(Number.isInteger(value) && value > 0))
      return damaged(where, `has a header with ${name} ${found.get(name) ?? ''}, not a whole number above 0`);
  if (!(n.cellX > 0 && n.cellY > 0 && Number.isFinite(n.cellX) && Number.isFinite(n.cellY)))
    return damaged(where, 'has a header with a cell size that is not a number above 0');
  if (!(Number.isFinite(n.x) && Number.isFinite(n.y)))
    return damaged(where, 'has a header with an origin that is not a number');
  const left = xCorner === null ? n.x - n.cellX / 2 : n.x;
  const bottom = yCorner === null ? n.y - n.cellY / 2 : n.y;
  return ok({
    cols: n.cols,
    rows: n.rows,
    left,
    top: bottom + n.rows * n.cellY,
    cellX: n.cellX,
    cellY: n.cellY,
    nodata: number('nodata_value') ?? number('nodata'),
    start,
    commas: [...found.values()].some((v) => v.includes(',')),
  });
}

const damaged = (where: string, what: string) =>
  fail('format', where, what, 'Get the file again, or convert it to GeoTIFF with another program.');
