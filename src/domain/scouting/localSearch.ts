/**
 * A good closed tour by local search: nearest neighbour, then reversals of a stretch (2-opt, Croes 1958), moves of up to
 * three stops (Or 1976) and swaps of two stretches (the 3-opt move without a reversal, which is the one for costs that
 * differ by direction; Lin 1965) among near neighbours; then many small random kicks (double bridge, Martin, Otto &
 * Felten 1991), each mended around its place and kept when not worse, or a little worse at first (Kirkpatrick, Gelatt & Vecchi 1983).
 * Deterministic for a seed.
 */
import { drawInteger, rng } from '../base/rng.ts';
import { Tour } from './tour.ts';

/** Near neighbours tried by a move; where costs differ by direction their number matters more, and fewer do. */
const NEAR = { symmetric: 10, directed: 7 };
const LONGEST_MOVE = 3;
/** Longest stretch turned round where costs differ by direction: what that saves must be summed step by step. */
const LONGEST_TURN = 50;
/** Stops between the first and the last cut of a kick: small kicks are mended fast. */
const KICK_SPAN = 50;

export interface SearchProblem {
  /** Row-major n x n; may be negative (reduced costs). */
  readonly cost: Float64Array;
  readonly n: number;
  readonly symmetric: boolean;
}

export interface SearchEffort {
  readonly kicks: number;
  readonly seed: number;
  /** No tour can cost less: the search ends there. */
  readonly stopAt: number;
  /** What counts as a little worse: a kick that adds so much is kept in one case of e at first, never at the end. */
  readonly heat: number;
}

export function localSearch(problem: SearchProblem, { kicks, seed, stopAt, heat }: SearchEffort): number[] {
  const { n } = problem;
  const search = new TourSearch(problem);
  for (let i = 0; i < n; i++) search.touch(i);
  let total = search.total() - search.improve();
  search.tour.keep();
  let stops = search.tour.stops();
  if (n < 8) return stops;
  const random = rng(seed);
  const slack = search.rounding * n;
  let best = total;
  for (let k = 0; k < kicks && best > stopAt + slack; k++) {
    const gain = search.kick(random) + search.improve();
    if (gain < 0 && gain <= heat * (1 - k / kicks) * Math.log(random())) {
      search.tour.takeBack();
      continue;
    }
    search.tour.keep();
    total -= gain;
    if (total >= best - slack) continue;
    best = total;
    stops = search.tour.stops();
  }
  return stops;
}

/** All moves return what they save and mark the stops at their cuts to be looked at again. */
class TourSearch {
  readonly tour: Tour;
  /** Savings up to this are rounding: without it a round of moves that save nothing might never end. */
  readonly rounding: number;
  readonly #cost: Float64Array;
  readonly #n: number;
  readonly #symmetric: boolean;
  /** The nearest stops on the way out of each stop, nearest first. */
  readonly #near: readonly Int32Array[];
  readonly #waiting: number[] = [];
  readonly #isWaiting: Uint8Array;

  constructor({ cost, n, symmetric }: SearchProblem) {
    this.#cost = cost;
    this.#n = n;
    this.#symmetric = symmetric;
    this.#near = Array.from({ length: n }, (_, i) => {
      const others = Array.from({ length: n }, (_, j) => j).filter((j) => j !== i);
      return Int32Array.from(
        others
          .sort((a, b) => cost[i * n + a] - cost[i * n + b] || a - b)
          .slice(0, symmetric ? NEAR.symmetric : NEAR.directed),
      );
    });
    this.#isWaiting = new Uint8Array(n);
    this.tour = new Tour(nearestNeighbour(cost, n));
    let most = 0;
    for (const c of cost) most = Math.max(most, Math.abs(c));
    this.rounding = 1e-12 * most;
  }

  total(): number {
    let sum = 0;
    for (let i = 0; i < this.#n; i++) sum += this.#c(i, this.tour.next(i));
    return sum;
  }

  touch(stop: number): void {
    if (this.#isWaiting[stop]) return;
    this.#isWaiting[stop] = 1;
    this.#waiting.push(stop);
  }

  /** Swaps two neighbouring stretches near a random place. */
  kick(random: () => number): number {
    const span = Math.min(this.#n - 1, KICK_SPAN);
    const cuts = [0, 0, 0].map(() => 1 + drawInteger(random, span)).sort((a, b) => a - b);
    const start = drawInteger(random, this.#n);
    const [i, j, k] = cuts;
    if (i === j || j === k) return 0;
    const { tour } = this;
    const t = (steps: number): number => tour.ahead(start, steps);
    return this.#swap(t(i - 1), t(i), t(j - 1), t(j), t(k - 1), t(k));
  }

  /** Improves around the marked stops until nothing more is found there. */
  improve(): number {
    let gain = 0;
    for (let head = 0; head < this.#waiting.length; head++) {
      const stop = this.#waiting[head];
      this.#isWaiting[stop] = 0;
      const found = this.#reverseFrom(stop) || this.#moveFrom(stop) || this.#swapFrom(stop);
      if (found === 0) continue;
      gain += found;
      this.touch(stop);
    }
    this.#waiting.length = 0;
    return gain;
  }

  #c(i: number, j: number): number {
    return this.#cost[i * this.#n + j];
  }

  /** 2-opt: a -> b ... c -> d becomes a -> c ... b -> d, where a -> c or b -> d leads from the stop to one near it. */
  #reverseFrom(stop: number): number {
    const { tour } = this;
    for (let forward = 1; forward >= 0; forward--) {
      const a = forward ? stop : tour.previous(stop);
      const b = forward ? tour.next(stop) : stop;
      const ab = this.#c(a, b);
      for (const near of this.#near[stop]) {
        const added = this.#c(stop, near);
        if (added >= ab) break;
        const c = forward ? near : tour.previous(near);
        const d = forward ? tour.next(near) : near;
        if (a === c || b === c || a === d) continue;
        let gain = ab + this.#c(c, d) - this.#c(a, c) - this.#c(b, d);
        if (gain > this.rounding && !this.#symmetric)
          gain = tour.steps(b, c) > LONGEST_TURN ? 0 : gain + this.#turnGain(b, c);
        if (gain <= this.rounding) continue;
        if (this.#symmetric && 2 * tour.steps(b, c) > this.#n) tour.reverse(d, a);
        else tour.reverse(b, c);
        for (const t of [a, b, c, d]) this.touch(t);
        return gain;
      }
    }
    return 0;
  }

  /** What the stretch first .. last costs now, less what it costs the other way. */
  #turnGain(first: number, last: number): number {
    let gain = 0;
    for (let u = first; u !== last;) {
      const v = this.tour.next(u);
      gain += this.#c(u, v) - this.#c(v, u);
      u = v;
    }
    return gain;
  }

  /** Or's move: one to three stops from `stop` on (or back) go between two others near it, either way round. */
  #moveFrom(stop: number): number {
    const { tour } = this;
    const n = this.#n;
    for (let length = 1; length <= Math.min(LONGEST_MOVE, n - 3); length++) {
      for (let forward = 1; forward >= 0; forward--) {
        const first = forward ? stop : tour.ahead(stop, n + 1 - length);
        const last = forward ? tour.ahead(stop, length - 1) : stop;
        const before = tour.previous(first);
        const after = tour.next(last);
        const freed = this.#c(before, first) + this.#c(last, after) - this.#c(before, after);
        const turn = this.#symmetric || length === 1 ? 0 : this.#turnGain(first, last);
        for (const near of this.#near[stop]) {
          if (tour.steps(first, near) < length) continue;
          for (let side = 0; side < 2; side++) {
            const p = side ? tour.previous(near) : near;
            const q = side ? near : tour.next(near);
            if (p === last || q === first) continue;
            const gap = freed + this.#c(p, q);
            const straight = gap - this.#c(p, first) - this.#c(last, q);
            const turned = gap + turn - this.#c(p, last) - this.#c(first, q);
            const gain = Math.max(straight, turned);
            if (gain <= this.rounding) continue;
            if (turned > straight) tour.reverse(first, last);
            const head = turned > straight ? last : first;
            // Behind the stretch lies after .. p, before it q .. before; q = first of the ring where p ends it.
            tour.swap(head, after, q);
            for (const t of [before, after, p, q, first, last]) this.touch(t);
            return gain;
          }
        }
      }
    }
    return 0;
  }

  /** a -> b ... c -> d ... e -> f becomes a -> d ... e -> b ... c -> f: two stretches of any length change places. */
  #swapFrom(a: number): number {
    const { tour } = this;
    const b = tour.next(a);
    const ab = this.#c(a, b);
    for (const d of this.#near[a]) {
      const first = ab - this.#c(a, d);
      if (first <= this.rounding) break;
      const c = tour.previous(d);
      if (d === b) continue;
      const second = first + this.#c(c, d);
      const within = tour.steps(b, d);
      for (const f of this.#near[c]) {
        const third = second - this.#c(c, f);
        if (third <= this.rounding) break;
        if (tour.steps(b, f) <= within) continue;
        const e = tour.previous(f);
        if (third + this.#c(e, f) - this.#c(e, b) > this.rounding) return this.#swap(a, b, c, d, e, f);
      }
    }
    return 0;
  }

  #swap(a: number, b: number, c: number, d: number, e: number, f: number): number {
    const gone = this.#c(a, b) + this.#c(c, d) + this.#c(e, f);
    const come = this.#c(a, d) + this.#c(e, b) + this.#c(c, f);
    this.tour.swap(b, d, f);
    for (const t of [a, b, c, d, e, f]) this.touch(t);
    return gone - come;
  }
}

function nearestNeighbour(cost: Float64Array, n: number): number[] {
  const used = new Uint8Array(n);
  const stops: number[] = [];
  for (let u = 0; u >= 0;) {
    used[u] = 1;
    stops.push(u);
    let best = -1;
    for (let v = 0; v < n; v++) if (!used[v] && (best < 0 || cost[u * n + v] < cost[u * n + best])) best = v;
    u = best;
  }
  return stops;
}
