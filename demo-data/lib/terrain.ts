/** An invented dissected plateau: ridges of harder rock, branching valleys, flood plains along the larger streams. */
import { drainage, erodeStep, fillPits, roomOf } from './erosion.ts';
import { FRAME } from './frame.ts';
import { fbm, noise } from './noise.ts';
import { hash2 } from './rng.ts';

/** Coarse cells: four fine cells a side. */
export const COARSE = 4 * FRAME.cell;
export const COARSE_N = FRAME.size / COARSE;
/** Erosion runs on a wider square, so that its edges fall outside the frame. */
const MARGIN = 80;
const WIDE = COARSE_N + 2 * MARGIN;
const STEPS = 80;
const LOWEST = 170;
const HIGHEST = 790;
/** Coarse cells upstream from which a stream is drawn as water, and from which it has a flood plain. */
export const RIVER_AREA = 5_000;
const PLAIN_AREA = 900;

export interface Terrain {
  /** Metres at the fine cell centres, row 0 at the north. */
  readonly elevation: Float64Array;
  /** Metres above the nearest stream that has a flood plain, at the coarse cells. */
  readonly aboveStream: Float64Array;
  /** Metres to that stream, at the coarse cells. */
  readonly toStream: Float64Array;
  /** Upstream area in coarse cells. */
  readonly area: Float64Array;
  /** Stream lines with water, from the source down: local places and the upstream area (coarse cells) at each. */
  readonly rivers: ReadonlyArray<ReadonlyArray<readonly [number, number, number]>>;
}

function erodedPlateau(): { h: Float64Array; area: Float64Array; receiver: Int32Array } {
  const n = WIDE;
  const h = new Float64Array(n * n);
  const uplift = new Float64Array(n * n);
  const k = new Float64Array(n * n);
  const outlet = new Uint8Array(n * n);
  for (let y = 0, i = 0; y < n; y++)
    for (let x = 0; x < n; x++, i++) {
      const east = x / n;
      h[i] = 20 * east + 26 * fbm(x / 90, y / 90, 11, 6) + 24 * hash2(x, y, 12) + 40;
      // Bands of hard rock run north-east and make the long ridges.
      const across = (x * 0.82 + y * 0.57 + 60 * fbm(x / 210, y / 210, 13, 3)) / 66;
      const band = noise(across, (0.37 * (x - y)) / 260, 14);
      k[i] = 0.3 * (1 - 0.66 * Math.max(0, Math.min(1, (band + 0.1) * 1.7)));
      uplift[i] = 3 * (2.2 + 3.4 * east + 1.2 * fbm(x / 260, y / 260, 15, 2));
      outlet[i] = x === 0 || (y === n - 1 && x < n / 3) ? 1 : 0;
      if (outlet[i]) h[i] = 0;
    }
  fillPits(n, h, outlet);
  const room = roomOf(n * n);
  for (let s = 0; s < STEPS; s++) {
    erodeStep(n, h, uplift, k, 0.22, outlet, room);
    if (s % 10 === 9) fillPits(n, h, outlet);
  }
  fillPits(n, h, outlet);
  const { area, receiver } = drainage(n, h, outlet, room);
  return { h, area, receiver };
}

/** For every coarse cell: the nearest stream cell with a flood plain (two chamfer passes each way), as index and distance in cells. */
function nearestStream(area: Float64Array): { source: Int32Array; distance: Float64Array } {
  const n = COARSE_N;
  const source = new Int32Array(n * n).fill(-1);
  const distance = new Float64Array(n * n).fill(Infinity);
  for (let i = 0; i < n * n; i++)
    if (area[i] >= PLAIN_AREA) {
      source[i] = i;
      distance[i] = 0;
    }
  const relax = (i: number, x: number, y: number): void => {
    for (let dy = -1; dy <= 1; dy++)
      for (let dx = -1; dx <= 1; dx++) {
        const nx = x + dx;
        const ny = y + dy;
        if (nx < 0 || ny < 0 || nx >= n || ny >= n) continue;
        const s = source[ny * n + nx];
        if (s < 0) continue;
        const sx = s % n;
        const d = Math.sqrt((x - sx) ** 2 + (y - (s - sx) / n) ** 2);
        if (d < distance[i]) {
          distance[i] = d;
          source[i] = s;
        }
      }
  };
  for (let pass = 0; pass < 2; pass++) {
    for (let y = 0; y < n; y++) for (let x = 0; x < n; x++) relax(y * n + x, x, y);
    for (let y = n - 1; y >= 0; y--) for (let x = n - 1; x >= 0; x--) relax(y * n + x, x, y);
  }
  return { source, distance };
}

/** Passes of a 3 x 3 binomial mean, in place; the outermost cells stay. */
function smooth(h: Float64Array, n: number, passes: number): void {
  for (let p = 0; p < passes; p++) {
    const b = h.slice();
    for (let y = 1; y < n - 1; y++)
      for (let x = 1; x < n - 1; x++) {
        const i = y * n + x;
        h[i] =
          (4 * b[i] +
            2 * (b[i - 1] + b[i + 1] + b[i - n] + b[i + n]) +
            b[i - n - 1] +
            b[i - n + 1] +
            b[i + n - 1] +
            b[i + n + 1]) /
          16;
      }
  }
}

/** Displacement (metres) that turns the straight lines of the coarse grid into crooked ones. */
function warp(u: number, v: number): [number, number] {
  return [150 * fbm(u / 620, v / 620, 41, 3), 150 * fbm(u / 620, v / 620, 42, 3)];
}

/** Catmull-Rom interpolation of the coarse grid (with a border of cells) at fractional coarse coordinates. */
function cubic(grid: Float64Array, n: number, x: number, y: number): number {
  const ix = Math.floor(x);
  const iy = Math.floor(y);
  const weights = (t: number): [number, number, number, number] => [
    ((-t + 2) * t - 1) * t * 0.5,
    ((3 * t - 5) * t * t + 2) * 0.5,
    ((-3 * t + 4) * t + 1) * t * 0.5,
    (t - 1) * t * t * 0.5,
  ];
  const wx = weights(x - ix);
  const wy = weights(y - iy);
  let sum = 0;
  for (let j = 0; j < 4; j++) {
    const row = (iy - 1 + j) * n + ix - 1;
    sum +=
      wy[j] * (wx[0] * grid[row] + wx[1] * grid[row + 1] + wx[2] * grid[row + 2] + wx[3] * grid[row + 3]);
  }
  return sum;
}

export function makeTerrain(): Terrain {
  const wide = erodedPlateau();
  const n = COARSE_N;
  let low = Infinity;
  let high = -Infinity;
  for (let y = 0; y < n; y++)
    for (let x = 0; x < n; x++) {
      const z = wide.h[(y + MARGIN) * WIDE + x + MARGIN];
      low = Math.min(low, z);
      high = Math.max(high, z);
    }
  const stretch = (HIGHEST - LOWEST) / (high - low);
  for (let i = 0; i < wide.h.length; i++) wide.h[i] = LOWEST + (wide.h[i] - low) * stretch;

  const area = new Float64Array(n * n);
  for (let y = 0; y < n; y++)
    for (let x = 0; x < n; x++) area[y * n + x] = wide.area[(y + MARGIN) * WIDE + x + MARGIN]!;
  const { source, distance } = nearestStream(area);
  const aboveStream = new Float64Array(n * n);
  const toStream = new Float64Array(n * n);
  for (let y = 0; y < n; y++)
    for (let x = 0; x < n; x++) {
      const i = y * n + x;
      const at = (y + MARGIN) * WIDE + x + MARGIN;
      const s = source[i];
      const sx = s % n;
      const bed = wide.h[((s - sx) / n + MARGIN) * WIDE + sx + MARGIN];
      // Flood plain: near a stream the ground rises slowly from the bed, wider along larger streams.
      const width = Math.min(7, 0.9 + Math.sqrt(area[s] / PLAIN_AREA) * 0.55);
      const beyond = Math.max(0, distance[i] - width);
      const ceiling = bed + 1.5 * Math.min(distance[i], width) + 9 * beyond + 7 * beyond * beyond;
      if (ceiling < wide.h[at]) wide.h[at] = ceiling;
      aboveStream[i] = wide.h[at] - bed;
      toStream[i] = distance[i] * COARSE;
    }

  smooth(wide.h, WIDE, 1);
  const elevation = new Float64Array(FRAME.n * FRAME.n);
  for (let row = 0, i = 0; row < FRAME.n; row++)
    for (let col = 0; col < FRAME.n; col++, i++) {
      const u = (col + 0.5) * FRAME.cell;
      const v = FRAME.size - (row + 0.5) * FRAME.cell;
      const [du, dv] = warp(u, v);
      const z = cubic(
        wide.h,
        WIDE,
        (u + du) / COARSE - 0.5 + MARGIN,
        (FRAME.size - v - dv) / COARSE - 0.5 + MARGIN,
      );
      const at = Math.floor(row / 4) * n + Math.floor(col / 4);
      const rough = Math.min(1, Math.max(0.06, aboveStream[at] / 70));
      elevation[i] = z + 9 * rough * fbm(col / 22, row / 22, 21, 4);
    }

  return { elevation, aboveStream, toStream, area, rivers: riverLines(wide.area, wide.receiver) };
}

/** Streams with water, each from its source to where it joins a drawn one or leaves the frame. */
function riverLines(
  area: Float64Array,
  receiver: Int32Array,
): Array<Array<readonly [number, number, number]>> {
  const inside = (i: number): boolean => {
    const x = (i % WIDE) - MARGIN;
    const y = Math.floor(i / WIDE) - MARGIN;
    return x >= 0 && y >= 0 && x < COARSE_N && y < COARSE_N;
  };
  const isRiver = (i: number): boolean => area[i] >= RIVER_AREA && inside(i);
  const fed = new Uint8Array(area.length);
  for (let i = 0; i < area.length; i++) if (isRiver(i) && receiver[i] !== i) fed[receiver[i]] = 1;
  const place = (i: number): readonly [number, number, number] => {
    const u = ((i % WIDE) - MARGIN + 0.5) * COARSE;
    const v = FRAME.size - (Math.floor(i / WIDE) - MARGIN + 0.5) * COARSE;
    // Where the warped surface shows this place: one step of the inverse, then one better.
    const [du, dv] = warp(u, v);
    const [eu, ev] = warp(u - du, v - dv);
    return [u - eu, v - ev, area[i]];
  };
  const drawn = new Uint8Array(area.length);
  const lines: Array<Array<readonly [number, number, number]>> = [];
  for (let i = 0; i < area.length; i++) {
    if (!isRiver(i) || fed[i]) continue;
    const line: Array<readonly [number, number, number]> = [];
    for (let at = i; isRiver(at); at = receiver[at]!) {
      line.push(place(at));
      if (drawn[at] || receiver[at] === at) break;
      drawn[at] = 1;
    }
    if (line.length > 3) lines.push(line);
  }
  return lines;
}
