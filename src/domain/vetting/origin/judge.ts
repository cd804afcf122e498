import type { OriginWeights } from '../../plan/schema.ts';
import { answersOf } from './answers.ts';
import { probabilityOf } from './odds.ts';
import type { Decisions, EvidenceValues, OriginColumns } from './types.ts';
import { verdictOf } from './verdictOf.ts';
import { weigher } from './weigher.ts';

/**
 * Odds that each candidate grew by itself rather than was planted (see weigher.ts). A piece that is not known counts ×1.
 * Fewer than two themes measured: "not enough evidence", whatever the number.
 *
 * A decision on record makes the probability 1 or 0, while `logOdds` and the evidence keep what the measures say.
 */
export function judge(
  values: readonly EvidenceValues[],
  table: OriginWeights,
  { decided, decidedBy }: Decisions,
): OriginColumns {
  const n = decided.length;
  const evidence = values.map((own) => {
    const { piece, value, words } = own;
    const { logOf } = answersOf(
      table.pieces.find((w) => w.piece === piece),
      words,
    );
    const logRatio = new Float64Array(n);
    for (let i = 0; i < n; i++) logRatio[i] = logOf(value[i]);
    return { ...own, logRatio, counted: new Float64Array(n) };
  });
  const weigh = weigher(
    values.map((e) => e.piece),
    table.prior,
  );
  const logs = new Float64Array(evidence.length);
  const counted = new Float64Array(evidence.length);
  const logOdds = new Float64Array(n);
  const themes = new Uint8Array(n);
  const probability = new Float64Array(n);
  const verdict = new Uint8Array(n);
  for (let i = 0; i < n; i++) {
    for (let p = 0; p < logs.length; p++)
      logs[p] = Number.isNaN(evidence[p].value[i]) ? NaN : evidence[p].logRatio[i];
    logOdds[i] = weigh.logOdds(logs, counted);
    for (let p = 0; p < logs.length; p++) evidence[p].counted[i] = counted[p];
    themes[i] = weigh.themes(logs);
    probability[i] = decided[i] === 1 ? 1 : decided[i] === 2 ? 0 : probabilityOf(logOdds[i]);
    verdict[i] = verdictOf(probability[i], themes[i], decided[i] !== 0);
  }
  return { tableVersion: table.version, evidence, logOdds, probability, verdict, themes, decided, decidedBy };
}
