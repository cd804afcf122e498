import type { Candidates } from '../../candidates/candidates.ts';
import type { OriginWeights, Statement } from '../../plan/schema.ts';
import type { Measures } from '../vetting.ts';
import { discount, LEAST_THEMES, LIKELY_NATURAL, LIKELY_PLANTED, probabilityOf } from './odds.ts';
import { pieces } from './pieces.ts';
import { ORIGIN_VERDICTS, THEMES, type EvidenceColumn, type OriginColumns } from './types.ts';
import { logRatioOf } from './weights.ts';

/**
 * Odds that each candidate grew by itself rather than was planted: prior odds times a likelihood ratio for each piece of
 * evidence (weights of evidence, Good 1950), with the ratios of one theme discounted (see odds.ts). A piece that is not
 * known counts ×1. Fewer than two themes measured: "not enough evidence", whatever the number.
 *
 * A statement on record decides: the verdict follows it and the probability becomes 1 or 0, while `logOdds` and the evidence
 * keep what the measures say. Of several statements on one tree the latest by date decides, and names the others.
 *
 * @param statements of the plan, by candidate id.
 * @param settingNames kinds of place that `measures.setting` counts in.
 */
export function origin(
  candidates: Candidates,
  measures: Measures,
  table: OriginWeights,
  statements: readonly Statement[],
  settingNames: readonly string[],
): OriginColumns {
  const { n } = candidates;
  const evidence: EvidenceColumn[] = pieces.map((piece) => {
    const weight = table.pieces.find((w) => w.piece === piece.id);
    const value = piece.measure({ candidates, measures, settingNames });
    const logRatio = new Float64Array(n);
    for (let i = 0; i < n; i++) logRatio[i] = logRatioOf(weight, value[i], piece.words);
    return { piece: piece.id, value, words: piece.words, logRatio, counted: new Float64Array(n) };
  });
  const logOdds = new Float64Array(n).fill(Math.log(table.prior));
  const themes = new Uint8Array(n);
  for (const theme of THEMES) {
    const own = evidence.filter((_, p) => pieces[p].theme === theme);
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
  const { decided, decidedBy } = decisions(candidates.id, statements);
  const probability = new Float64Array(n);
  const verdict = new Uint8Array(n);
  for (let i = 0; i < n; i++) {
    probability[i] = decided[i] === 1 ? 1 : decided[i] === 2 ? 0 : probabilityOf(logOdds[i]);
    verdict[i] = ORIGIN_VERDICTS.indexOf(
      decided[i] === 0 && themes[i] < LEAST_THEMES
        ? 'not enough evidence'
        : probability[i] >= LIKELY_NATURAL
          ? 'likely natural'
          : probability[i] <= LIKELY_PLANTED
            ? 'likely planted'
            : 'unsettled',
    );
  }
  return { tableVersion: table.version, evidence, logOdds, probability, verdict, themes, decided, decidedBy };
}

function decisions(
  ids: readonly string[],
  statements: readonly Statement[],
): Pick<OriginColumns, 'decided' | 'decidedBy'> {
  const decided = new Uint8Array(ids.length);
  const decidedBy = new Array<string>(ids.length).fill('');
  const byId = new Map<string, Statement[]>();
  for (const s of statements) byId.set(s.candidate, [...(byId.get(s.candidate) ?? []), s]);
  if (byId.size === 0) return { decided, decidedBy };
  const told = (s: Statement): string =>
    `${s.origin}: ${s.reason} (${[s.by, s.date].filter(Boolean).join(', ') || 'nobody named'})`;
  ids.forEach((id, i) => {
    const own = byId.get(id);
    if (!own) return;
    // A stable sort: of one date the later in the list comes last and decides.
    const inOrder = [...own].sort((a, b) => (a.date < b.date ? -1 : a.date > b.date ? 1 : 0));
    const last = inOrder[inOrder.length - 1];
    const against = inOrder.filter((s) => s.origin !== last.origin);
    decided[i] = last.origin === 'natural' ? 1 : 2;
    decidedBy[i] =
      told(last) + (against.length > 0 ? `; earlier said otherwise: ${against.map(told).join('; ')}` : '');
  });
  return { decided, decidedBy };
}
