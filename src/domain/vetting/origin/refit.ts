import { leaveOneOut, ridgeLogistic, type RidgeLogistic } from '../../base/ridgeLogistic.ts';
import type { OriginWeights, PieceWeight } from '../../plan/schema.ts';
import { answersOf } from './answers.ts';
import { probabilityOf, shares } from './odds.ts';
import { pieceOf } from './pieces.ts';
import { brier, reliability } from './reliability.ts';
import type { NoRefit, OriginColumns, Outcome, Refit } from './types.ts';
import { themeGroups, weigher } from './weigher.ts';

/** Fewer settled outcomes than this are not fitted (methods: natural origin). */
export const LEAST_OUTCOMES = 30;
/** A kind with fewer outcomes than this is cautioned about (ours). */
const FEW = 10;
/** Weight of the penalty: that the true log ratio lies one (a factor e) from the table's is one standard deviation (ours). */
const LAMBDA = 1;
/** Of a log ratio: less is the rounding of the fit. */
const LEAST_CHANGE = 1e-9;
/** No fitted ratio, nor the prior, leaves 1/100 to 100, unless the table went further itself (ours: no few hundred trees tell more). */
const MOST = Math.log(100);

/**
 * Weights fitted anew on trees whose origin is settled: penalised logistic regression, shrunk to the present table.
 *
 * Coefficients are the changes of the log prior and of the log ratio of each answer that an outcome has; the factor of an
 * answer is the share of it that counts under the present table (1, 1/2, 1/4 ... within a theme), and the offset what the
 * present table says. An answer that no outcome has keeps its ratio. Outcomes with no evidence at all are left out.
 *
 * The judgement of the fit is by leave-one-out: each outcome is judged, with the ranks of the fitted table, by a fit that
 * has not seen it. The present table is judged as it is.
 *
 * @param columns evidence on all candidates. @param version of the table that is made.
 */
export function refit(
  columns: OriginColumns,
  table: OriginWeights,
  outcomes: readonly Outcome[],
  version: string,
): Refit | NoRefit {
  const { evidence } = columns;
  const known = outcomes.filter(({ row }) => evidence.some((e) => !Number.isNaN(e.value[row])));
  const natural = known.filter((o) => o.natural).length;
  const planted = known.length - natural;
  const counts = { natural, planted, leftOut: outcomes.length - known.length };
  if (known.length < LEAST_OUTCOMES || natural === 0 || planted === 0)
    return { kind: 'too few', ...counts, needed: LEAST_OUTCOMES };

  const answers = evidence.map((e) =>
    answersOf(
      table.pieces.find((w) => w.piece === e.piece),
      e.words,
    ),
  );
  const came = known.map((o) => o.natural);
  const weigh = weigher(
    evidence.map((e) => e.piece),
    1,
  );
  const counted = new Float64Array(evidence.length);
  /** Log odds of an outcome, where `logOf` gives the log ratio of an answer. */
  const oddsOf = (
    { row }: Outcome,
    prior: number,
    logOf: (piece: number, answer: number) => number,
  ): number =>
    Math.log(prior) +
    weigh.logOdds(
      answers.map((a, p) => {
        const value = evidence[p].value[row];
        if (Number.isNaN(value)) return NaN;
        const answer = a.indexOf(value);
        return answer < 0 ? 0 : logOf(p, answer);
      }),
      counted,
    );

  const present = Float64Array.from(known, (o) => oddsOf(o, table.prior, (p, a) => answers[p].logs[a]));
  const { problem, coefficientOf, met } = problemOf(columns, answers, known, present);
  const fitted = ridgeLogistic(problem);
  const after = (b: Float64Array) => ({
    prior: changed(table.prior, b[0]),
    ratio: (p: number, answer: number): number => {
      const at = coefficientOf(p, answer);
      const before = answers[p].ratios[answer];
      return at < 0 ? before : changed(before, b[at]);
    },
  });

  const unseen = leaveOneOut(problem, fitted).map((b, i) => {
    const { prior, ratio } = after(b);
    return probabilityOf(oddsOf(known[i], prior, (p, a) => Math.log(ratio(p, a))));
  });
  const before = present.map(probabilityOf);
  const { prior, ratio } = after(fitted);
  const kinds = `${known.length} outcomes (${natural} natural, ${planted} planted)`;
  const cautions = cautionsOf(natural, planted, table.prior, prior);
  return {
    kind: 'fitted',
    table: {
      version,
      note: `Re-fitted on ${kinds} from the table "${table.version}". Answers that no outcome had keep their ratio.`,
      prior,
      pieces: table.pieces.map((weight, k) => {
        const p = evidence.findIndex((e) => e.piece === weight.piece);
        // Of a piece that stands twice the first entry is used, and only that is fitted.
        const first = table.pieces.findIndex((w) => w.piece === weight.piece) === k;
        return p < 0 || !first ? weight : fittedWeight(weight, evidence[p].words, (a) => ratio(p, a));
      }),
    },
    ...counts,
    cautions,
    brier: { before: brier(before, came), after: brier(unseen, came) },
    reliability: { before: reliability(before, came), after: reliability(unseen, came) },
    ratios: met
      .map(({ p, answer, outcomes: n }) => ({
        piece: evidence[p].piece,
        title: pieceOf(evidence[p].piece)?.title ?? evidence[p].piece,
        answer,
        before: answers[p].ratios[answer],
        after: ratio(p, answer),
        outcomes: n,
      }))
      .sort((a, b) => Math.abs(Math.log(b.after / b.before)) - Math.abs(Math.log(a.after / a.before))),
    prior: { before: table.prior, after: prior },
  };
}

/** One coefficient for the prior, then one for each answer that an outcome has. */
function problemOf(
  { evidence }: OriginColumns,
  answers: ReadonlyArray<ReturnType<typeof answersOf>>,
  known: readonly Outcome[],
  offset: Float64Array,
): {
  problem: RidgeLogistic;
  coefficientOf: (piece: number, answer: number) => number;
  met: Array<{ p: number; answer: number; outcomes: number }>;
} {
  const met: Array<{ p: number; answer: number; outcomes: number }> = [];
  const numbered = answers.map((a) => new Int32Array(a.logs.length).fill(-1));
  const groups = themeGroups(evidence.map((e) => e.piece));
  const rows = known.map(({ row }) => {
    const at = [0];
    const x = [1];
    for (const group of groups) {
      const given = group.map((p) => answers[p].indexOf(evidence[p].value[row]));
      const logs = group.map((p, k) =>
        Number.isNaN(evidence[p].value[row]) ? NaN : given[k] < 0 ? 0 : answers[p].logs[given[k]],
      );
      const share = new Float64Array(group.length);
      shares(logs, share);
      group.forEach((p, k) => {
        if (given[k] < 0) return;
        if (numbered[p][given[k]] < 0) numbered[p][given[k]] = met.push({ p, answer: given[k], outcomes: 0 });
        const coefficient = numbered[p][given[k]];
        met[coefficient - 1].outcomes++;
        at.push(coefficient);
        x.push(share[k]);
      });
    }
    return { at, x };
  });
  return {
    problem: {
      rows,
      offset,
      success: known.map((o) => o.natural),
      coefficients: met.length + 1,
      lambda: LAMBDA,
    },
    coefficientOf: (p, answer) => numbered[p][answer],
    met,
  };
}

/** A ratio whose logarithm changes, within bounds, to 4 significant digits; itself where it does not change. */
function changed(ratio: number, change: number): number {
  if (Math.abs(change) < LEAST_CHANGE) return ratio;
  const now = Math.log(ratio);
  const next = Math.min(Math.max(now + change, Math.min(-MOST, now)), Math.max(MOST, now));
  return Number(Math.exp(next).toPrecision(4));
}

function fittedWeight(
  weight: PieceWeight,
  words: readonly string[] | null,
  ratio: (answer: number) => number,
): PieceWeight {
  if (!words)
    return weight.steps
      ? { ...weight, steps: weight.steps.map((s, a) => ({ ...s, ratio: ratio(a) })) }
      : weight;
  if (!weight.classes) return weight;
  const { classes } = weight;
  const listed = words.filter((w) => Object.hasOwn(classes, w));
  return {
    ...weight,
    classes: { ...classes, ...Object.fromEntries(listed.map((word, a) => [word, ratio(a)])) },
  };
}

function cautionsOf(natural: number, planted: number, before: number, after: number): string[] {
  const cautions: string[] = [];
  const [kind, few] = natural < planted ? ['natural', natural] : ['planted', planted];
  if (few < FEW)
    cautions.push(
      `Only ${few} of the outcomes ${few === 1 ? 'is' : 'are'} ${kind}: the fit leans on few trees.`,
    );
  if (Math.abs(Math.log(after / before)) >= Math.log(1.25))
    cautions.push(
      'The prior odds follow the share of natural trees among the outcomes: they are right only where the trees that were asked about are like those that are not.',
    );
  return cautions;
}
