/** Eight invented seed-collection zones on a 3 x 3 net; neighbours share the same vertices in the same places. */
import { FRAME, type Local } from './frame.ts';
import { fbm } from './noise.ts';

export interface DemoZone {
  readonly key: string;
  readonly name: string;
  readonly ring: readonly Local[];
}

/**
 * Junctions in shares of the frame. Three of the four inner crossings are pulled apart into two junctions (so that
 * opposite zones do not touch); the one named X stays whole: there four zones meet, and opposite ones only at that point.
 */
const T = {
  SW: [0, 0],
  S1: [0.31, 0],
  S2: [0.68, 0],
  SE: [1, 0],
  W1: [0, 0.36],
  W2: [0, 0.69],
  E1: [1, 0.3],
  E2: [1, 0.66],
  NW: [0, 1],
  N1: [0.38, 1],
  N2: [0.64, 1],
  NE: [1, 1],
  X: [0.36, 0.38],
  a: [0.61, 0.37],
  b: [0.69, 0.31],
  c: [0.36, 0.63],
  d: [0.43, 0.7],
  e: [0.63, 0.69],
  f: [0.7, 0.6],
} as const satisfies Record<string, Local>;
type Junction = keyof typeof T;

/** Rings by junctions, counter-clockwise. The north-eastern zone takes two meshes of the net. */
const ZONES: ReadonlyArray<readonly [key: string, name: string, ring: readonly Junction[]]> = [
  ['Z1', 'Inkblot Lowland', ['SW', 'S1', 'X', 'W1']],
  ['Z2', 'Blotter Hills', ['S1', 'S2', 'b', 'a', 'X']],
  ['Z3', 'Conjecture Knobs', ['S2', 'SE', 'E1', 'b']],
  ['Z4', 'Sketch Valley', ['W1', 'X', 'c', 'W2']],
  ['Z5', 'Figment Plateau', ['X', 'a', 'f', 'e', 'd', 'c']],
  ['Z6', 'Notional Ridges', ['b', 'E1', 'E2', 'f', 'a']],
  ['Z7', 'Foolscap Uplands', ['W2', 'c', 'd', 'N1', 'NW']],
  ['Z8', 'Margin Heights', ['d', 'e', 'f', 'E2', 'NE', 'N2', 'N1']],
];

const scale = (j: Junction): Local => [T[j][0] * FRAME.size, T[j][1] * FRAME.size];
const EDGE_POINTS = 18;

/** Points from one junction to another: crooked inside the frame, straight along its border; the same both ways. */
function side(from: Junction, to: Junction): Local[] {
  if (from > to) return side(to, from).reverse();
  const a = scale(from);
  const b = scale(to);
  const border =
    (a[0] === b[0] && (a[0] === 0 || a[0] === FRAME.size)) ||
    (a[1] === b[1] && (a[1] === 0 || a[1] === FRAME.size));
  const points: Local[] = [];
  const length = Math.sqrt((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2);
  for (let k = 0; k <= EDGE_POINTS; k++) {
    const t = k / EDGE_POINTS;
    const u = a[0] + (b[0] - a[0]) * t;
    const v = a[1] + (b[1] - a[1]) * t;
    // Nothing at the ends, most in the middle.
    const swing = border ? 0 : 0.9 * length * t * (1 - t);
    points.push([u + swing * fbm(u / 7000, v / 7000, 81, 3), v + swing * fbm(u / 7000, v / 7000, 82, 3)]);
  }
  return points;
}

/** The place where four zones meet, two and two only at that point. */
export const CORNER: Local = scale('X');
/** Opposite zones at that place. */
export const CORNER_ONLY: ReadonlyArray<readonly [string, string]> = [
  ['Z1', 'Z5'],
  ['Z2', 'Z4'],
];

export function makeZones(): DemoZone[] {
  return ZONES.map(([key, name, ring]) => {
    const points: Local[] = [];
    ring.forEach((j, k) => points.push(...side(j, ring[(k + 1) % ring.length]).slice(0, -1)));
    points.push(points[0]);
    return { key, name, ring: points };
  });
}

/** Even-odd rule. */
export function inside(ring: readonly Local[], [u, v]: Local): boolean {
  let odd = false;
  for (let i = 1; i < ring.length; i++) {
    const [x0, y0] = ring[i - 1];
    const [x1, y1] = ring[i];
    if (y0 > v !== y1 > v && u < x0 + ((v - y0) / (y1 - y0)) * (x1 - x0)) odd = !odd;
  }
  return odd;
}
