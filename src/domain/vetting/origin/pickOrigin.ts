import type { OriginColumns } from './types.ts';

/** The origin of the rows asked for, in that order: what is asked of a few does not carry all candidates along. */
export function pickOrigin(columns: OriginColumns, rows: ArrayLike<number>): OriginColumns {
  const n = rows.length;
  const filled = <A extends Float64Array | Uint8Array>(to: A, from: A): A => {
    for (let i = 0; i < n; i++) to[i] = from[rows[i]];
    return to;
  };
  const numbers = (from: Float64Array): Float64Array => filled(new Float64Array(n), from);
  const bytes = (from: Uint8Array): Uint8Array => filled(new Uint8Array(n), from);
  return {
    tableVersion: columns.tableVersion,
    evidence: columns.evidence.map((e) => ({
      ...e,
      value: numbers(e.value),
      logRatio: numbers(e.logRatio),
      counted: numbers(e.counted),
      ...(e.idle ? { idle: bytes(e.idle) } : {}),
    })),
    logOdds: numbers(columns.logOdds),
    probability: numbers(columns.probability),
    verdict: bytes(columns.verdict),
    themes: bytes(columns.themes),
    decided: bytes(columns.decided),
    decidedBy: Array.from(rows, (row) => columns.decidedBy[row]),
  };
}
