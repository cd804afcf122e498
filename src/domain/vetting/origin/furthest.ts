import type { OriginWeights } from '../../plan/schema.ts';
import { answersOf } from './answers.ts';
import { rowLogs } from './rowLogs.ts';
import type { OriginColumns } from './types.ts';
import { weigher } from './weigher.ts';

/**
 * How far another answer could move the log odds of one row at most, up or down, after discounts: for each piece, in the
 * order of the evidence. A piece that is not known starts from ×1; one that is known may turn out otherwise when checked.
 * 0 where the question does not arise.
 * @param table that the columns were judged with.
 */
export function furthest({ evidence }: OriginColumns, table: OriginWeights, row: number): Float64Array {
  const { logOdds } = weigher(
    evidence.map((e) => e.piece),
    table.prior,
  );
  const logs = rowLogs(evidence, row);
  const counted = new Float64Array(logs.length);
  const now = logOdds(logs, counted);
  return Float64Array.from(evidence, ({ piece, words, idle }, p) => {
    if (idle?.[row] === 1) return 0;
    const own = logs[p];
    let most = 0;
    for (const answer of answersOf(
      table.pieces.find((w) => w.piece === piece),
      words,
    ).logs) {
      logs[p] = answer;
      most = Math.max(most, Math.abs(logOdds(logs, counted) - now));
    }
    logs[p] = own;
    return most;
  });
}
