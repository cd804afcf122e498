/** Which candidates the filters on origin let through: pure, so that ledger, map and counts agree. */
import { isOpen } from '../../domain/vetting/origin/isOpen.ts';
import { pieceOf } from '../../domain/vetting/origin/pieces.ts';
import {
  ORIGIN_VERDICTS,
  type EvidenceColumn,
  type OriginColumns,
  type OriginVerdict,
} from '../../domain/vetting/origin/types.ts';

/** What a piece of evidence says of a tree. */
export const SAYS = ['natural', 'planted', 'even', 'not known'] as const;
export type Says = (typeof SAYS)[number];

/** What settled a tree whatever the odds. */
export type DecidedHow = 'statement' | 'record';

export type OriginFilter =
  | { readonly kind: 'verdict'; readonly verdict: OriginVerdict }
  | { readonly kind: 'decided'; readonly how: DecidedHow }
  /** So many themes measured. */
  | { readonly kind: 'themes'; readonly n: number }
  | { readonly kind: 'says'; readonly piece: string; readonly says: Says }
  /** Not settled, and nothing is known of what a layer ('': the record of the tree) tells: as whatWouldSettle counts. */
  | { readonly kind: 'lacks'; readonly definition: string; readonly pieces: readonly string[] }
  /** The verdict would be another one without a piece; '' without some single one. */
  | { readonly kind: 'hangs'; readonly piece: string };

/** What the filters look at. */
export interface OriginRows {
  readonly origin: OriginColumns;
  readonly ids: readonly string[];
  /** Ids that a statement is on record for. */
  readonly stated: ReadonlySet<string>;
  /** By row the pieces (bit = index in origin.evidence) without which the verdict turns; null: not worked out yet. */
  readonly hangs: Uint32Array | null;
}

/** Filters of one slot exclude each other: choosing another takes the place of the first. */
export const slotOf = (f: OriginFilter): string => (f.kind === 'says' ? `says ${f.piece}` : f.kind);

/** Two filters with the same key let the same trees through. */
export function keyOf(f: OriginFilter): string {
  switch (f.kind) {
    case 'verdict':
      return `verdict ${f.verdict}`;
    case 'decided':
      return `decided ${f.how}`;
    case 'themes':
      return `themes ${f.n}`;
    case 'says':
      return `says ${f.piece} ${f.says}`;
    case 'lacks':
      return `lacks ${f.definition} ${f.pieces.join(' ')}`;
    case 'hangs':
      return `hangs ${f.piece}`;
  }
}

/** Chosen again, a filter is taken off; else it takes the place of the one in its slot, or comes last. */
export function toggled(filters: readonly OriginFilter[], f: OriginFilter): OriginFilter[] {
  if (filters.some((g) => keyOf(g) === keyOf(f))) return filters.filter((g) => keyOf(g) !== keyOf(f));
  const at = filters.findIndex((g) => slotOf(g) === slotOf(f));
  return at < 0 ? [...filters, f] : filters.with(at, f);
}

/** What a piece says of a row: by its ratio in the table, whatever is left of it beside stronger pieces of its theme. */
export function saysOf({ value, logRatio }: EvidenceColumn, row: number): Says {
  if (Number.isNaN(value[row])) return 'not known';
  const log = logRatio[row];
  return log > 0 ? 'natural' : log < 0 ? 'planted' : 'even';
}

const never = (): boolean => false;

/** Whether a row is let through by one filter. */
function test(f: OriginFilter, { origin, ids, stated, hangs }: OriginRows): (row: number) => boolean {
  const column = (piece: string): EvidenceColumn | undefined =>
    origin.evidence.find((e) => e.piece === piece);
  switch (f.kind) {
    case 'verdict': {
      const at = ORIGIN_VERDICTS.indexOf(f.verdict);
      return (row) => origin.verdict[row] === at;
    }
    case 'decided':
      return (row) => origin.decided[row] !== 0 && stated.has(ids[row]) === (f.how === 'statement');
    case 'themes':
      return (row) => origin.themes[row] === f.n;
    case 'says': {
      const own = column(f.piece);
      return own ? (row) => saysOf(own, row) === f.says : never;
    }
    case 'lacks': {
      const own = f.pieces.flatMap((p) => column(p) ?? []);
      return (row) => isOpen(origin, row) && own.every((e) => Number.isNaN(e.value[row]));
    }
    case 'hangs': {
      if (!hangs) return never;
      if (f.piece === '') return (row) => hangs[row] !== 0;
      const at = origin.evidence.findIndex((e) => e.piece === f.piece);
      return at < 0 ? never : (row) => ((hangs[row] >>> at) & 1) === 1;
    }
  }
}

/** Rows that every filter lets through, in their order; the same array where there is no filter. */
export function letThrough(
  rows: readonly number[],
  filters: readonly OriginFilter[],
  data: OriginRows,
): readonly number[] {
  if (filters.length === 0) return rows;
  const tests = filters.map((f) => test(f, data));
  return rows.filter((row) => tests.every((passes) => passes(row)));
}

/** The known piece that speaks most for the one side, by what it counts beside the others of its theme; null: none does. */
export function strongest(
  { evidence }: OriginColumns,
  row: number,
  side: 'natural' | 'planted',
): { readonly piece: string; readonly counted: number } | null {
  const sign = side === 'natural' ? 1 : -1;
  let best: EvidenceColumn | null = null;
  let most = 0;
  for (const e of evidence) {
    const strength = sign * e.counted[row];
    if (strength > most) [best, most] = [e, strength];
  }
  return best && { piece: best.piece, counted: best.counted[row] };
}

/** Pieces that are not known of a row. */
export function unknownCount({ evidence }: OriginColumns, row: number): number {
  let n = 0;
  for (const e of evidence) if (Number.isNaN(e.value[row])) n++;
  return n;
}

/** The piece's title, or its id where the table of pieces has none of that name. */
export const pieceTitle = (piece: string): string => pieceOf(piece)?.title ?? piece;
