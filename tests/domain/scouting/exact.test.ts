import { describe, expect, it } from 'vitest';
import { rng } from '../../../src/domain/base/rng.ts';
import { closedProblem } from '../../../src/domain/scouting/closedProblem.ts';
import { localSearch } from '../../../src/domain/scouting/localSearch.ts';
import { lowerBound } from '../../../src/domain/scouting/lowerBound.ts';
import { order } from '../../../src/domain/scouting/order.ts';
import { subsetTour } from '../../../src/domain/scouting/subsetTour.ts';
import { Tour } from '../../../src/domain/scouting/tour.ts';

function randomTable(n: number, seed: number, symmetric: boolean, top: number): Float64Array {
  const random = rng(seed);
  const cost = Float64Array.from({ length: n * n }, () => Math.floor(random() * top));
  for (let i = 0; i < n; i++) {
    cost[i * n + i] = 0;
    if (symmetric) for (let j = 0; j < i; j++) cost[i * n + j] = cost[j * n + i];
  }
  return cost;
}

const length = (cost: Float64Array, n: number, tour: readonly number[]): number =>
  tour.reduce((sum, stop, i) => sum + cost[stop * n + tour[(i + 1) % n]], 0);

/** Least closed tour through `rest` from `at` back to 0, by trying all orders. */
function cheapest(cost: Float64Array, n: number, at: number, rest: number[]): number {
  if (rest.length === 0) return cost[at * n];
  let best = Infinity;
  for (const next of rest) {
    const others = rest.filter((r) => r !== next);
    best = Math.min(best, cost[at * n + next] + cheapest(cost, n, next, others));
  }
  return best;
}

describe('the dynamic programme over subsets', () => {
  it('equals the best of all orders on 60 random tables of 3 to 8 stops', () => {
    for (let seed = 1; seed <= 60; seed++) {
      const n = 3 + (seed % 6);
      const cost = randomTable(n, seed, seed % 2 === 0, 30);
      const tour = subsetTour(cost, n);
      expect([...tour].sort((a, b) => a - b)).toEqual(Array.from({ length: n }, (_, i) => i));
      const rest = Array.from({ length: n - 1 }, (_, i) => i + 1);
      expect(length(cost, n, tour), `seed ${seed}`).toBe(cheapest(cost, n, 0, rest));
    }
  });

  it('is at least as good as the local search on tables where bounds say little', () => {
    // Costs of 0 and 1: thousands of orders are as short, and a bound proves nothing.
    for (let seed = 1; seed <= 8; seed++) {
      const n = 15;
      const cost = randomTable(n, seed, seed % 2 === 0, 2);
      const closed = closedProblem({ cost, n, start: 0, end: null, closed: true });
      const searched = localSearch(closed, { kicks: 2000, seed, stopAt: -Infinity, heat: 0 });
      const exact = length(closed.cost, n, subsetTour(closed.cost, n));
      expect(exact, `seed ${seed}`).toBeLessThanOrEqual(length(closed.cost, n, searched));
    }
  });
});

describe('the lower bound', () => {
  it('never exceeds the exact tour, closed or open, symmetric or not, and is close to it', () => {
    let sum = 0;
    let count = 0;
    for (let seed = 1; seed <= 80; seed++) {
      const n = 6 + (seed % 7);
      const cost = randomTable(n, seed, seed % 3 === 0, 100);
      const shape = seed % 4;
      const problem = {
        cost,
        n,
        start: shape === 1 || shape === 3 ? 0 : null,
        end: shape === 2 || shape === 3 ? n - 1 : null,
        closed: shape === 0,
      };
      const closed = closedProblem(problem);
      const exact = length(closed.cost, closed.n, subsetTour(closed.cost, closed.n));
      // The known tour that sets the length of the steps may be poor: the bound must hold all the same.
      for (const known of [exact, 1.5 * exact + 10]) {
        const bound = lowerBound(closed, known).value;
        expect(bound, `seed ${seed}`).toBeLessThanOrEqual(exact);
        sum += exact === 0 ? 1 : bound / exact;
        count++;
      }
    }
    expect(sum / count).toBeGreaterThan(0.95);
  });

  it('stays below the exact optimum of larger orders', () => {
    for (let seed = 1; seed <= 4; seed++) {
      const n = 18;
      const cost = randomTable(n, seed, seed % 2 === 0, 1000);
      const exact = order({ cost, n, start: 0, end: null, closed: true });
      const closed = closedProblem({ cost, n, start: 0, end: null, closed: true });
      expect(lowerBound(closed, 2 * exact.total).value, `seed ${seed}`).toBeLessThanOrEqual(exact.total);
    }
  });
});

describe('the tour that moves change in place', () => {
  const turned = (stops: number[]): string => {
    const at = stops.indexOf(0);
    return [...stops.slice(at), ...stops.slice(0, at)].join(' ');
  };

  it('swaps two stretches that follow one another, wherever the ring is cut', () => {
    for (let cut = 0; cut < 9; cut++) {
      const ring = Array.from({ length: 9 }, (_, i) => (i + cut) % 9);
      for (const [a, b, c] of [
        [1, 3, 4],
        [1, 2, 8],
        [5, 7, 2],
        [7, 1, 2],
      ]) {
        const tour = new Tour(ring);
        tour.swap(a, b, c);
        const stretch = (from: number, to: number): number[] => {
          const out: number[] = [];
          for (let s = from; s !== to; s = (s + 1) % 9) out.push(s);
          return out;
        };
        expect(turned(tour.stops()), `cut ${cut}, ${a} ${b} ${c}`).toBe(
          turned([...stretch(b, c), ...stretch(a, b), ...stretch(c, a)]),
        );
        tour.takeBack();
        expect(tour.stops()).toEqual(ring);
      }
    }
  });

  it('turns a stretch round across the cut of the ring, and keeps or takes back', () => {
    const tour = new Tour([0, 1, 2, 3, 4, 5]);
    tour.reverse(4, 1);
    expect(turned(tour.stops())).toBe('0 5 4 2 3 1');
    expect(tour.next(1)).toBe(0);
    expect(tour.previous(1)).toBe(3);
    tour.keep();
    tour.reverse(2, 3);
    tour.takeBack();
    expect(turned(tour.stops())).toBe('0 5 4 2 3 1');
  });
});
