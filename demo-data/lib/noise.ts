import { hash2 } from './rng.ts';

/** Smooth value noise in [-1, 1]: quintic blend of hashed lattice values. */
export function noise(x: number, y: number, seed: number): number {
  const ix = Math.floor(x);
  const iy = Math.floor(y);
  const fx = x - ix;
  const fy = y - iy;
  const sx = fx * fx * fx * (fx * (fx * 6 - 15) + 10);
  const sy = fy * fy * fy * (fy * (fy * 6 - 15) + 10);
  const a = hash2(ix, iy, seed);
  const b = hash2(ix + 1, iy, seed);
  const c = hash2(ix, iy + 1, seed);
  const d = hash2(ix + 1, iy + 1, seed);
  return 2 * (a + (b - a) * sx + (c - a) * sy + (a - b - c + d) * sx * sy) - 1;
}

/** Octaves of noise, each twice as fine and half as strong; about [-1, 1]. Every octave is turned against lattice stripes. */
export function fbm(x: number, y: number, seed: number, octaves: number): number {
  let sum = 0;
  let weight = 0;
  let amplitude = 1;
  for (let o = 0; o < octaves; o++) {
    sum += amplitude * noise(x, y, seed + o * 101);
    weight += amplitude;
    amplitude *= 0.5;
    const nx = 1.6 * x + 1.2 * y + 17.3;
    y = -1.2 * x + 1.6 * y - 9.1;
    x = nx;
  }
  return sum / weight;
}
