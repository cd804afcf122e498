import { rng } from '../../base/rng.ts';

const SEED = 1946;
const held = new Map<string, Float64Array>();

/**
 * How even the gaps between points on a line are: one-sided p of the sum of squares of the gaps as shares of the whole
 * (Greenwood 1946, J. R. Statist. Soc. 109:85-110), small where they are more even than chance leaves them. What it is under
 * chance hangs on the number of points alone; it is simulated once for each (seeded) and kept.
 * @param along position of each point along the line, in any order; at least three.
 * @param apart gaps count by what they exceed this: no nearer could two points be.
 */
export function evenness(along: Float64Array, apart: number, simulations: number): number {
  const n = along.length;
  const own = sumOfSquares(along.slice().sort(), apart);
  const key = `${n} ${simulations}`;
  let sums = held.get(key);
  if (!sums) {
    const random = rng(SEED);
    const places = new Float64Array(n);
    sums = new Float64Array(simulations);
    for (let s = 0; s < simulations; s++) {
      let sum = 0;
      for (let i = 1; i < n; i++) places[i] = sum -= Math.log(1 - random());
      sums[s] = sumOfSquares(places, 0);
    }
    held.set(key, sums);
  }
  let asEven = 0;
  for (const s of sums) if (s <= own) asEven++;
  return (1 + asEven) / (1 + simulations);
}

/** Of the shares of the gaps; 0 where no gap exceeds `apart`. @param sorted the first and the last are the ends. */
function sumOfSquares(sorted: Float64Array, apart: number): number {
  let [sum, squares] = [0, 0];
  for (let i = 1; i < sorted.length; i++) {
    const gap = Math.max(0, sorted[i] - sorted[i - 1] - apart);
    sum += gap;
    squares += gap * gap;
  }
  return sum > 0 ? squares / (sum * sum) : 0;
}
