import { rng, shuffle } from '../../src/domain/base/rng.ts';
import { judge } from '../../src/domain/vetting/origin/judge.ts';
import { refit } from '../../src/domain/vetting/origin/refit.ts';
import { brier, reliability } from '../../src/domain/vetting/origin/reliability.ts';
import {
  ORIGIN_VERDICTS,
  type OriginColumns,
  type ReliabilityBin,
} from '../../src/domain/vetting/origin/types.ts';
import { builtInWeights } from '../../src/domain/vetting/origin/weights.ts';
import type { JudgedDemo } from './judged.ts';

/** Seed of the halves of the re-fit. */
export const SEED = 20_261_130;
const NATURAL = ORIGIN_VERDICTS.indexOf('likely natural');

/** How the trees of some rows were judged against what they are. */
export interface Figures {
  /** Trees by truth and verdict, decided ones apart: [natural, planted][verdict]. */
  readonly judged: readonly [readonly number[], readonly number[]];
  readonly decided: readonly [readonly number[], readonly number[]];
  /** Of all planted trees, those that are not called natural; of all natural ones, those that are. */
  readonly plantedKept: number;
  readonly naturalFound: number;
  /** Of the trees that no record decided. */
  readonly brier: number;
  readonly reliability: readonly ReliabilityBin[];
}

export function figuresOf(
  origin: OriginColumns,
  natural: readonly boolean[],
  rows: readonly number[],
): Figures {
  const table = (): [number[], number[]] => [
    [0, 0, 0, 0],
    [0, 0, 0, 0],
  ];
  const judged = table();
  const decided = table();
  for (const i of rows) (origin.decided[i] ? decided : judged)[natural[i] ? 0 : 1][origin.verdict[i]]++;
  const share = (truth: 0 | 1): number => {
    const of = [...judged[truth], ...decided[truth]].reduce((a, b) => a + b, 0);
    return (judged[truth][NATURAL] + decided[truth][NATURAL]) / of;
  };
  const open = rows.filter((i) => !origin.decided[i]);
  const predicted = open.map((i) => origin.probability[i]);
  const came = open.map((i) => natural[i]);
  return {
    judged,
    decided,
    plantedKept: 1 - share(1),
    naturalFound: share(0),
    brier: brier(predicted, came),
    reliability: reliability(predicted, came),
  };
}

/** The built-in table and one fitted on a random half of the trees, both on the other half. */
export function onTheOtherHalf(demo: JudgedDemo): { fittedOn: number; before: Figures; after: Figures } {
  const origin = demo.judged[0].origin;
  const mixed = shuffle([...demo.rows], rng(SEED));
  const half = Math.floor(mixed.length / 2);
  const outcomes = mixed.slice(0, half).map((row) => ({ row, natural: demo.natural[row] }));
  const fit = refit(origin, builtInWeights, outcomes, 'half of the demo');
  if (fit.kind !== 'fitted') throw new Error('too few outcomes to fit');
  const other = mixed.slice(half);
  return {
    fittedOn: half,
    before: figuresOf(origin, demo.natural, other),
    after: figuresOf(judge(origin.evidence, fit.table, origin), demo.natural, other),
  };
}

/** Kinds of trees with how they were called, those that were mistaken most often first; natural and planted apart. */
export function byKind(
  demo: JudgedDemo,
): Array<{ kind: string; natural: boolean; verdicts: number[]; n: number }> {
  const { verdict } = demo.judged[0].origin;
  const kinds = new Map<string, { kind: string; natural: boolean; verdicts: number[]; n: number }>();
  for (const i of demo.rows) {
    const kind = demo.kind[i];
    const row = kinds.get(kind) ?? { kind, natural: demo.natural[i], verdicts: [0, 0, 0, 0], n: 0 };
    row.verdicts[verdict[i]]++;
    row.n++;
    kinds.set(kind, row);
  }
  const right = (k: { natural: boolean; verdicts: number[]; n: number }): number =>
    (k.natural ? k.verdicts[NATURAL] : k.n - k.verdicts[NATURAL]) / k.n;
  return [...kinds.values()].sort(
    (a, b) => Number(a.natural) - Number(b.natural) || right(a) - right(b) || (a.kind < b.kind ? -1 : 1),
  );
}
