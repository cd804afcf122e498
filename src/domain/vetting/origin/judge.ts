import type { OriginWeights } from '../../plan/schema.ts';
import { discount, LEAST_THEMES, LIKELY_NATURAL, LIKELY_PLANTED, probabilityOf } from './odds.ts';
import { pieceOf } from './pieces.ts';
import { ORIGIN_VERDICTS, THEMES, type Decisions, type EvidenceValues, type OriginColumns } from './types.ts';
import { logRatioOf } from './weights.ts';

/** Index into ORIGIN_VERDICTS. @param decided a decision on record needs no themes. */
export function verdictOf(probability: number, themes: number, decided: boolean): number {
  return ORIGIN_VERDICTS.indexOf(
    !decided && themes < LEAST_THEMES
      ? 'not enough evidence'
      : probability >= LIKELY_NATURAL
        ? 'likely natural'
        : probability <= LIKELY_PLANTED
          ? 'likely planted'
          : 'unsettled',
  );
}

/**
 * Odds that each candidate grew by itself rather than was planted: prior odds times a likelihood ratio for each piece of
 * evidence (weights of evidence, Good 1950), with the ratios of one theme discounted (see odds.ts). A piece that is not
 * known counts ×1. Fewer than two themes measured: "not enough evidence", whatever the number.
 *
 * A decision on record makes the probability 1 or 0, while `logOdds` and the evidence keep what the measures say.
 */
export function judge(
  values: readonly EvidenceValues[],
  table: OriginWeights,
  { decided, decidedBy }: Decisions,
): OriginColumns {
  const n = decided.length;
  const evidence = values.map(({ piece, value, words }) => {
    const weight = table.pieces.find((w) => w.piece === piece);
    const logRatio = new Float64Array(n);
    for (let i = 0; i < n; i++) logRatio[i] = logRatioOf(weight, value[i], words);
    return { piece, value, words, logRatio, counted: new Float64Array(n) };
  });
  const logOdds = new Float64Array(n).fill(Math.log(table.prior));
  const themes = new Uint8Array(n);
  for (const theme of THEMES) {
    const own = evidence.filter((e) => pieceOf(e.piece)?.theme === theme);
    if (own.length === 0) continue;
    const logs = new Float64Array(own.length);
    const counted = new Float64Array(own.length);
    for (let i = 0; i < n; i++) {
      let known = 0;
      for (let p = 0; p < own.length; p++) {
        logs[p] = own[p].logRatio[i];
        if (!Number.isNaN(own[p].value[i])) known = 1;
      }
      discount(logs, counted);
      for (let p = 0; p < own.length; p++) {
        own[p].counted[i] = counted[p];
        logOdds[i] += counted[p];
      }
      themes[i] += known;
    }
  }
  const probability = new Float64Array(n);
  const verdict = new Uint8Array(n);
  for (let i = 0; i < n; i++) {
    probability[i] = decided[i] === 1 ? 1 : decided[i] === 2 ? 0 : probabilityOf(logOdds[i]);
    verdict[i] = verdictOf(probability[i], themes[i], decided[i] !== 0);
  }
  return { tableVersion: table.version, evidence, logOdds, probability, verdict, themes, decided, decidedBy };
}
