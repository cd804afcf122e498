/**
 * Heaviest set of pairwise unconflicted vertices, of exactly k or of any number, with its proof.
 *
 * In turns: a bound by prices on the groups of mutually conflicting vertices; vertices that cannot be in a better set than
 * the best known are left out by it; and a sweep over the rest, each time wider, until nothing is left out for width, or
 * what was left out cannot be better. Both the bound and the sweep are strong because conflicts are near: the groups bound
 * to within a member or two, and little lies across the front of the sweep.
 */
import { cliqueCover, type Cliques } from './cliques.ts';
import { components, inducedGraph, type ConflictGraph } from './conflicts.ts';
import { affordable, prices } from './prices.ts';
import { reach, sweep, type Demand } from './sweep.ts';

export interface SearchProblem {
  readonly graph: ConflictGraph;
  readonly weight: Float64Array;
  /** Where the vertices are, in any unit of length: conflicts are near. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Exactly so many, or null for any number. */
  readonly k: number | null;
  /** k is near the largest number there is: count as well as weigh. 'largest': no set has more, and that is proven. */
  readonly near?: 'largest' | 'near';
  /** A set with this total is known already: only a heavier one is wanted. */
  readonly known: number;
  /** Totals differ by whole multiples of this (1 when counting); 0: by any amount. */
  readonly grain: number;
}

export interface SearchLimits {
  /** True when the search must end with what it has. */
  readonly stop: () => boolean;
}

export interface SearchResult {
  /** A set that is heavier than the known total, rising; null where there is none, or none was found. */
  readonly set: readonly number[] | null;
  /** Its total, or the known one. */
  readonly total: number;
  /** No set weighs more; equals `total` when proven. */
  readonly bound: number;
  /** States looked at. */
  readonly nodes: number;
}

/** Widths of the sweeps, and the most states that one may come to: beyond that the answer is given with its bound. */
const WIDTHS = [100, 1000, 8000, 64_000, 512_000];
const MOST_STATES = 20_000_000;
const ROUNDS = 1000;

/** The vertices still wanted, and what is known of them. */
interface Model {
  readonly vertices: readonly number[];
  readonly graph: ConflictGraph;
  readonly cliques: Cliques;
  readonly weight: Float64Array;
  readonly order: Int32Array;
  readonly weighed: Omit<Demand, 'least'>;
  /** By number: sets of k are wanted. */
  readonly counted: Demand | null;
}

export function search(problem: SearchProblem, { stop }: SearchLimits): SearchResult {
  const { k, grain } = problem;
  let best: readonly number[] | null = null;
  let total = problem.known;
  let bound = Infinity;
  let nodes = 0;
  let vertices: readonly number[] = Array.from({ length: problem.graph.n }, (_, v) => v);
  let model: Model | null = null;
  const result = (): SearchResult => ({ set: best, total, bound: Math.max(bound, total), nodes });

  /** What a set must come to for it to be wanted. Sums of up to 500 weights differ by less than 1e-12 of them from rounding. */
  const least = (): number =>
    grain > 0 ? total + grain * (1 - 1e-6) : total + 1e-12 * Math.max(1, Math.abs(total));

  for (const width of WIDTHS) {
    if (nodes > 0 && vertices.length * width > MOST_STATES) break;
    if (vertices.length < (k ?? 1)) bound = total;
    else {
      model ??= modelOf(problem, vertices, total);
      bound = Math.min(bound, model.weighed.prices.bound);
      if (model.counted && model.counted.prices.bound < model.counted.least) bound = total;
    }
    if (bound < least() || model === null) {
      bound = total;
      break;
    }
    const demands = [{ ...model.weighed, least: least() }, ...(model.counted ? [model.counted] : [])];
    // The first sweep is short and is not stopped: what it finds is worth having whatever the hurry.
    const hurry = width === WIDTHS[0] ? () => false : stop;
    const found = sweep({ ...model, k, most: problem.near === 'largest', demands, width }, hurry);
    nodes += found.states;
    const now = model.vertices;
    if (found.set) {
      best = found.set.map((v) => now[v]);
      total = best.reduce((sum, v) => sum + problem.weight[v], 0);
    }
    // What the sweep dropped was below what was wanted then, so it is no better than the best now.
    bound = Math.max(total, Math.min(bound, found.open));
    if (bound < least()) {
      bound = total;
      break;
    }
    if (stop()) break;
    const left = wanted(model, least());
    if (left.length < vertices.length) {
      vertices = left;
      model = null;
    }
  }
  return result();
}

function modelOf(problem: SearchProblem, vertices: readonly number[], total: number): Model {
  const graph = inducedGraph(problem.graph, vertices);
  const weight = Float64Array.from(vertices, (v) => problem.weight[v]);
  const cliques = cliqueCover(graph);
  const { k, near, grain } = problem;
  const goal = Number.isFinite(total) ? total : 0;
  const found = prices(weight, cliques, k, goal, ROUNDS, (bound) => bound <= goal + 0.5 * grain);
  let counted: Demand | null = null;
  if (near && k !== null) {
    const ones = new Float64Array(graph.n).fill(1);
    const least = k - 1e-6;
    counted = {
      weight: ones,
      prices: prices(ones, cliques, null, k - 0.5, ROUNDS, (bound) => bound < least),
      k: 0,
      least,
    };
  }
  return {
    vertices,
    graph,
    cliques,
    weight,
    order: sweepOrder(graph, vertices, problem),
    weighed: { weight, prices: found, k: k ?? 0 },
    counted,
  };
}

/** One group of joined vertices after another, each across in that of four directions in which conflicts reach least far. */
function sweepOrder(graph: ConflictGraph, vertices: readonly number[], { x, y }: SearchProblem): Int32Array {
  const directions = [
    [1, 0],
    [0, 1],
    [1, 1],
    [1, -1],
  ];
  const order: number[] = [];
  for (const part of components(graph)) {
    const own = inducedGraph(graph, part);
    let best: readonly number[] = part;
    let least = Infinity;
    for (const [a, b] of part.length < 3 ? [] : directions) {
      const along = part.map((v) => a * x[vertices[v]] + b * y[vertices[v]]);
      const way = Int32Array.from(part.keys()).sort((i, j) => along[i] - along[j] || i - j);
      const reaching = reach(own, way).reduce((sum, l, i) => sum + l - i, 0);
      if (reaching >= least) continue;
      least = reaching;
      best = Array.from(way, (i) => part[i]);
    }
    order.push(...best);
  }
  return Int32Array.from(order);
}

/** The vertices that a set of `least` can have. */
function wanted({ vertices, weight, cliques, weighed, counted }: Model, least: number): readonly number[] {
  const byWeight = affordable(weight, cliques, weighed.prices, least);
  const byCount = counted && affordable(counted.weight, cliques, counted.prices, counted.least);
  return vertices.filter((_, v) => byWeight[v] && (byCount === null || byCount[v]));
}
