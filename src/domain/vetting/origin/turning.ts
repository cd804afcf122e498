import type { OriginWeights } from '../../plan/schema.ts';
import { probabilityOf } from './odds.ts';
import { rowLogs } from './rowLogs.ts';
import type { OriginColumns } from './types.ts';
import { verdictOf } from './verdictOf.ts';
import { weigher } from './weigher.ts';

/**
 * Which pieces of evidence the verdict on a candidate hangs on: those without which it would be another one, as
 * `sensitivity` tells them, without the rest that a sheet shows. Made once for many rows.
 *
 * @param table that the columns were judged with.
 * @returns for a row a bit for each piece, by its index in the evidence (32 at most); 0 where a decision on record settles it.
 */
export function turning(columns: OriginColumns, table: OriginWeights): (row: number) => number {
  const { evidence, decided } = columns;
  const { logOdds, themes } = weigher(
    evidence.map((e) => e.piece),
    table.prior,
  );
  const counted = new Float64Array(evidence.length);
  const says = (logs: Float64Array): number => verdictOf(probabilityOf(logOdds(logs, counted)), themes(logs));
  return (row) => {
    if (decided[row] !== 0) return 0;
    const logs = rowLogs(evidence, row);
    const now = says(logs);
    let bits = 0;
    for (let p = 0; p < logs.length; p++) {
      const own = logs[p];
      if (Number.isNaN(own)) continue;
      logs[p] = NaN;
      if (says(logs) !== now) bits |= 1 << p;
      logs[p] = own;
    }
    return bits >>> 0;
  };
}
