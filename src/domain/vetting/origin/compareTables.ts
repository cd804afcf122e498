import type { OriginWeights } from '../../plan/schema.ts';
import { judge } from './judge.ts';
import { ORIGIN_VERDICTS, type OriginColumns, type TableComparison } from './types.ts';

/** The verdicts that another table of weights gives on the same evidence and the same decisions. */
export function compareTables(columns: OriginColumns, table: OriginWeights): TableComparison {
  const { probability, verdict } = judge(columns.evidence, table, columns);
  const moves = new Uint32Array(ORIGIN_VERDICTS.length ** 2);
  const changed: number[] = [];
  verdict.forEach((to, row) => {
    const from = columns.verdict[row];
    moves[from * ORIGIN_VERDICTS.length + to]++;
    if (from !== to) changed.push(row);
  });
  const by = (row: number): number => Math.abs(probability[row] - columns.probability[row]);
  return {
    from: columns.tableVersion,
    to: table.version,
    probability,
    verdict,
    changed: Int32Array.from(changed.sort((a, b) => by(b) - by(a) || a - b)),
    moves,
  };
}
