/**
 * The heaviest set by going over the vertices once, in an order along which conflicts are short (trees from west to east):
 * dynamic programming over what is still blocked. Two choices that block the same vertices ahead have the same future, so
 * only the better one is kept; and one whose bound says that it cannot end well enough is dropped. What is blocked ahead
 * lies within one spacing of the front, so there are far fewer such states than sets.
 *
 * With a width the most promising states only are kept (a beam search): a good set fast, and the bound of the best state
 * that was left out says what might have been missed. (Decision diagrams: Bergman, Cire, van Hoeve & Hooker 2016.)
 */
import type { Cliques } from './cliques.ts';
import type { ConflictGraph } from './conflicts.ts';
import { beyondPrices, type Prices } from './prices.ts';

/** A bound that every set worth having must meet. */
export interface Demand {
  /** What a vertex adds: its weight, or one for each member. */
  readonly weight: Float64Array;
  readonly prices: Prices;
  /** The number of members that the prices were made for, 0 where a member costs nothing. */
  readonly k: number;
  /** Sets that come to less are not wanted. */
  readonly least: number;
}

export interface SweepProblem {
  readonly graph: ConflictGraph;
  readonly cliques: Cliques;
  readonly weight: Float64Array;
  readonly order: Int32Array;
  /** Exactly so many, or null for any number. */
  readonly k: number | null;
  /** No set has more than k: of two states that block the same, the one with more members is better. */
  readonly most: boolean;
  /** The first by weight (states are kept by it), others as they come. */
  readonly demands: readonly Demand[];
  /** States kept at each vertex. */
  readonly width: number;
}

export interface Swept {
  /** The heaviest set met that meets the demands, rising; null where there is none. */
  readonly set: readonly number[] | null;
  /** No set that was left out for width, or for a stop, weighs more; -Infinity where nothing was. */
  readonly open: number;
  readonly states: number;
}

/** States side by side: blocked vertices ahead as a ring of bits, members, weight, what each demand can still come to. */
interface Layer {
  size: number;
  readonly key: Int32Array;
  readonly weight: Float64Array;
  readonly count: Int32Array;
  readonly rest: readonly Float64Array[];
  /** Members so far, as a list through the trace; -1: none. */
  readonly trace: Int32Array;
  /** Bound of the first demand. */
  readonly bound: Float64Array;
}

/** What a vertex's turn needs. Positions are places in the order; masks are rings of bits over positions ahead. */
interface Turn {
  /** Who it blocks: as a mask, and as positions. */
  readonly blocks: Int32Array;
  readonly ahead: Int32Array;
  /** Its own groups, and those of whom it blocks that may die by that: their members ahead, and their price by demand. */
  readonly own: GroupMasks;
  readonly others: GroupMasks;
}

interface GroupMasks {
  readonly size: number;
  readonly masks: Int32Array;
  readonly price: readonly Float64Array[];
}

export function sweep(problem: SweepProblem, stop: () => boolean): Swept {
  const { graph, weight, order, k, most, demands, width } = problem;
  const n = graph.n;
  const last = reach(graph, order);
  const words = (last.reduce((most, l, i) => Math.max(most, l - i + 1), 1) + 31) >> 5;
  const turnOf = turns(problem, last, words);
  const beyond = demands.map((d) => {
    const b = beyondPrices(d.weight, problem.cliques, d.prices);
    return Float64Array.from(order, (v) => Math.max(0, b[v]));
  });
  const trace = { vertex: [] as number[], before: [] as number[] };
  const rest0 = demands.map(
    (d, x) => beyond[x].reduce((sum, b) => sum + b, 0) + d.prices.group.reduce((sum, p) => sum + p, 0),
  );

  let live = layer(1, words, demands.length);
  live.size = 1;
  live.trace[0] = -1;
  rest0.forEach((r, x) => {
    live.rest[x][0] = r;
  });
  let open = -Infinity;
  let states = 0;
  const scratch = new Int32Array(words);
  const rest = new Float64Array(demands.length);

  for (let i = 0; i < n && live.size > 0; i++) {
    if (stop()) {
      for (let s = 0; s < live.size; s++) open = Math.max(open, i === 0 ? Infinity : live.bound[s]);
      return { set: null, open, states };
    }
    const v = order[i];
    const word = (i >> 5) % words;
    const bit = 1 << (i & 31);
    const turn = turnOf(i);
    const next = layer(2 * live.size, words, demands.length);
    const table = new Int32Array(2 ** Math.ceil(Math.log2(4 * live.size + 2))).fill(-1);

    for (let s = 0; s < live.size; s++) {
      const o = s * words;
      const blocked = (live.key[o + word] & bit) !== 0;
      for (let x = 0; x < words; x++) scratch[x] = live.key[o + x];
      scratch[word] &= ~bit;
      for (let d = 0; d < rest.length; d++) rest[d] = live.rest[d][s];
      if (!blocked) {
        for (let d = 0; d < rest.length; d++) {
          rest[d] -= beyond[d][i];
          rest[d] -= died(turn.own, d, scratch, null);
        }
      }
      put(next, table, live.weight[s], live.count[s], live.trace[s], -1);
      if (blocked || live.count[s] === k) continue;
      for (let d = 0; d < rest.length; d++) {
        let r = live.rest[d][s] - beyond[d][i];
        for (const price of turn.own.price[d]) r -= price;
        for (const j of turn.ahead)
          if ((scratch[(j >> 5) % words] & (1 << (j & 31))) === 0) r -= beyond[d][j];
        rest[d] = r - died(turn.others, d, scratch, turn.blocks);
      }
      for (let x = 0; x < words; x++) scratch[x] |= turn.blocks[x];
      put(next, table, live.weight[s] + weight[v], live.count[s] + 1, live.trace[s], v);
    }
    if (next.size > width) open = Math.max(open, narrow(next, width, words));
    states += next.size;
    live = next;
  }

  let win = -1;
  for (let s = 0; s < live.size; s++) {
    if (k !== null && live.count[s] !== k) continue;
    if (win < 0 || live.weight[s] > live.weight[win]) win = s;
  }
  if (win < 0) return { set: null, open, states };
  const set: number[] = [];
  for (let t = live.trace[win]; t >= 0; t = trace.before[t]) set.push(trace.vertex[t]);
  return { set: set.sort((a, b) => a - b), open, states };

  /** Prices of groups that have nobody unblocked ahead any more, though they had before `blocks` came in (null: they had). */
  function died(groups: GroupMasks, d: number, key: Int32Array, blocks: Int32Array | null): number {
    const { size, masks, price } = groups;
    let sum = 0;
    for (let q = 0, m = 0; q < size; q++, m += words) {
      if (price[d][q] === 0) continue;
      let before = blocks === null ? 1 : 0;
      let after = 0;
      for (let x = 0; x < words; x++) {
        const unblocked = masks[m + x] & ~key[x];
        if (blocks === null) after |= unblocked;
        else {
          before |= unblocked;
          after |= unblocked & ~blocks[x];
        }
      }
      if (before !== 0 && after === 0) sum += price[d][q];
    }
    return sum;
  }

  /** Puts the state in `scratch` and `rest` in, unless it is below a demand or no better than one that blocks the same. */
  function put(to: Layer, table: Int32Array, sum: number, count: number, from: number, taken: number): void {
    for (let d = 0; d < rest.length; d++) {
      const { prices, least } = demands[d];
      const value = (d === 0 ? sum : count) + prices.member * (demands[d].k - count) + rest[d];
      if (value < least) return;
    }
    const counted = k !== null && !most;
    let hash = counted ? Math.imul(count, 0x9e3779b1) : 0;
    for (let x = 0; x < words; x++) {
      hash = Math.imul(hash ^ scratch[x], 0x85ebca6b);
      hash ^= hash >>> 13;
    }
    hash ^= hash >>> 16;
    for (let slot = hash & (table.length - 1); ; slot = (slot + 1) & (table.length - 1)) {
      let e = table[slot];
      if (e >= 0) {
        if ((counted && to.count[e] !== count) || !same(to, e)) continue;
        const better = most && to.count[e] !== count ? count > to.count[e] : sum > to.weight[e];
        if (!better) return;
      } else {
        e = to.size++;
        table[slot] = e;
        for (let x = 0; x < words; x++) to.key[e * words + x] = scratch[x];
      }
      to.weight[e] = sum;
      to.count[e] = count;
      for (let d = 0; d < rest.length; d++) to.rest[d][e] = rest[d];
      to.bound[e] = sum + demands[0].prices.member * (demands[0].k - count) + rest[0];
      to.trace[e] = taken < 0 ? from : trace.vertex.push(taken) - 1;
      if (taken >= 0) trace.before.push(from);
      return;
    }
  }

  function same(to: Layer, e: number): boolean {
    for (let x = 0; x < words; x++) if (to.key[e * words + x] !== scratch[x]) return false;
    return true;
  }
}

/** By position: the farthest position that anybody up to it conflicts with. */
export function reach({ n, start, list }: ConflictGraph, order: Int32Array): Int32Array {
  const at = new Int32Array(n);
  order.forEach((v, i) => {
    at[v] = i;
  });
  const last = new Int32Array(n);
  for (let i = 0; i < n; i++) {
    last[i] = Math.max(i, i > 0 ? last[i - 1] : 0);
    for (let e = start[order[i]]; e < start[order[i] + 1]; e++) last[i] = Math.max(last[i], at[list[e]]);
  }
  return last;
}

function turns(
  { graph, cliques, order, demands }: SweepProblem,
  last: Int32Array,
  words: number,
): (i: number) => Turn {
  const at = new Int32Array(graph.n);
  order.forEach((v, i) => {
    at[v] = i;
  });
  const positions = cliques.members.map((m) => Int32Array.from(m, (v) => at[v]).sort());
  const seen = new Int32Array(positions.length).fill(-1);
  const priced = (q: number): boolean => demands.some((d) => d.prices.group[q] > 0);
  // Members ahead of each group. All conflict with one another, so they never lie farther apart than the ring is long.
  const ahead = new Int32Array(positions.length * words);
  positions.forEach((some, q) => {
    for (const j of some) ahead[q * words + ((j >> 5) % words)] |= 1 << (j & 31);
  });
  const masksOf = (groups: readonly number[]): GroupMasks => {
    const masks = new Int32Array(groups.length * words);
    groups.forEach((q, g) => {
      masks.set(ahead.subarray(q * words, (q + 1) * words), g * words);
    });
    return {
      size: groups.length,
      masks,
      price: demands.map((d) => Float64Array.from(groups, (q) => d.prices.group[q])),
    };
  };

  return (i) => {
    const v = order[i];
    const after = Int32Array.from(graph.list.subarray(graph.start[v], graph.start[v + 1]), (u) => at[u])
      .filter((j) => j > i)
      .sort();
    const blocks = new Int32Array(words);
    for (const j of after) blocks[(j >> 5) % words] |= 1 << (j & 31);
    const own: number[] = [];
    const others: number[] = [];
    for (const q of cliques.of[v]) {
      seen[q] = i;
      ahead[q * words + ((i >> 5) % words)] &= ~(1 << (i & 31));
      if (priced(q)) own.push(q);
    }
    for (const j of after) {
      for (const q of cliques.of[order[j]]) {
        if (seen[q] === i) continue;
        seen[q] = i;
        // A member farther ahead than anything is blocked yet keeps the group alive.
        if (priced(q) && positions[q][positions[q].length - 1] <= last[i]) others.push(q);
      }
    }
    return { blocks, ahead: after, own: masksOf(own), others: masksOf(others) };
  };
}

function layer(most: number, words: number, demands: number): Layer {
  return {
    size: 0,
    key: new Int32Array(most * words),
    weight: new Float64Array(most),
    count: new Int32Array(most),
    rest: Array.from({ length: demands }, () => new Float64Array(most)),
    trace: new Int32Array(most).fill(-1),
    bound: new Float64Array(most),
  };
}

/** Keeps the `width` states of the highest bound, in their order, of equal ones the first. @returns the highest bound left out. */
function narrow(states: Layer, width: number, words: number): number {
  const sorted = states.bound.slice(0, states.size).sort();
  const edge = sorted[states.size - width];
  let spare = width;
  for (let s = 0; s < states.size; s++) if (states.bound[s] > edge) spare--;
  let to = 0;
  for (let s = 0; s < states.size; s++) {
    if (states.bound[s] < edge || (states.bound[s] === edge && spare-- <= 0)) continue;
    if (to !== s) {
      states.key.copyWithin(to * words, s * words, (s + 1) * words);
      for (const column of [states.weight, states.count, states.trace, states.bound, ...states.rest])
        column[to] = column[s];
    }
    to++;
  }
  const left = sorted[states.size - width - 1];
  states.size = to;
  return left;
}
