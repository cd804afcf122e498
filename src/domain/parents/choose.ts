/**
 * The parent set: exactly K candidates, pairwise at least the spacing apart, with the greatest total weight, and the proof.
 * Where K cannot be had: the largest number that can, and the heaviest set of that number.
 *
 * Deterministic: candidates are taken heaviest first, equal weights by id, whatever the order of the rows, and every step
 * depends on that order and the positions alone; of sets with equal totals the one met first is kept. So of two candidates
 * that could stand for one another the lower id is chosen, though the ids of the whole set need not be the lowest of all
 * sets with that total. Totals within 1e-12 of one another, relative, are equal: sums in double precision differ by as much.
 */
import { localFrame } from '../base/localFrame.ts';
import { cliqueCover } from './cliques.ts';
import { components, conflictGraph, inducedGraph, tooClose, type ConflictGraph } from './conflicts.ts';
import { undominated } from './dominated.ts';
import { incumbent } from './incumbent.ts';
import { prices } from './prices.ts';
import { search, type SearchLimits, type SearchProblem } from './search.ts';
import type { ParentProblem, ParentSet, ParentStatus } from './types.ts';

export interface ChooseOptions {
  /** Asked now and then; true ends the search with what it has and a bound. */
  readonly stop?: () => boolean;
  /** Milliseconds, from any origin; with budgetMs it ends the search in time. */
  readonly clock?: () => number;
  readonly budgetMs?: number;
}

const SEED = 7;
const KICKS = 300;
const ROUNDS = 300;

export function chooseParents(problem: ParentProblem, options: ChooseOptions = {}): ParentSet {
  const { lon, lat, weight, id, spacing, count } = problem;
  const limits = limitsOf(options);
  const close = tooClose({ lon, lat }, spacing);
  const banned = new Set(problem.bans);
  const locks = [...new Set(problem.locks)];
  const conflictingLocks = pairs(locks).filter(([a, b]) => close(a, b));
  if (conflictingLocks.length > 0) return { ...nothing, conflictingLocks };

  const locked = new Set(locks);
  const rows = Array.from({ length: lon.length }, (_, r) => r)
    .filter((r) => weight[r] > 0 && !banned.has(r) && !locked.has(r) && !locks.some((l) => close(l, r)))
    .sort((a, b) => weight[b] - weight[a] || (id[a] < id[b] ? -1 : 1));
  const lockWeight = locks.reduce((sum, r) => sum + (weight[r] > 0 ? weight[r] : 0), 0);
  const need = Math.max(0, count - locks.length);
  const solved = need === 0 ? DONE : solve(problem, rows, need, close, limits);

  const members = [...locks, ...solved.rows].sort((a, b) => worth(b) - worth(a) || (id[a] < id[b] ? -1 : 1));
  return {
    status: solved.status,
    members,
    total: lockWeight + solved.total,
    bound: lockWeight + solved.bound,
    largest: solved.largest < 0 ? -1 : locks.length + solved.largest,
    largestBound: locks.length + solved.largestBound,
    bottlenecks: solved.bottlenecks,
    conflictingLocks: [],
    nodes: solved.nodes,
  };

  function worth(r: number): number {
    return weight[r] > 0 ? weight[r] : 0;
  }
}

const nothing: ParentSet = {
  status: 'fewer',
  members: [],
  total: 0,
  bound: 0,
  largest: 0,
  largestBound: 0,
  bottlenecks: [],
  conflictingLocks: [],
  nodes: 0,
};

interface Solved {
  readonly status: ParentStatus;
  readonly rows: readonly number[];
  readonly total: number;
  readonly bound: number;
  readonly largest: number;
  readonly largestBound: number;
  readonly bottlenecks: ParentSet['bottlenecks'];
  readonly nodes: number;
}

const DONE: Solved = {
  status: 'optimal',
  rows: [],
  total: 0,
  bound: 0,
  largest: -1,
  largestBound: 0,
  bottlenecks: [],
  nodes: 0,
};

type Close = (i: number, j: number) => boolean;

function solve(
  problem: ParentProblem,
  rows: readonly number[],
  need: number,
  close: Close,
  limits: SearchLimits,
): Solved {
  const first = heaviestFirst(rows, need, close);
  const had = { largest: -1, largestBound: rows.length, bottlenecks: [] };
  if (first.length === need) {
    const kept = prefix(problem.weight, rows, need, first, close);
    return { ...had, ...exactly(problem, kept, need, first, close, limits) };
  }
  const graph = conflictGraph(problem, rows, problem.spacing, close);
  const parts = components(graph).map((vertices) => largestOf(problem, rows, graph, vertices, limits));
  const largest = parts.reduce((sum, p) => sum + p.set.length, 0);
  const largestBound = parts.reduce((sum, p) => sum + p.bound, 0);
  if (largest < need) return fewer(problem, rows, graph, parts, close, limits);
  const { weight } = problem;
  const start = parts
    .flatMap((p) => p.set)
    .sort((a, b) => a - b)
    .slice(0, need)
    .map((v) => rows[v]);
  const near = largestBound === need ? 'largest' : 'near';
  const found = exactly(problem, prefix(weight, rows, need, start, close), need, start, close, limits, near);
  return { ...had, ...found, largest: largestBound === largest ? largest : -1, largestBound };
}

/** Greedy by weight; only its number and total matter here. */
function heaviestFirst(rows: readonly number[], need: number, close: Close): number[] {
  const set: number[] = [];
  for (const r of rows) {
    if (set.length === need) break;
    if (!set.some((s) => close(s, r))) set.push(r);
  }
  return set;
}

/**
 * The rows that can be in a set at least as heavy as the one known: with any other row, even the best `need - 1` groups of
 * mutually close rows, one from each, do not reach it. Groups are filled heaviest first, so their first members are their
 * heaviest, and rows are sorted: a prefix remains.
 */
function prefix(
  weight: Float64Array,
  rows: readonly number[],
  need: number,
  known: readonly number[],
  close: Close,
): readonly number[] {
  const total = known.reduce((sum, r) => sum + weight[r], 0);
  const others = groupBound(weight, rows, need - 1, close);
  const least = total - others - 1e-12 * Math.max(1, total);
  let end = rows.length;
  while (end > 0 && weight[rows[end - 1]] < least) end--;
  return rows.slice(0, end);
}

/** No set of `most` rows weighs more: the best groups of mutually close rows, filled heaviest first, give their first each. */
function groupBound(weight: Float64Array, rows: readonly number[], most: number, close: Close): number {
  const groups: number[][] = [];
  for (const r of rows) {
    const group = groups.find((g) => g.every((m) => close(m, r)));
    if (group) group.push(r);
    else if (groups.length === most) break;
    else groups.push([r]);
  }
  return groups.reduce((sum, g) => sum + weight[g[0]], 0);
}

function exactly(
  problem: ParentProblem,
  rows: readonly number[],
  need: number,
  known: readonly number[],
  close: Close,
  limits: SearchLimits,
  near?: SearchProblem['near'],
): Pick<Solved, 'status' | 'rows' | 'total' | 'bound' | 'nodes'> {
  const { weight } = problem;
  const totalOf = (set: readonly number[]): number => set.reduce((sum, r) => sum + weight[r], 0);
  let total = totalOf(known);
  const slack = 1e-12 * Math.max(1, total);
  // Often nothing can be heavier: the heaviest trees are far apart, or all weigh the same.
  const top = groupBound(weight, rows, need, close);
  if (top <= total + slack) return { status: 'optimal', rows: known, total, bound: total, nodes: 0 };
  let graph = conflictGraph(problem, rows, problem.spacing, close);
  const better = incumbent(
    graph,
    Float64Array.from(rows, (r) => weight[r]),
    need,
    KICKS,
    SEED,
  ).map((v) => rows[v]);
  let best = known;
  if (better.length === need && totalOf(better) > total + slack) {
    best = better;
    total = totalOf(better);
  }
  // With a heavier set known, fewer rows can matter.
  const kept = prefix(weight, rows, need, best, close);
  if (kept.length < rows.length) graph = inducedGraph(graph, Array.from(kept.keys()));
  const found = heavier(problem, kept, graph, need, total, limits, near);
  const bound = Math.min(top, found.bound);
  return {
    status: bound <= found.total + 1e-12 * Math.max(1, found.total) ? 'optimal' : 'within',
    rows: found.rows ?? best,
    total: found.total,
    bound: Math.max(bound, found.total),
    nodes: found.nodes,
  };
}

/** A set of k of the rows that is heavier than `known`, or null; the greater total, and a bound on any. */
function heavier(
  problem: ParentProblem,
  rows: readonly number[],
  graph: ConflictGraph,
  k: number,
  known: number,
  limits: SearchLimits,
  near?: SearchProblem['near'],
): { rows: readonly number[] | null; total: number; bound: number; nodes: number } {
  const weights = Float64Array.from(rows, (r) => problem.weight[r]);
  const left = undominated(graph, weights);
  const found = search(
    {
      graph: inducedGraph(graph, left),
      weight: Float64Array.from(left, (v) => weights[v]),
      ...positions(
        problem,
        left.map((v) => rows[v]),
      ),
      k,
      near,
      known,
      grain: grainOf(weights),
    },
    limits,
  );
  return { ...found, rows: found.set && found.set.map((v) => rows[left[v]]) };
}

/** Whole multiple that all weights are of, to three decimals, as of weights typed in; 0 where there is none. */
function grainOf(weights: Float64Array): number {
  for (const scale of [1, 10, 100, 1000]) {
    let grain = 0;
    const fits = weights.every((w) => {
      const whole = Math.round(w * scale);
      grain = gcd(grain, whole);
      return Math.abs(w * scale - whole) < 1e-12 * scale * Math.max(1, w);
    });
    if (fits) return grain / scale;
  }
  return 0;
}

const gcd = (a: number, b: number): number => (b === 0 ? a : gcd(b, a % b));

/** East and north of the rows in one unit, as the sweep needs them: conflicts are near. */
function positions(
  { lon, lat }: ParentProblem,
  rows: readonly number[],
): { x: Float64Array; y: Float64Array } {
  const middle = rows.reduce((sum, r) => sum + lat[r], 0) / rows.length;
  const frame = localFrame(middle);
  return {
    x: Float64Array.from(rows, (r) => lon[r] * frame.lonMetres),
    y: Float64Array.from(rows, (r) => lat[r] * frame.latMetres),
  };
}

interface Part {
  /** Vertices of the whole graph. */
  readonly vertices: readonly number[];
  readonly set: readonly number[];
  /** No more can be had from this part. */
  readonly bound: number;
  readonly nodes: number;
}

/** The largest number of one part of the graph. */
function largestOf(
  problem: ParentProblem,
  rows: readonly number[],
  graph: ConflictGraph,
  vertices: readonly number[],
  limits: SearchLimits,
): Part {
  if (vertices.length <= 2) return { vertices, set: [vertices[0]], bound: 1, nodes: 0 };
  const own = inducedGraph(graph, vertices);
  const ones = new Float64Array(own.n).fill(1);
  const left = undominated(own, ones);
  const small = inducedGraph(own, left);
  const set: number[] = [];
  let bound = 0;
  let nodes = 0;
  // What is left falls apart further, mostly into single vertices.
  for (const piece of components(small)) {
    if (piece.length <= 2) {
      set.push(vertices[left[piece[0]]]);
      bound++;
      continue;
    }
    const g = inducedGraph(small, piece);
    const unit = new Float64Array(g.n).fill(1);
    const start = incumbent(g, unit, Infinity, Math.min(KICKS, 20 * g.n), SEED);
    const at = positions(
      problem,
      piece.map((v) => rows[vertices[left[v]]]),
    );
    const found = search({ graph: g, weight: unit, ...at, k: null, known: start.length, grain: 1 }, limits);
    const best = found.set ?? start;
    for (const v of best) set.push(vertices[left[piece[v]]]);
    bound += Math.max(best.length, Math.floor(found.bound + 1e-6));
    nodes += found.nodes;
  }
  return { vertices, set, bound, nodes };
}

/** The heaviest set of the largest number, part by part, and the crowded groups that yield little. */
function fewer(
  problem: ParentProblem,
  rows: readonly number[],
  graph: ConflictGraph,
  parts: readonly Part[],
  close: Close,
  limits: SearchLimits,
): Solved {
  const chosen: number[] = [];
  let total = 0;
  let bound = 0;
  let nodes = 0;
  for (const part of parts) {
    const found = heaviestOf(problem, rows, graph, part, limits);
    chosen.push(...found.rows);
    total += found.total;
    bound += found.bound;
    nodes += part.nodes + found.nodes;
  }
  const largestBound = parts.reduce((sum, p) => sum + p.bound, 0);
  // Where a part might hold more than was found, another split of the same number over the parts could be heavier than any
  // of this split: the bound is then taken over all parts together.
  if (largestBound > chosen.length) {
    const weights = Float64Array.from(rows, (r) => problem.weight[r]);
    const priced = prices(weights, cliqueCover(graph), chosen.length, total, ROUNDS, () => false);
    bound = Math.min(priced.bound, groupBound(problem.weight, rows, chosen.length, close));
  }
  const bottlenecks = parts
    .filter((p) => p.vertices.length >= 3 && p.vertices.length >= 2 * p.set.length)
    .sort((a, b) => b.vertices.length - b.set.length - (a.vertices.length - a.set.length))
    .map((p) => ({ rows: p.vertices.map((v) => rows[v]), yields: p.set.length }));
  return {
    status: 'fewer',
    rows: chosen,
    total,
    bound: Math.max(total, bound),
    largest: chosen.length,
    largestBound,
    bottlenecks,
    nodes,
  };
}

/** The heaviest set of as many of one part's rows as were found to fit. */
function heaviestOf(
  problem: ParentProblem,
  rows: readonly number[],
  graph: ConflictGraph,
  { vertices, set, bound }: Part,
  limits: SearchLimits,
): { rows: readonly number[]; total: number; bound: number; nodes: number } {
  const k = set.length;
  const own = vertices.map((v) => rows[v]);
  const totalOf = (some: readonly number[]): number => some.reduce((sum, r) => sum + problem.weight[r], 0);
  // Vertices come heaviest first, so one member is the first vertex.
  if (k === 1) return { rows: [own[0]], total: totalOf([own[0]]), bound: totalOf([own[0]]), nodes: 0 };
  const part = inducedGraph(graph, vertices);
  const weights = Float64Array.from(own, (r) => problem.weight[r]);
  const other = incumbent(part, weights, k, Math.min(KICKS, 20 * part.n), SEED).map((v) => own[v]);
  const known = set.map((v) => rows[v]);
  const start = other.length === k && totalOf(other) > totalOf(known) ? other : known;
  const near = bound === k ? 'largest' : 'near';
  const found = heavier(problem, own, part, k, totalOf(start), limits, near);
  return { ...found, rows: found.rows ?? start };
}

function limitsOf({ stop, clock, budgetMs }: ChooseOptions): SearchLimits {
  if (!clock || budgetMs === undefined) return { stop: stop ?? (() => false) };
  const end = clock() + budgetMs;
  return { stop: () => clock() > end || (stop?.() ?? false) };
}

function pairs(rows: readonly number[]): [number, number][] {
  return rows.flatMap((a, i) => rows.slice(i + 1).map((b): [number, number] => [a, b]));
}
