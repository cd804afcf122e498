/**
 * Heaviest set of pairwise unconflicted vertices, of exactly k or of any number, by branch and bound.
 *
 * The bound is Lagrangian: every group of the clique cover may hold one member at most; a price on each group takes that
 * rule into the weights, and what is left (take the k best priced weights) is solved by sorting. Prices are improved by
 * subgradient steps (Held & Karp 1971; Fisher 1981), and vertices whose choice or omission would take the bound under the
 * best set known are fixed. With the groups of geometric conflicts the bound is near the optimum, so few branches are needed.
 *
 * Where k is the largest number that can be had, or not far below it, a second bound of the same kind counts: a branch that
 * cannot hold k members any more, in whole numbers, is cut off whatever its weight.
 */
import type { Cliques } from './cliques.ts';
import type { ConflictGraph } from './conflicts.ts';

export interface SearchProblem {
  readonly graph: ConflictGraph;
  readonly cliques: Cliques;
  readonly weight: Float64Array;
  /** Exactly so many, or null for any number. */
  readonly k: number | null;
  /** A set to start from, or null. */
  readonly start: readonly number[] | null;
  /** k is the largest number there is, or near it: count in every branch. */
  readonly tight?: boolean;
  /** Totals differ by whole multiples of this (1 when counting); 0: by any amount. */
  readonly grain: number;
}

export interface SearchLimits {
  /** True when the search must end with what it has. */
  readonly stop: () => boolean;
}

export interface SearchResult {
  /** Rising; null where no set of k exists (bound is then -Infinity) or none was found before the stop. */
  readonly set: readonly number[] | null;
  readonly total: number;
  readonly bound: number;
  readonly nodes: number;
}

/** Prices of the groups, for the bound by weight and the one by number. */
interface Prices {
  readonly weight: Float64Array;
  readonly count: Float64Array;
}

const FREE = 0;
const IN = 1;
const OUT = 2;
const ROOT_ROUNDS = 300;
const NODE_ROUNDS = 40;

export function search(problem: SearchProblem, limits: SearchLimits): SearchResult {
  return new Search(problem, limits).run();
}

class Search {
  #p: SearchProblem;
  #limits: SearchLimits;
  #n: number;
  #status: Uint8Array;
  #ones: Float64Array;
  #trail: number[] = [];
  #inWeight = 0;
  #inCount = 0;
  /** Free members of each group, and whether a member is in already. */
  #freeIn: Int32Array;
  #best: number[] | null = null;
  #bestTotal = -Infinity;
  #nodes = 0;
  #stopped = false;
  /** Largest bound of a branch that was left unfinished. */
  #open = -Infinity;

  constructor(problem: SearchProblem, limits: SearchLimits) {
    this.#p = problem;
    this.#limits = limits;
    this.#n = problem.graph.n;
    this.#status = new Uint8Array(this.#n);
    this.#ones = new Float64Array(this.#n).fill(1);
    this.#freeIn = Int32Array.from(problem.cliques.members, (m) => m.length);
    if (problem.start && (problem.k === null || problem.start.length === problem.k))
      this.#take(problem.start);
  }

  run(): SearchResult {
    const groups = this.#p.cliques.members.length;
    this.#branch({ weight: new Float64Array(groups), count: new Float64Array(groups) }, ROOT_ROUNDS);
    const bound = this.#stopped ? Math.max(this.#open, this.#bestTotal) : this.#bestTotal;
    return { set: this.#best, total: this.#bestTotal, bound, nodes: this.#nodes };
  }

  /** Totals closer than this are equal: sums of up to 500 weights in double precision. */
  #slack(): number {
    return 1e-12 * Math.max(1, Math.abs(this.#bestTotal));
  }

  /** What a bound must exceed for a better set to be possible below it. */
  #worthless(bound: number): boolean {
    if (this.#bestTotal === -Infinity) return false;
    const { grain } = this.#p;
    return grain > 0
      ? bound < this.#bestTotal + grain - 1e-6 * grain
      : bound <= this.#bestTotal + this.#slack();
  }

  #take(set: readonly number[]): void {
    const rising = [...set].sort((a, b) => a - b);
    let total = 0;
    for (const v of rising) total += this.#p.weight[v];
    if (this.#best !== null && total <= this.#bestTotal + this.#slack()) return;
    this.#best = rising;
    this.#bestTotal = total;
  }

  /** Fixes a vertex; its neighbours go out when it goes in. */
  #fix(v: number, to: typeof IN | typeof OUT): void {
    this.#set(v, to);
    if (to === OUT) return;
    this.#inWeight += this.#p.weight[v];
    this.#inCount++;
    const { start, list } = this.#p.graph;
    for (let e = start[v]; e < start[v + 1]; e++) if (this.#status[list[e]] === FREE) this.#set(list[e], OUT);
  }

  #set(v: number, to: number): void {
    this.#status[v] = to;
    this.#trail.push(v);
    for (const q of this.#p.cliques.of[v]) this.#freeIn[q]--;
  }

  #undo(length: number): void {
    while (this.#trail.length > length) {
      const v = this.#trail.pop() as number;
      if (this.#status[v] === IN) {
        this.#inWeight -= this.#p.weight[v];
        this.#inCount--;
      }
      this.#status[v] = FREE;
      for (const q of this.#p.cliques.of[v]) this.#freeIn[q]++;
    }
  }

  #branch(prices: Prices, rounds: number): void {
    const mark = this.#trail.length;
    const inWeight = this.#inWeight;
    const choice = this.#bound(prices, rounds);
    if (choice) {
      if (this.#stopped || this.#limits.stop()) {
        this.#stopped = true;
        this.#open = Math.max(this.#open, choice.bound);
      } else {
        const inner = this.#trail.length;
        for (const to of [IN, OUT] as const) {
          this.#fix(choice.vertex, to);
          this.#branch(
            {
              weight: Float64Array.from(choice.prices.weight),
              count: Float64Array.from(choice.prices.count),
            },
            NODE_ROUNDS,
          );
          this.#undo(inner);
          if (this.#worthless(choice.bound)) break;
        }
      }
    }
    this.#undo(mark);
    // Sums are put back rather than subtracted back: rounding must not creep.
    this.#inWeight = inWeight;
  }

  /** null when this branch is finished; else where to branch, the branch's bound and its prices. */
  #bound(prices: Prices, rounds: number): { vertex: number; bound: number; prices: Prices } | null {
    this.#nodes++;
    const { weight, k, tight } = this.#p;
    if (this.#finished()) return null;
    let count = prices.count;
    if (tight && k !== null) {
      const counted = this.#ascend(
        this.#ones,
        null,
        (bound) => Math.floor(bound + 1e-6) < k,
        () => this.#inCount,
        prices.count,
        rounds,
      );
      if (!counted) return null;
      count = counted.prices;
    }
    const weighed = this.#ascend(
      weight,
      k,
      (bound) => this.#worthless(bound),
      () => this.#inWeight,
      prices.weight,
      rounds,
    );
    if (!weighed) return null;
    return {
      vertex: this.#branchVertex(weighed.average),
      bound: weighed.bound,
      prices: { weight: weighed.prices, count },
    };
  }

  /** No free vertex is left that matters, or the number cannot be reached; a set that is complete is taken. */
  #finished(): boolean {
    const { k } = this.#p;
    const free = this.#freeList().length;
    const need = k === null ? 0 : k - this.#inCount;
    if (need < 0 || free < need) return true;
    if (free > 0 && (k === null || need > 0)) return false;
    this.#take(this.#members([]));
    return true;
  }

  /**
   * Improves the prices of one bound and fixes what it decides.
   * @param k members to pick, null for every vertex whose priced weight is above zero.
   * @param worthless whether a bound says that nothing better lies below. @param base what is in already.
   */
  #ascend(
    weight: Float64Array,
    k: number | null,
    worthless: (bound: number) => boolean,
    base: () => number,
    prices: Float64Array,
    rounds: number,
  ): { bound: number; prices: Float64Array; average: Float64Array } | null {
    const { cliques } = this.#p;
    let free = this.#freeList();
    const priced = new Float64Array(this.#n);
    const average = new Float64Array(this.#n);
    const best = Float64Array.from(prices);
    const use = new Float64Array(prices.length);
    let lowest = Infinity;
    let step = 1;
    let stale = 0;
    for (let round = 0; round < rounds; round++) {
      const need = k === null ? null : k - this.#inCount;
      let bound = base();
      for (let q = 0; q < prices.length; q++) {
        if (this.#freeIn[q] < 2) prices[q] = 0;
        else bound += prices[q];
      }
      for (const v of free) {
        let w = weight[v];
        for (const q of cliques.of[v]) w -= prices[q];
        priced[v] = w;
      }
      const sorted = Int32Array.from(free).sort((a, b) => priced[b] - priced[a] || a - b);
      const picked: number[] = [];
      if (need === null) {
        for (const v of sorted) if (priced[v] > 0) picked.push(v);
      } else for (let i = 0; i < need; i++) picked.push(sorted[i]);
      for (const v of picked) bound += priced[v];
      for (const v of free) average[v] *= 0.9;
      for (const v of picked) average[v] += 0.1;

      if (bound < lowest - 1e-9 * Math.abs(lowest) || round === 0) {
        best.set(prices);
        stale = 0;
      } else if (++stale >= 8) {
        step /= 2;
        stale = 0;
      }
      lowest = Math.min(lowest, bound);
      if (round % 8 === 0) this.#repair(sorted);
      if (worthless(lowest)) return null;
      if (this.#fixByBound(free, picked, priced, sorted, need, bound, worthless)) {
        if (this.#finished()) return null;
        free = this.#freeList();
        continue;
      }

      // Subgradient: a group that is over-used costs more, an unused one less.
      use.fill(0);
      for (const v of picked) for (const q of cliques.of[v]) use[q]++;
      let norm = 0;
      for (let q = 0; q < prices.length; q++) {
        const g = use[q] - 1;
        if (this.#freeIn[q] >= 2 && (g > 0 || (g < 0 && prices[q] > 0))) norm += g * g;
      }
      if (norm === 0 || step < 1e-4) break;
      const target = this.#target(k === null && weight === this.#ones, bound);
      const t = (step * Math.max(bound - target, 1e-9 * Math.abs(bound))) / norm;
      for (let q = 0; q < prices.length; q++)
        if (this.#freeIn[q] >= 2) prices[q] = Math.max(0, prices[q] + t * (use[q] - 1));
    }
    return { bound: lowest, prices: best, average };
  }

  /** What a bound is hoped to come down to: the best set known, or in counting the number asked for. */
  #target(counting: boolean, bound: number): number {
    if (counting && this.#p.k !== null) return Math.min(bound, this.#p.k) - 0.5;
    return this.#bestTotal > -Infinity ? this.#bestTotal : 0.9 * bound;
  }

  /** Fixes vertices whose omission (if picked) or choice (if not) would make the branch worthless. @returns whether any was. */
  #fixByBound(
    free: readonly number[],
    picked: readonly number[],
    priced: Float64Array,
    sorted: Int32Array,
    need: number | null,
    bound: number,
    worthless: (bound: number) => boolean,
  ): boolean {
    const edge = need === null ? 0 : priced[sorted[need - 1]];
    const next = need === null ? 0 : need < sorted.length ? priced[sorted[need]] : -Infinity;
    const inPick = new Uint8Array(this.#n);
    for (const v of picked) inPick[v] = 1;
    let fixed = false;
    for (const v of free) {
      if (this.#status[v] !== FREE) continue;
      if (inPick[v]) {
        if (!worthless(bound - priced[v] + next)) continue;
        this.#fix(v, IN);
      } else {
        if (!worthless(bound + priced[v] - edge)) continue;
        this.#set(v, OUT);
      }
      fixed = true;
    }
    return fixed;
  }

  #freeList(): number[] {
    const free: number[] = [];
    for (let v = 0; v < this.#n; v++) if (this.#status[v] === FREE) free.push(v);
    return free;
  }

  #members(more: readonly number[]): number[] {
    const set: number[] = [...more];
    for (let v = 0; v < this.#n; v++) if (this.#status[v] === IN) set.push(v);
    return set;
  }

  /** A real set from the priced order: take what fits, in turn. */
  #repair(sorted: Int32Array): void {
    const { k, weight, graph } = this.#p;
    const need = k === null ? Infinity : k - this.#inCount;
    const blocked = new Uint8Array(this.#n);
    const picked: number[] = [];
    for (const v of sorted) {
      if (picked.length >= need) break;
      if (blocked[v] || (k === null && weight[v] <= 0)) continue;
      picked.push(v);
      for (let e = graph.start[v]; e < graph.start[v + 1]; e++) blocked[graph.list[e]] = 1;
    }
    if (k === null || picked.length === need) this.#take(this.#members(picked));
  }

  /** The vertex that the rounds agreed on least, among those with conflicts; ties to the one in more conflicts, then the first. */
  #branchVertex(average: Float64Array): number {
    const { start, list } = this.#p.graph;
    let best = -1;
    let bestScore = -1;
    for (const v of this.#freeList()) {
      let degree = 0;
      for (let e = start[v]; e < start[v + 1]; e++) if (this.#status[list[e]] === FREE) degree++;
      const doubt = Math.min(average[v], 1 - average[v]) + 0.01;
      const score = doubt * (degree + 0.1);
      if (score > bestScore) {
        best = v;
        bestScore = score;
      }
    }
    return best;
  }
}
