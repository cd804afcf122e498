/**
 * Whether the match keeps its promise in this area: how many pairs of reference cells of one zone lie within the bounds that
 * a normal distribution would have them in, and what would mend it where they do not.
 */
import { inWords } from '../../base/inWords.ts';
import { drawInteger, rng } from '../../base/rng.ts';
import { chiSquareQuantile } from '../../base/statistics.ts';
import { noLogarithm } from './logarithm.ts';
import { metric } from './metric.ts';
import { pooledCovariance } from './pooledCovariance.ts';
import type { Spread, SpreadCheck, Variable } from './types.ts';

const MOST_PAIRS = 20_000;
const SEED = 20_262;
const EXPECTED = [0.5, 0.8, 0.95] as const;

/**
 * Shares that are off by more than this are spoken of: a match of 0.05 then stands for more than 0.08 or less than 0.02 of
 * the pairs, which moves trees over the usual threshold. (ours)
 */
const MOST_OFF = 0.03;
/**
 * Of few cells chance alone moves a share further: its standard error is about 0.2 / sqrt(cells) (simulated: 1 to 6 normal
 * variables, 30 to 2,000 cells), three of which are allowed for. From 400 cells on the 3 points decide.
 */
const BY_CHANCE = 3 * 0.2;
/** By so much the worst share has to come nearer for logarithms to be worth their name. (ours) */
const CLEARLY = 0.01;

export interface CheckedCells {
  /** The variables of the spread, k. */
  readonly variables: readonly Variable[];
  /** In the file's units, and after transforms: a column a variable, one row a cell. */
  readonly plain: readonly Float64Array[];
  readonly values: readonly Float64Array[];
  readonly zoneOf: Int32Array;
  readonly zones: number;
  /** Names of the zones; of the circle none. */
  readonly names: readonly string[];
}

/** Two cells of one zone a pair. */
interface Pairs {
  readonly a: Int32Array;
  readonly b: Int32Array;
  readonly zone: Int32Array;
}

/**
 * Seeded pairs of different cells of one zone. A zone of n cells gets pairs in proportion to n - 1, its degrees of freedom:
 * it then counts here as it does in S, and the mean of d dᵀ over the pairs is 2S.
 */
function drawPairs(complete: readonly number[], zoneOf: Int32Array, zones: number): Pairs {
  const cells: number[][] = Array.from({ length: zones }, () => []);
  for (const i of complete) cells[zoneOf[i]].push(i);
  const freedom = cells.map((c) => Math.max(0, c.length - 1));
  const all = freedom.reduce((sum, f) => sum + f, 0);
  const possible = freedom.reduce((sum, f) => sum + ((f + 1) * f) / 2, 0);
  const n = Math.min(MOST_PAIRS, possible);
  const pairs = { a: new Int32Array(n), b: new Int32Array(n), zone: new Int32Array(n) };
  const random = rng(SEED);
  let passed = 0;
  let at = 0;
  cells.forEach((own, zone) => {
    passed += freedom[zone];
    for (const end = Math.round((n * passed) / all); at < end; at++) {
      const a = drawInteger(random, own.length);
      const b = drawInteger(random, own.length - 1);
      pairs.a[at] = own[a];
      pairs.b[at] = own[b < a ? b : b + 1];
      pairs.zone[at] = zone;
    }
  });
  return pairs;
}

/** D² of every pair, and the degrees of freedom. */
function distances(
  { a, b }: Pairs,
  values: readonly Float64Array[],
  covariance: Float64Array,
): { d2: Float64Array; kept: number } {
  const k = values.length;
  const { whitening, kept } = metric(
    covariance,
    values.map(() => ''),
  );
  const d2 = new Float64Array(a.length);
  const d = new Float64Array(k);
  for (let p = 0; p < d2.length; p++) {
    for (let v = 0; v < k; v++) d[v] = values[v][a[p]] - values[v][b[p]];
    for (let r = 0; r < kept; r++) {
      let w = 0;
      for (let v = 0; v < k; v++) w += whitening[r * k + v] * d[v];
      d2[p] += w * w;
    }
  }
  return { d2, kept };
}

function sharesUnder({ d2, kept }: { d2: Float64Array; kept: number }): number[] {
  return EXPECTED.map((p) => {
    const bound = chiSquareQuantile(p, kept);
    return d2.reduce((n, x) => (x <= bound ? n + 1 : n), 0) / d2.length;
  });
}

/** Position of the share that is farthest off. */
const worstOf = (shares: readonly number[]): number =>
  EXPECTED.reduce((w, p, i) => (Math.abs(shares[i] - p) > Math.abs(shares[w] - EXPECTED[w]) ? i : w), 0);
const gapOf = (shares: readonly number[]): number => {
  const w = worstOf(shares);
  return Math.abs(shares[w] - EXPECTED[w]);
};

const percent = (share: number): string => `${Math.round(100 * share)} %`;

/**
 * Shares of pairs whose D² lies under the 0.50, 0.80 and 0.95 quantile of chi-square, on up to 20,000 pairs, and advice where
 * one is off by more than 3 points and by more than chance would have it. null where no two cells lie in one zone.
 *
 * Advice: logarithms of variables that are compared as they are, where they bring the worst share nearer by a point; where
 * none does, what the match then means and whether the zones or the variables are to blame.
 * @param spread of these cells, or as typed in.
 */
export function spreadCheck(
  cells: CheckedCells,
  spread: Pick<Spread, 'covariance' | 'basis'>,
): SpreadCheck | null {
  const pooled = pooledCovariance(cells.values, cells.zoneOf, cells.zones);
  const pairs = drawPairs(pooled.complete, cells.zoneOf, cells.zones);
  if (pairs.a.length === 0) return null;
  const found = distances(pairs, cells.values, spread.covariance);
  const shares = sharesUnder(found);
  const limit = Math.max(MOST_OFF, BY_CHANCE / Math.sqrt(pooled.complete.length));
  const advise = (): Pick<SpreadCheck, 'advice' | 'log'> => {
    if (spread.basis === 'typed')
      return { advice: typedAdvice(cells.variables, spread.covariance, pooled.covariance, shares), log: [] };
    const mended = logarithms(cells, pairs, pooled.complete, shares, limit);
    if (mended.log.length > 0) return mended;
    const pairsOf = spread.basis === 'circle' ? 'pairs inside the circle' : 'pairs inside one zone';
    return { advice: [...meaning(shares, limit, pairsOf), blame(cells, pairs, found, shares)], log: [] };
  };
  return {
    pairs: pairs.a.length,
    shares: EXPECTED.map((expected, i) => ({ expected, observed: shares[i] })),
    ...(gapOf(shares) > limit ? advise() : { advice: [], log: [] }),
  };
}

/**
 * Logarithms that bring the worst share nearer. Each variable is looked at alone first, since among many others one that is
 * skewed hardly shows; those that gain by it are then taken together, the one that gains most first, as far as is needed.
 */
function logarithms(
  { variables, plain, values, zoneOf, zones }: CheckedCells,
  pairs: Pairs,
  complete: readonly number[],
  before: readonly number[],
  limit: number,
): Pick<SpreadCheck, 'advice' | 'log'> {
  const sharesOf = (columns: readonly Float64Array[]): number[] =>
    sharesUnder(distances(pairs, columns, pooledCovariance(columns, zoneOf, zones).covariance));
  const gains = variables.flatMap((variable, v) => {
    const least = complete.reduce((low, i) => Math.min(low, plain[v][i]), Infinity);
    if (variable.transform !== 'identity' || noLogarithm(variable.unit, least) !== null) return [];
    // Other variables may be missing where this one is not: no cell but the complete ones counts.
    const column = new Float64Array(plain[v].length).fill(NaN);
    for (const i of complete) column[i] = Math.log(plain[v][i]);
    const own = values[v].map((x, i) => (Number.isNaN(column[i]) ? NaN : x));
    const gain = gapOf(sharesOf([own])) - gapOf(sharesOf([column]));
    return gain >= CLEARLY ? [{ v, column, gain }] : [];
  });
  gains.sort((a, b) => b.gain - a.gain);

  // Of two that go together one alone may make it worse: so many of the first are judged, not each.
  let columns = values;
  let best = { count: 0, shares: before };
  for (const [i, { v, column }] of gains.entries()) {
    if (gapOf(best.shares) <= limit) break;
    columns = columns.map((x, w) => (w === v ? column : x));
    const shares = sharesOf(columns);
    if (gapOf(shares) < gapOf(best.shares)) best = { count: i + 1, shares };
  }
  if (gapOf(best.shares) > gapOf(before) - CLEARLY) return { advice: [], log: [] };
  const taken = gains.slice(0, best.count).map(({ v }) => v);
  const w = worstOf(before);
  const [are, logs] = taken.length > 1 ? ['are', 'their logarithms'] : ['is', 'its logarithm'];
  return {
    advice: [
      `${inWords(taken.map((v) => variables[v].title))} ${are} skewed: comparing ${logs} brings the ${percent(EXPECTED[w])} share from ${percent(before[w])} to ${percent(best.shares[w])}.`,
    ],
    log: taken.map((v) => variables[v].id),
  };
}

/** What a match means where the shares are off, for each that is. */
function meaning(shares: readonly number[], limit: number, pairsOf: string): string[] {
  return EXPECTED.flatMap((p, i) => {
    if (Math.abs(shares[i] - p) <= limit) return [];
    const match = (1 - p).toFixed(2);
    const beyond = percent(1 - shares[i]);
    return shares[i] < p
      ? [`A match of ${match} is cautious here: ${beyond} of ${pairsOf} differ by more.`]
      : [`A match of ${match} is optimistic here: only ${beyond} of ${pairsOf} differ by more.`];
  });
}

/** Whether the shares come right once every zone is measured by how varied it is itself. */
function blame(
  { zones, names }: CheckedCells,
  { zone }: Pairs,
  { d2, kept }: { d2: Float64Array; kept: number },
  shares: readonly number[],
): string {
  const sum = new Float64Array(zones);
  const count = new Float64Array(zones);
  d2.forEach((x, p) => {
    sum[zone[p]] += x;
    count[zone[p]]++;
  });
  const mean = sum.map((s, z) => s / count[z]);
  const own = sharesUnder({ d2: d2.map((x, p) => (x * kept) / mean[zone[p]]), kept });
  if (gapOf(own) <= gapOf(shares) / 2) {
    const held = [...mean.keys()].filter((z) => count[z] > 0).sort((a, b) => mean[b] - mean[a]);
    const [most, least] = [names[held[0]], names[held[held.length - 1]]];
    return `Zones differ in how varied they are, ${most} the most and ${least} the least: the match is cautious in a varied zone and optimistic in a uniform one.`;
  }
  // Mardia 1970 (Biometrika 57:519-530): the mean of D⁴ is k (k + 2) for normal variables, greater with heavier tails.
  const fourth = d2.reduce((total, x) => total + x * x, 0) / d2.length;
  return fourth > kept * (kept + 2)
    ? 'Differences have heavier tails than in a normal distribution: a few places are unlike all the others.'
    : 'Differences have lighter tails than in a normal distribution: large ones are rare, as where there are a few kinds of places and nothing between.';
}

/** What the typed spread makes of pairs of one zone, and why: deviations far from the zones', or the correlation left out. */
function typedAdvice(
  variables: readonly Variable[],
  typed: Float64Array,
  within: Float64Array,
  shares: readonly number[],
): string[] {
  const k = variables.length;
  const off = variables.flatMap(({ title }, v) => {
    if (!(within[v * k + v] > 0)) return [`${title} is the same throughout each zone.`];
    const ratio = Math.sqrt(typed[v * k + v] / within[v * k + v]);
    return ratio >= 0.8 && ratio <= 1.25
      ? []
      : [`${title}: the deviation typed in is ${ratio.toPrecision(2)} times that of places of one zone.`];
  });
  return [
    `By the deviations typed in, ${percent(1 - shares[2])} of pairs inside one zone match by less than 0.05, where 5 % would be ordinary.`,
    ...(off.length > 0
      ? off
      : ['The variables go together inside a zone, which deviations typed in leave out of account.']),
  ];
}
