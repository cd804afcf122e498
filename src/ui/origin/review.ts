/** How the candidates in view stand as to their origin, counted. */
import type { Box } from '../../domain/base/geo.ts';
import { ORIGIN_VERDICTS, THEMES, type OriginColumns } from '../../domain/vetting/origin/types.ts';
import { isOpen } from '../../domain/vetting/origin/isOpen.ts';
import type { OriginRows, Says } from '../ledger/rowFilter.ts';

export interface PieceCount {
  readonly piece: string;
  /** Trees by what the piece says of them. */
  readonly says: Readonly<Record<Says, number>>;
}

export interface Review {
  readonly n: number;
  /** By index of ORIGIN_VERDICTS. */
  readonly verdicts: readonly number[];
  readonly byStatement: number;
  readonly byRecord: number;
  /** Trees by how many themes are measured, 0 to all. */
  readonly themes: readonly number[];
  /** Neither settled nor decided. */
  readonly open: number;
  /** In the order of the evidence. */
  readonly pieces: readonly PieceCount[];
}

export function reviewOf(
  { origin, ids, stated }: Omit<OriginRows, 'hangs'>,
  rows: readonly number[],
): Review {
  const verdicts = ORIGIN_VERDICTS.map(() => 0);
  const themes = new Array<number>(THEMES.length + 1).fill(0);
  let [byStatement, byRecord, open] = [0, 0, 0];
  for (const row of rows) {
    verdicts[origin.verdict[row]]++;
    themes[origin.themes[row]]++;
    if (isOpen(origin, row)) open++;
    if (origin.decided[row] === 0) continue;
    if (stated.has(ids[row])) byStatement++;
    else byRecord++;
  }
  const pieces = origin.evidence.map(({ piece, value, logRatio }) => {
    // As saysOf tells, without a word for each of millions of answers.
    let [natural, planted, unknown] = [0, 0, 0];
    for (const row of rows) {
      const log = logRatio[row];
      if (Number.isNaN(value[row])) unknown++;
      else if (log > 0) natural++;
      else if (log < 0) planted++;
    }
    const even = rows.length - natural - planted - unknown;
    return { piece, says: { natural, planted, even, 'not known': unknown } };
  });
  return { n: rows.length, verdicts, byStatement, byRecord, themes, open, pieces };
}

/** Of the trees that are not settled and know none of the pieces: how many lie outside all of the boxes. */
export function beyond(
  origin: OriginColumns,
  rows: readonly number[],
  pieces: readonly string[],
  at: { readonly lon: ArrayLike<number>; readonly lat: ArrayLike<number> },
  boxes: readonly Box[],
): number {
  const own = origin.evidence.filter((e) => pieces.includes(e.piece));
  let outside = 0;
  for (const row of rows) {
    if (!isOpen(origin, row) || own.some((e) => !Number.isNaN(e.value[row]))) continue;
    const [lon, lat] = [at.lon[row], at.lat[row]];
    if (!boxes.some(([w, s, e, n]) => lon >= w && lon <= e && lat >= s && lat <= n)) outside++;
  }
  return outside;
}

/** How many verdicts hang on some single piece, and on each (bits by index of the evidence), most first. */
export function hangsOn(
  { evidence }: OriginColumns,
  bits: Uint32Array,
  rows: readonly number[],
): { readonly some: number; readonly pieces: ReadonlyArray<{ readonly piece: string; readonly n: number }> } {
  let some = 0;
  const counts = evidence.map(() => 0);
  for (const row of rows) {
    if (bits[row] === 0) continue;
    some++;
    for (let p = 0; p < counts.length; p++) counts[p] += (bits[row] >>> p) & 1;
  }
  const pieces = evidence.map((e, p) => ({ piece: e.piece, n: counts[p] })).filter(({ n }) => n > 0);
  return { some, pieces: pieces.sort((a, b) => b.n - a.n) };
}
