/** Evidence drawn at random, over all pieces that there are, and tables of weights for it. */
import type { Random } from '../../../src/domain/base/rng.ts';
import type { OriginWeights } from '../../../src/domain/plan/schema.ts';
import { pieces } from '../../../src/domain/vetting/origin/pieces.ts';
import type { Decisions, EvidenceValues } from '../../../src/domain/vetting/origin/types.ts';

/** @param known share of values that are. */
export function drawEvidence(random: Random, n: number, known = 0.5): EvidenceValues[] {
  return pieces.map(({ id, words }) => ({
    piece: id,
    words,
    value: Float64Array.from({ length: n }, () => {
      const draw = random();
      return random() >= known ? NaN : words ? Math.floor(draw * words.length) : draw;
    }),
  }));
}

/** Three steps for a number from 0 to 1, a ratio for each class; log ratios up to `size`, none of them alike. */
export function drawTable(random: Random, size = 1.2, version = 'drawn'): OriginWeights {
  const ratio = (): number => Math.exp((2 * random() - 1) * size);
  return {
    version,
    note: '',
    prior: ratio(),
    pieces: pieces.map(({ id, words }) => ({
      piece: id,
      note: '',
      ...(words
        ? { classes: Object.fromEntries(words.map((w) => [w, ratio()])) }
        : { steps: [{ below: 0.3, ratio: ratio() }, { below: 0.7, ratio: ratio() }, { ratio: ratio() }] }),
    })),
  };
}

export const undecided = (n: number): Decisions => ({
  decided: new Uint8Array(n),
  decidedBy: new Array<string>(n).fill(''),
});

/** What a table makes of the answers to one row, worked out from the method's own words, for checks. */
export function weighedByHand(
  evidence: readonly EvidenceValues[],
  table: OriginWeights,
  row: number,
): { logOdds: number; themes: number; verdict: string } {
  let logOdds = Math.log(table.prior);
  const byTheme = new Map<string, number[]>();
  evidence.forEach(({ piece, value, words }) => {
    const x = value[row];
    if (Number.isNaN(x)) return;
    const weight = table.pieces.find((w) => w.piece === piece);
    const ratio = words
      ? (weight?.classes?.[words[x]] ?? 1)
      : (weight?.steps?.find((s) => s.below === undefined || x < s.below)?.ratio ?? 1);
    const theme = pieces.find((p) => p.id === piece)?.theme ?? '';
    byTheme.set(theme, [...(byTheme.get(theme) ?? []), Math.log(ratio)]);
  });
  for (const logs of byTheme.values())
    [...logs].sort((a, b) => Math.abs(b) - Math.abs(a)).forEach((log, rank) => (logOdds += log / 2 ** rank));
  const p = 1 / (1 + Math.exp(-logOdds));
  const themes = byTheme.size;
  const verdict =
    themes < 2
      ? 'not enough evidence'
      : p >= 0.8
        ? 'likely natural'
        : p <= 0.2
          ? 'likely planted'
          : 'unsettled';
  return { logOdds, themes, verdict };
}
