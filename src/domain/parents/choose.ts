/**
 * The parent set: exactly K candidates, pairwise at least the spacing apart, with the greatest total weight, and the proof.
 * Where K cannot be had: the largest number that can, and the heaviest set of that number.
 *
 * Deterministic: candidates are taken heaviest first, equal weights by id, whatever the order of the rows; of sets with
 * equal totals the one met first in that order is kept.
 */
import { cliqueCover } from './cliques.ts';
import { components, conflictGraph, inducedGraph, tooClose, type ConflictGraph } from './conflicts.ts';
import { undominated } from './dominated.ts';
import { incumbent } from './incumbent.ts';
import { search, type SearchLimits, type SearchResult } from './search.ts';
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
  if (first.length === need)
    return exactly(problem, prefix(problem.weight, rows, need, first, close), need, first, close, limits, -1);
  const graph = conflictGraph(problem, rows, problem.spacing, close);
  const parts = components(graph).map((vertices) => largestOf(graph, vertices, limits));
  const largest = parts.reduce((sum, p) => sum + p.set.length, 0);
  const largestBound = parts.reduce((sum, p) => sum + p.bound, 0);
  if (largest >= need) {
    const weights = Float64Array.from(rows, (r) => problem.weight[r]);
    const start = parts.flatMap((p) => p.set).sort((a, b) => weights[b] - weights[a] || a - b);
    const found = exactly(
      problem,
      rows,
      need,
      start.slice(0, need).map((v) => rows[v]),
      close,
      limits,
      largestBound === largest ? largest : -1,
      true,
    );
    return { ...found, largestBound };
  }
  return fewer(problem, rows, graph, parts, close, limits);
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
  largest: number,
  tight = false,
): Solved {
  const { weight } = problem;
  const whole = conflictGraph(problem, rows, problem.spacing, close);
  const at = new Map(rows.map((r, v) => [r, v]));
  const given = known.map((r) => at.get(r) as number);
  const better = incumbent(
    whole,
    Float64Array.from(rows, (r) => weight[r]),
    need,
    KICKS,
    SEED,
  );
  const totalOf = (set: readonly number[]): number => set.reduce((sum, v) => sum + weight[rows[v]], 0);
  const start = better.length === need && totalOf(better) > totalOf(given) ? better : given;
  // With a heavier set known, fewer rows can matter.
  const startRows = start.map((v) => rows[v]);
  const kept = prefix(weight, rows, need, startRows, close);
  const graph = kept.length === rows.length ? whole : inducedGraph(whole, Array.from(kept.keys()));
  const weights = Float64Array.from(kept, (r) => weight[r]);
  const left = undominated(graph, weights);
  const small = inducedGraph(graph, left);
  const renumber = new Map(left.map((v, i) => [v, i]));
  const startLeft = start.map((v) => renumber.get(v));
  const found = search(
    {
      graph: small,
      cliques: cliqueCover(small),
      weight: Float64Array.from(left, (v) => weights[v]),
      k: need,
      tight,
      start: startLeft.every((v) => v !== undefined) ? startLeft : null,
      grain: 0,
    },
    limits,
  );
  const total = totalOf(start);
  const won = found.set !== null && found.total >= total;
  const set = won ? found.set.map((v) => kept[left[v]]) : startRows;
  const best = won ? found.total : total;
  const bound = Math.max(best, found.bound === -Infinity ? best : found.bound);
  const proven = bound <= best + 1e-12 * Math.max(1, best);
  return {
    status: proven ? 'optimal' : 'within',
    rows: set,
    total: best,
    bound,
    largest,
    largestBound: rows.length,
    bottlenecks: [],
    nodes: found.nodes,
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
function largestOf(graph: ConflictGraph, vertices: readonly number[], limits: SearchLimits): Part {
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
    const found = search(
      { graph: g, cliques: cliqueCover(g), weight: unit, k: null, start, grain: 1 },
      limits,
    );
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
    const own = inducedGraph(graph, part.vertices);
    const weights = Float64Array.from(part.vertices, (v) => problem.weight[rows[v]]);
    const found = heaviestOf(own, weights, part, limits);
    for (const v of found.set) chosen.push(rows[part.vertices[v]]);
    total += found.set.reduce((sum, v) => sum + weights[v], 0);
    bound += found.bound;
    nodes += part.nodes + found.nodes;
  }
  const largestBound = parts.reduce((sum, p) => sum + p.bound, 0);
  // Where a part might hold more than was found, another split of the same number over the parts could be heavier than any
  // of this split: the bound is then taken over all parts together.
  if (largestBound > chosen.length) bound = groupBound(problem.weight, rows, chosen.length, close);
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

function heaviestOf(
  own: ConflictGraph,
  weights: Float64Array,
  part: Part,
  limits: SearchLimits,
): { set: readonly number[]; bound: number; nodes: number } {
  const k = part.set.length;
  // Vertices come heaviest first, so one member is the first vertex.
  if (k === 1) return { set: [0], bound: weights[0], nodes: 0 };
  const at = new Map(part.vertices.map((v, i) => [v, i]));
  const known = part.set.map((v) => at.get(v) as number);
  const total = (set: readonly number[]): number => set.reduce((sum, v) => sum + weights[v], 0);
  const other = incumbent(own, weights, k, Math.min(KICKS, 20 * own.n), SEED);
  const start = other.length === k && total(other) > total(known) ? other : known;
  const left = undominated(own, weights);
  const small = inducedGraph(own, left);
  const renumber = new Map(left.map((v, i) => [v, i]));
  const startLeft = start.map((v) => renumber.get(v));
  const found: SearchResult = search(
    {
      graph: small,
      cliques: cliqueCover(small),
      weight: Float64Array.from(left, (v) => weights[v]),
      k,
      tight: true,
      start: startLeft.every((v) => v !== undefined) ? startLeft : null,
      grain: 0,
    },
    limits,
  );
  const won = found.set !== null && found.total >= total(start);
  const set = won ? found.set.map((v) => left[v]) : start;
  return { set, bound: Math.max(total(set), found.bound), nodes: found.nodes };
}

function limitsOf({ stop, clock, budgetMs }: ChooseOptions): SearchLimits {
  if (!clock || budgetMs === undefined) return { stop: stop ?? (() => false) };
  const end = clock() + budgetMs;
  return { stop: () => clock() > end || (stop?.() ?? false) };
}

function pairs(rows: readonly number[]): [number, number][] {
  return rows.flatMap((a, i) => rows.slice(i + 1).map((b): [number, number] => [a, b]));
}
