/** Four invented climate variables for two periods, tied to the ground by lapse rates, valley frost and windward rain. */
import { FRAME } from './frame.ts';
import { fbm } from './noise.ts';

export const PERIODS = ['1991-2020', '2041-2070'] as const;
export type Period = (typeof PERIODS)[number];
export const VARIABLES = [
  'mean-annual-temperature',
  'coldest-month-temperature',
  'annual-precipitation',
  'frost-free-period',
] as const;
export type ClimateVariable = (typeof VARIABLES)[number];
export type Climate = Record<Period, Record<ClimateVariable, Float64Array>>;

const PER_CELL = FRAME.climateCell / FRAME.cell;

/** Mean elevation of each climate cell. */
function blockMeans(elevation: Float64Array): Float64Array {
  const n = FRAME.climateN;
  const out = new Float64Array(n * n);
  for (let y = 0; y < FRAME.n; y++)
    for (let x = 0; x < FRAME.n; x++)
      out[Math.floor(y / PER_CELL) * n + Math.floor(x / PER_CELL)] += elevation[y * FRAME.n + x];
  return out.map((s) => s / (PER_CELL * PER_CELL));
}

/** Mean over a window of cells shifted westward by `west` cells. */
function around(grid: Float64Array, x: number, y: number, radius: number, west: number): number {
  const n = FRAME.climateN;
  let sum = 0;
  let count = 0;
  for (let dy = -radius; dy <= radius; dy++)
    for (let dx = -radius; dx <= radius; dx++) {
      const sx = Math.min(n - 1, Math.max(0, x + dx - west));
      const sy = Math.min(n - 1, Math.max(0, y + dy));
      sum += grid[sy * n + sx];
      count++;
    }
  return sum / count;
}

export function makeClimate(elevation: Float64Array): Climate {
  const n = FRAME.climateN;
  const z = blockMeans(elevation);
  const blank = (): Record<ClimateVariable, Float64Array> => ({
    'mean-annual-temperature': new Float64Array(n * n),
    'coldest-month-temperature': new Float64Array(n * n),
    'annual-precipitation': new Float64Array(n * n),
    'frost-free-period': new Float64Array(n * n),
  });
  const climate: Climate = { '1991-2020': blank(), '2041-2070': blank() };
  for (let y = 0, i = 0; y < n; y++)
    for (let x = 0; x < n; x++, i++) {
      const north = 1 - y / n;
      const high = (z[i] - 250) / 1000;
      const hollow = Math.max(-1, Math.min(1, (around(z, x, y, 4, 0) - z[i]) / 60));
      const windward = (z[i] - around(z, x, y, 5, 9)) / 100;
      const t = 12.3 - 5.4 * high - 0.55 * north + 0.12 * fbm(x / 14, y / 14, 71, 3);
      const cold =
        -0.9 - 4.6 * high - 0.8 * north - 0.7 * Math.max(0, hollow) + 0.25 * fbm(x / 18, y / 18, 72, 3);
      const rain = 1040 + 330 * high + 38 * windward - 45 * (x / n) + 26 * fbm(x / 22, y / 22, 73, 4);
      const frost = 176 - 36 * high - 5 * north - 11 * hollow + 3.5 * fbm(x / 16, y / 16, 74, 3);
      const now = climate['1991-2020'];
      now['mean-annual-temperature'][i] = t;
      now['coldest-month-temperature'][i] = cold;
      now['annual-precipitation'][i] = rain;
      now['frost-free-period'][i] = frost;
      const later = climate['2041-2070'];
      later['mean-annual-temperature'][i] = t + 2.3 + 0.1 * fbm(x / 40, y / 40, 75, 2);
      later['coldest-month-temperature'][i] = cold + 2.7 + 0.15 * fbm(x / 40, y / 40, 76, 2);
      later['annual-precipitation'][i] = rain * (1.05 + 0.015 * fbm(x / 40, y / 40, 77, 2));
      later['frost-free-period'][i] = frost + 23 + 2 * fbm(x / 40, y / 40, 78, 2);
    }
  return climate;
}

/** Bilinear value of a climate grid at a local place (cell centres; clamped at the edge: only the generator asks). */
export function climateAt(grid: Float64Array, u: number, v: number): number {
  const n = FRAME.climateN;
  const clamp = (t: number): number => Math.min(n - 1.001, Math.max(0, t));
  const x = clamp(u / FRAME.climateCell - 0.5);
  const y = clamp((FRAME.size - v) / FRAME.climateCell - 0.5);
  const i = Math.floor(y) * n + Math.floor(x);
  const fx = x - Math.floor(x);
  const fy = y - Math.floor(y);
  return (
    (grid[i] * (1 - fx) + grid[i + 1] * fx) * (1 - fy) + (grid[i + n] * (1 - fx) + grid[i + n + 1] * fx) * fy
  );
}
