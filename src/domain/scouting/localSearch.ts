/**
 * A good closed tour by local search: nearest neighbour, then reversals of a stretch (2-opt, Croes 1958) and moves of up to
 * three stops (Or 1976) among near neighbours, then many small random kicks (double bridge, Martin, Otto & Felten 1991),
 * each mended around its place and kept when not worse. Deterministic for a seed.
 */
import { drawInteger, rng } from '../base/rng.ts';
import type { ClosedProblem } from './closedProblem.ts';

const NEAR = 10;
const LONGEST_MOVE = 3;
/** Stops between the first and the last cut of a kick: small kicks are mended fast. */
const KICK_SPAN = 30;

export function localSearch(problem: ClosedProblem, kicks: number, seed: number): number[] {
  const { n } = problem;
  const search = new TourSearch(problem);
  search.improve(Array.from({ length: n }, (_, i) => i));
  if (n < 5) return search.tour();
  const random = rng(seed);
  let best = search.total();
  let kept = search.tour();
  for (let k = 0; k < kicks; k++) {
    const touched = search.kick(random);
    search.improve(touched);
    const total = search.total();
    if (total <= best + 1e-12 * Math.abs(best)) {
      best = total;
      kept = search.tour();
    } else search.reset(kept);
  }
  return kept;
}

class TourSearch {
  #cost: Float64Array;
  #n: number;
  #symmetric: boolean;
  #near: Int32Array[];
  #order: Int32Array;
  #at: Int32Array;

  constructor({ cost, n, symmetric }: ClosedProblem) {
    this.#cost = cost;
    this.#n = n;
    this.#symmetric = symmetric;
    this.#near = Array.from({ length: n }, (_, i) => {
      const others = Array.from({ length: n }, (_, j) => j).filter((j) => j !== i);
      const key = (j: number): number => Math.min(cost[i * n + j], cost[j * n + i]);
      return Int32Array.from(others.sort((a, b) => key(a) - key(b) || a - b).slice(0, NEAR));
    });
    this.#order = new Int32Array(n);
    this.#at = new Int32Array(n);
    this.#nearestNeighbour();
  }

  tour(): number[] {
    return Array.from(this.#order);
  }

  reset(tour: readonly number[]): void {
    tour.forEach((stop, i) => {
      this.#order[i] = stop;
      this.#at[stop] = i;
    });
  }

  total(): number {
    let sum = 0;
    for (let i = 0; i < this.#n; i++) sum += this.#c(this.#order[i], this.#order[(i + 1) % this.#n]);
    return sum;
  }

  /** Swaps two neighbouring stretches near a random place; @returns the stops at the cuts. */
  kick(random: () => number): number[] {
    const n = this.#n;
    const span = Math.min(n - 1, KICK_SPAN);
    const start = drawInteger(random, n);
    const cuts = [
      1 + drawInteger(random, span),
      1 + drawInteger(random, span),
      1 + drawInteger(random, span),
    ].sort((a, b) => a - b);
    const [a, b, c] = cuts;
    if (a === b || b === c) return [];
    const stretch: number[] = [];
    for (let i = b; i < c; i++) stretch.push(this.#order[(start + i) % n]);
    for (let i = a; i < b; i++) stretch.push(this.#order[(start + i) % n]);
    stretch.forEach((stop, i) => this.#put((start + a + i) % n, stop));
    return [a - 1, a, a + c - b - 1, a + c - b, c - 1, c].map((i) => this.#order[(start + i + n) % n]);
  }

  /** Improves around the given stops until nothing more is found there. */
  improve(stops: readonly number[]): void {
    const queue = [...stops];
    const queued = new Uint8Array(this.#n);
    for (const s of queue) queued[s] = 1;
    for (let head = 0; head < queue.length; head++) {
      const stop = queue[head];
      queued[stop] = 0;
      const touched = this.#moveFrom(stop) ?? this.#reverseFrom(stop);
      if (!touched) continue;
      for (const t of [...touched, stop]) {
        if (queued[t]) continue;
        queued[t] = 1;
        queue.push(t);
      }
    }
  }

  #c(i: number, j: number): number {
    return this.#cost[i * this.#n + j];
  }

  #put(position: number, stop: number): void {
    this.#order[position] = stop;
    this.#at[stop] = position;
  }

  #next(stop: number, by = 1): number {
    const p = (this.#at[stop] + by) % this.#n;
    return this.#order[p < 0 ? p + this.#n : p];
  }

  /** Reverses positions from..to (cyclic), the shorter side where the costs allow it. */
  #reverse(from: number, to: number): void {
    const n = this.#n;
    let length = ((to - from + n) % n) + 1;
    let i = from;
    let j = to;
    if (this.#symmetric && 2 * length > n) {
      i = (to + 1) % n;
      j = (from - 1 + n) % n;
      length = n - length;
    }
    for (let k = length >> 1; k > 0; k--) {
      const a = this.#order[i];
      const b = this.#order[j];
      this.#put(i, b);
      this.#put(j, a);
      i = i + 1 === n ? 0 : i + 1;
      j = j === 0 ? n - 1 : j - 1;
    }
  }

  /** 2-opt: a -> b ... c -> d becomes a -> c ... b -> d, for a or b the stop and the other end near it. */
  #reverseFrom(stop: number): number[] | null {
    for (const other of this.#near[stop]) {
      for (const forward of [true, false]) {
        const a = forward ? stop : this.#next(stop, -1);
        const c = forward ? other : this.#next(other, -1);
        const b = this.#next(a);
        const d = this.#next(c);
        if (a === c || b === c || a === d) continue;
        let gain = this.#c(a, b) + this.#c(c, d) - this.#c(a, c) - this.#c(b, d);
        if (gain <= 1e-9) continue;
        if (!this.#symmetric) gain += this.#reversalGain(b, c);
        if (gain <= 1e-9) continue;
        this.#reverse(this.#at[b], this.#at[c]);
        return [a, b, c, d];
      }
    }
    return null;
  }

  /** What the stretch b ... c costs now, less what it costs the other way. */
  #reversalGain(b: number, c: number): number {
    let gain = 0;
    for (let u = b; u !== c;) {
      const v = this.#next(u);
      gain += this.#c(u, v) - this.#c(v, u);
      u = v;
    }
    return gain;
  }

  /** Or's move: one to three stops from `stop` on (or back) go between two others near it, either way round. */
  #moveFrom(stop: number): number[] | null {
    const n = this.#n;
    if (n < 5) return null;
    for (let length = 1; length <= Math.min(LONGEST_MOVE, n - 3); length++) {
      for (const forward of [true, false]) {
        const first = forward ? stop : this.#next(stop, 1 - length);
        const last = this.#next(first, length - 1);
        const before = this.#next(first, -1);
        const after = this.#next(last);
        const freed = this.#c(before, first) + this.#c(last, after) - this.#c(before, after);
        const turn = this.#symmetric || length === 1 ? 0 : this.#reversalGain(first, last);
        for (const other of this.#near[stop]) {
          if (this.#within(other, first, length)) continue;
          for (const [p, q] of [
            [other, this.#next(other)],
            [this.#next(other, -1), other],
          ]) {
            if (this.#within(p, first, length) || this.#within(q, first, length)) continue;
            const gap = this.#c(p, q);
            const straight = this.#c(p, first) + this.#c(last, q) - gap;
            const turned = this.#c(p, last) + this.#c(first, q) - gap - turn;
            if (Math.min(straight, turned) >= freed - 1e-9) continue;
            this.#shift(first, length, p, turned < straight);
            return [before, after, p, q, first, last];
          }
        }
      }
    }
    return null;
  }

  #within(stop: number, first: number, length: number): boolean {
    return (this.#at[stop] - this.#at[first] + this.#n) % this.#n < length;
  }

  /** Takes `length` stops from `first` on and puts them behind `p`, turned round or not, sliding what lies between. */
  #shift(first: number, length: number, p: number, turned: boolean): void {
    const n = this.#n;
    const moved: number[] = [];
    for (let i = 0; i < length; i++) moved.push(this.#next(first, i));
    if (turned) moved.reverse();
    const from = this.#at[first];
    const ahead = (this.#at[p] - from - length + 1 + n) % n;
    const behind = (from - this.#at[p] - 1 + n) % n;
    if (ahead <= behind) {
      for (let i = 0; i < ahead; i++) this.#put((from + i) % n, this.#order[(from + length + i) % n]);
      moved.forEach((stop, i) => this.#put((from + ahead + i) % n, stop));
    } else {
      for (let i = 0; i < behind; i++)
        this.#put((from + length - 1 - i + n) % n, this.#order[(from - 1 - i + n) % n]);
      moved.forEach((stop, i) => this.#put((from - behind + i + n) % n, stop));
    }
  }

  #nearestNeighbour(): void {
    const n = this.#n;
    const used = new Uint8Array(n);
    let u = 0;
    for (let i = 0; i < n; i++) {
      used[u] = 1;
      this.#put(i, u);
      let best = -1;
      for (let v = 0; v < n; v++) if (!used[v] && (best < 0 || this.#c(u, v) < this.#c(u, best))) best = v;
      u = best;
    }
  }
}
