import type { OriginWeights } from '../../plan/schema.ts';
import { furthest } from './furthest.ts';
import { LEAST_MOVE, probabilityOf } from './odds.ts';
import { pieceOf } from './pieces.ts';
import { rowLogs } from './rowLogs.ts';
import { ORIGIN_VERDICTS, type OriginColumns, type Sensitivity } from './types.ts';
import { verdictOf } from './verdictOf.ts';
import { weigher } from './weigher.ts';

/**
 * What the evidence on one candidate hangs on: each known piece left out in turn, ranks and themes counted anew, and the
 * piece whose checking could move the odds most.
 *
 * Of a tree that a statement or an inventory decides, this tells what the evidence alone says: the verdicts are those that
 * would be given without the decision, and a piece "turns" the verdict where it turns that one.
 *
 * @param table that the columns were judged with.
 */
export function sensitivity(columns: OriginColumns, table: OriginWeights, row: number): Sensitivity {
  const { evidence } = columns;
  const { logOdds, themes } = weigher(
    evidence.map((e) => e.piece),
    table.prior,
  );
  const logs = rowLogs(evidence, row);
  const counted = new Float64Array(logs.length);
  const says = (): { logOdds: number; probability: number; verdict: number } => {
    const odds = logOdds(logs, counted);
    const probability = probabilityOf(odds);
    return { logOdds: odds, probability, verdict: verdictOf(probability, themes(logs)) };
  };
  const now = says();
  const without = evidence.flatMap(({ piece }, p) => {
    const own = logs[p];
    if (Number.isNaN(own)) return [];
    logs[p] = NaN;
    const left = says();
    logs[p] = own;
    return [
      {
        piece,
        title: pieceOf(piece)?.title ?? piece,
        logOdds: left.logOdds,
        probability: left.probability,
        verdict: ORIGIN_VERDICTS[left.verdict],
        turns: left.verdict !== now.verdict,
      },
    ];
  });
  without.sort((a, b) => Math.abs(b.logOdds - now.logOdds) - Math.abs(a.logOdds - now.logOdds));
  return { without, check: checkOf(columns, table, row) };
}

function checkOf(columns: OriginColumns, table: OriginWeights, row: number): Sensitivity['check'] {
  const moves = furthest(columns, table, row);
  const most = moves.indexOf(moves.reduce((a, b) => Math.max(a, b), 0));
  const found = pieceOf(columns.evidence[most]?.piece);
  if (!found || !(moves[most] >= LEAST_MOVE)) return null;
  return {
    piece: found.id,
    title: found.title,
    known: !Number.isNaN(columns.evidence[most].value[row]),
    couldMove: moves[most],
    check: found.check,
  };
}
