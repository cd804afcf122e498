import type { Cliques } from './cliques.ts';

/** Prices of a bound: what one member costs, and what the one place of each group costs (>= 0). */
export interface Prices {
  /** No set weighs more. */
  readonly bound: number;
  readonly member: number;
  readonly group: Float64Array;
}

/** Rounds without a gain before the step is cut, and the least step worth taking. */
const PATIENCE = 15;
const LEAST_STEP = 1e-3;
/** Share of the newest direction; the rest is kept from the rounds before. */
const NEWEST = 0.3;

/**
 * The Lagrangian bound on the weight of a set with at most one member of each group, and exactly k members (null: any
 * number): the least, over prices, of all prices, plus k times the price of a member, plus what each vertex weighs beyond
 * the prices it is charged, if anything. Prices move along averaged subgradients (Held & Karp 1971; Camerini, Fratta &
 * Maffioli 1975), with steps that aim at `goal` (Polyak 1969).
 * @param goal what the bound may come down to: the total of a set that is known, or a guess. @param rounds at most.
 * @param enough ends the rounds once the bound is low enough, or at a stop.
 */
export function prices(
  weight: Float64Array,
  cliques: Cliques,
  k: number | null,
  goal: number,
  rounds: number,
  enough: (bound: number) => boolean,
): Prices {
  const n = weight.length;
  const groups = cliques.members.length;
  const group = new Float64Array(groups);
  let member = 0;
  const best = { bound: Infinity, member: 0, group: new Float64Array(groups) };
  const use = new Float64Array(groups);
  const direction = new Float64Array(groups);
  let memberDirection = 0;
  let step = 1;
  let stale = 0;
  for (let round = 0; round < rounds && step >= LEAST_STEP; round++) {
    let bound = k === null ? 0 : member * k;
    let picked = 0;
    for (let q = 0; q < groups; q++) {
      bound += group[q];
      use[q] = -1;
    }
    for (let v = 0; v < n; v++) {
      const of = cliques.of[v];
      let beyond = weight[v] - member;
      for (let i = 0; i < of.length; i++) beyond -= group[of[i]];
      if (beyond <= 0) continue;
      bound += beyond;
      picked++;
      for (let i = 0; i < of.length; i++) use[of[i]]++;
    }
    if (round === 0 || bound < best.bound - 1e-7 * Math.abs(best.bound)) {
      best.bound = bound;
      best.member = member;
      best.group.set(group);
      stale = 0;
      if (enough(bound)) break;
    } else if (++stale >= PATIENCE) {
      stale = 0;
      step *= 0.66;
      member = best.member;
      group.set(best.group);
      direction.fill(0);
      memberDirection = 0;
      continue;
    }
    let norm = 0;
    for (let q = 0; q < groups; q++) {
      let d = NEWEST * use[q] + (1 - NEWEST) * direction[q];
      if (d < 0 && group[q] <= 0) d = 0;
      direction[q] = d;
      norm += d * d;
    }
    if (k !== null) {
      memberDirection = NEWEST * (picked - k) + (1 - NEWEST) * memberDirection;
      norm += memberDirection * memberDirection;
    }
    if (norm < 1e-12) break;
    const t = (step * Math.max(bound - goal, 1e-6 * Math.abs(bound))) / norm;
    for (let q = 0; q < groups; q++) group[q] = Math.max(0, group[q] + t * direction[q]);
    if (k !== null) member += t * memberDirection;
  }
  return best;
}

/** What each vertex weighs beyond the prices it is charged; below zero where it is charged more. */
export function beyondPrices(
  weight: Float64Array,
  cliques: Cliques,
  { member, group }: Prices,
): Float64Array {
  return Float64Array.from(weight, (w, v) => cliques.of[v].reduce((rest, q) => rest - group[q], w - member));
}

/** Whether each vertex can be in a set that comes to `least`: what it is charged beyond its weight is lost from the bound. */
export function affordable(weight: Float64Array, cliques: Cliques, found: Prices, least: number): boolean[] {
  const beyond = beyondPrices(weight, cliques, found);
  return Array.from(beyond, (b) => found.bound + Math.min(0, b) >= least);
}
