import { rng } from '../../base/rng.ts';
import { arrange } from './arrange.ts';
import { clarkEvans, donnelly } from './clarkEvans.ts';
import { evenness } from './evenness.ts';
import { hullWindow } from './hullWindow.ts';
import { keptApart } from './keptApart.ts';
import { linePlaces, lineWindow } from './lineWindow.ts';
import { neighbours, neighboursFor, type Neighbours } from './neighbours.ts';
import { randomPlaces, type RandomPlaces } from './randomPlaces.ts';
import { ORDERS, rowStrengths } from './rowStrengths.ts';
import { treeLine } from './treeLine.ts';
import { LEAST_TREES, type Pattern, type PatternVerdict, type PlaneWindow } from './types.ts';

export const SIMULATIONS = 999;
const SEED = 1954;
/** A verdict other than random needs p under this. */
const LEVEL = 0.01;
/**
 * Root mean square of the strengths of the three orders under complete randomness, times sqrt(n): measured here on 4,000
 * random patterns each of 7 to 200 places in a square. Makes the orders comparable; whatever their values, p holds.
 */
const ROOT_MEAN_SQUARES = [0.86, 0.98, 0.9];
/** Share of random trees that would have another within `apart`, from which on simulated ones are kept apart as well. */
const CROWDED = 0.1;
/** A quick verdict looks up after every so many simulations ... */
const GLANCE = 50;
/**
 * ... and takes for settled what lies so many standard deviations from them: fewer as they become more. Above more than below,
 * since means of few distances are skewed.
 */
const farAbove = (simulations: number): number => 4 + GLANCE / simulations;
const farBelow = (simulations: number): number => 3.2 + GLANCE / simulations;

export interface PatternOptions {
  /**
   * Only the verdict is wanted: simulations end as soon as it is settled (sequential Monte Carlo, Besag & Clifford 1991,
   * Biometrika 78:301-304), which is what all of them would give. `simulatedP` and the p of rows are then those of the
   * simulations that were made.
   */
  readonly quick?: boolean;
  /**
   * Trees nearer to one another than this are on record as one, so that even random ones keep apart a little: simulated ones do
   * where they are crowded, nearest distances count as at least so much, gaps of a line by what they exceed it. Absent: 0.
   */
  readonly apart?: number;
  /** Sees the squared nearest distances of each simulation. */
  readonly watch?: (squared: Float64Array) => void;
}

/**
 * How points stand to one another: nearest-neighbour index (Clark & Evans 1954; Donnelly 1978) and a row test (ours), against
 * complete randomness simulated in the same window (Besag & Diggle 1977, Applied Statistics 26:327-333).
 *
 * Row test: the strengths of orders 2, 4 and 6 (see rowStrengths), each by its size under randomness; the largest of the three
 * is the statistic, so that its rank among the simulations allows for the choice among them.
 *
 * Verdict: regular where the points stand further apart than chance leaves them (two-sided p of the mean nearest distance
 * under 0.01) or where the row test has p < 0.01; clustered where they stand closer; random otherwise. Rows outweigh
 * closeness: trees close in the row and far between rows are planted, whatever their mean nearest distance.
 *
 * Points along one line, straight or bent, are a case of their own (see treeLine) unless the window is given: a stream or a
 * fence lines natural trees up as well, so only the evenness of their gaps counts as rows (see evenness), and chance is chance
 * along that line.
 *
 * The same in whatever order the points come. Fewer than 7 distinct places: too few, nothing is simulated.
 * @param x, y at least two places, in metres or any unit of length, all within the window.
 * @param window null: drawn about the points.
 */
export function pattern(
  x: Float64Array,
  y: Float64Array,
  window: PlaneWindow | null,
  options: PatternOptions = {},
): Pattern {
  const { apart = 0 } = options;
  const n = x.length;
  const own = arrange(x, y);
  const line = window ? null : treeLine(own.x, own.y);
  const framed = window ? turned(window, own.into) : line ? lineWindow(line, n) : hullWindow(own.x, own.y);
  const near = neighboursFor(n);
  neighbours(own.x, own.y, near);
  const strengths = new Float64Array(3);
  rowStrengths(own.x, own.y, near, strengths);
  const { area, perimeter } = window ?? framed;
  const meanNearest = meanOf(near, 0);
  const measured = {
    n,
    density: n / area,
    meanNearest,
    plain: clarkEvans(n, meanNearest, area),
    donnelly: donnelly(n, meanNearest, area, perimeter),
    window: window ?? turned(framed, own.back),
    windowFrom: window ? 'given' : line ? 'line' : 'hull',
  } as const;
  if (distinct(own.x, own.y) < LEAST_TREES || !(area > 0))
    return { ...measured, simulatedP: NaN, simulations: 0, rows: null, verdict: 'too few' };

  const run = simulate(
    n,
    line ? linePlaces(line) : scattered(framed, n, apart),
    { nearest: meanOf(near, apart), rows: scaled(strengths) },
    // Of points along a line the simulations say nothing on rows; p is that of their gaps.
    line ? evenness(line.along, apart, SIMULATIONS) : NaN,
    options,
  );
  const best = ORDERS.map((_, k) => strengths[k] / ROOT_MEAN_SQUARES[k]);
  return {
    ...measured,
    simulatedP: run.nearestP,
    simulations: run.simulations,
    rows: {
      order: ORDERS[best.indexOf(Math.max(...best))],
      strength: strengths[best.indexOf(Math.max(...best))],
      strengths: [strengths[0], strengths[1], strengths[2]],
      p: run.rowsP,
    },
    verdict: run.verdict,
  };
}

/** Complete randomness, but for how near two trees can be on record where that matters. */
function scattered(window: PlaneWindow, n: number, apart: number): RandomPlaces {
  const places = randomPlaces(window);
  const crowded = (n * Math.PI * apart ** 2) / window.area > CROWDED;
  return crowded ? keptApart(places, apart) : places;
}

interface Run {
  readonly simulations: number;
  readonly nearestP: number;
  readonly rowsP: number;
  readonly verdict: PatternVerdict;
}

function simulate(
  n: number,
  places: RandomPlaces,
  observed: { nearest: number; rows: number },
  gapsP: number,
  { quick = false, apart = 0, watch }: PatternOptions,
): Run {
  const random = rng(SEED);
  const [x, y] = [new Float64Array(n), new Float64Array(n)];
  const near = neighboursFor(n);
  const strengths = new Float64Array(3);
  const inLine = !Number.isNaN(gapsP);
  const nearest = new Rank(observed.nearest);
  const rows = new Rank(observed.rows);
  let done = 0;
  let settled: PatternVerdict | null = quick && gapsP < LEVEL ? 'regular' : null;
  while (done < SIMULATIONS && !settled) {
    places(random, x, y);
    neighbours(x, y, near);
    watch?.(near.squared);
    nearest.add(meanOf(near, apart));
    if (!inLine) {
      rowStrengths(x, y, near, strengths);
      rows.add(scaled(strengths));
    }
    done++;
    if (quick) settled = early(done, nearest, inLine ? null : rows);
  }
  const nearestP = nearest.twoSided();
  const rowsP = inLine ? gapsP : rows.upper();
  const verdict =
    settled ??
    (rowsP < LEVEL || (nearestP < LEVEL && nearest.isHigh)
      ? 'regular'
      : nearestP < LEVEL
        ? 'clustered'
        : 'random');
  return { simulations: done, nearestP, rowsP, verdict };
}

/**
 * The verdict, once the simulations still to come cannot turn it: enough of them are as extreme already that p will not be
 * under the level. What lies far from all of them is taken for settled too: several of the rest would have to be as extreme
 * as none was (measured: no verdict of 4,200 on random, planted and clustered patterns differed from that of all simulations).
 */
function early(done: number, nearest: Rank, rows: Rank | null): PatternVerdict | null {
  const glance = done % GLANCE === 0;
  const noRows = !rows || rows.cannotBe(rows.atLeast, 1);
  if (glance && rows && rows.deviation > farAbove(done)) return 'regular';
  if (glance && nearest.deviation > farAbove(done)) return 'regular';
  if (!noRows) return null;
  if (glance && nearest.deviation < -farBelow(done)) return 'clustered';
  return nearest.cannotBe(nearest.atLeast, 2) && nearest.cannotBe(nearest.atMost, 2) ? 'random' : null;
}

/** Where an observed value stands among simulated ones (Barnard 1963; Besag & Diggle 1977). */
class Rank {
  atLeast = 0;
  atMost = 0;
  #n = 0;
  #mean = 0;
  #squares = 0;
  readonly observed: number;

  constructor(observed: number) {
    this.observed = observed;
  }

  add(value: number): void {
    if (value >= this.observed) this.atLeast++;
    if (value <= this.observed) this.atMost++;
    const off = value - this.#mean;
    this.#mean += off / ++this.#n;
    this.#squares += off * (value - this.#mean);
  }

  upper = (): number => (1 + this.atLeast) / (1 + this.#n);
  twoSided = (): number => Math.min(1, (2 * (1 + Math.min(this.atLeast, this.atMost))) / (1 + this.#n));
  get isHigh(): boolean {
    return this.atLeast < this.atMost;
  }
  /** Standard deviations that the observed value lies above the simulated ones. */
  get deviation(): number {
    return (this.observed - this.#mean) / Math.sqrt(this.#squares / (this.#n - 1));
  }
  /** With so many as extreme, p is at the level at least, however many simulations of those planned are still to come. */
  cannotBe = (asExtreme: number, sides: 1 | 2): boolean =>
    (sides * (1 + asExtreme)) / (1 + SIMULATIONS) >= LEVEL;
}

const scaled = (strengths: Float64Array): number =>
  Math.max(
    strengths[0] / ROOT_MEAN_SQUARES[0],
    strengths[1] / ROOT_MEAN_SQUARES[1],
    strengths[2] / ROOT_MEAN_SQUARES[2],
  );

function meanOf({ squared }: Neighbours, least: number): number {
  let sum = 0;
  for (let i = 0; i < squared.length; i++) sum += Math.max(least, Math.sqrt(squared[i]));
  return sum / squared.length;
}

/** @param x, y sorted by x, then y. */
function distinct(x: Float64Array, y: Float64Array): number {
  let count = 1;
  for (let i = 1; i < x.length; i++) if (x[i] !== x[i - 1] || y[i] !== y[i - 1]) count++;
  return count;
}

const turned = (w: PlaneWindow, turn: (x: number, y: number) => [number, number]): PlaneWindow => ({
  ...w,
  polygons: w.polygons.map((rings) => rings.map((ring) => ring.map(([x, y]) => turn(x, y)))),
});
