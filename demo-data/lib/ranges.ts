/** Invented native ranges. They take their outlines from no map; most reach far beyond the frame, two end inside it. */
import { FRAME, type Local } from './frame.ts';
import { fbm } from './noise.ts';

export interface Range {
  readonly species: string;
  readonly ring: readonly Local[];
}

/** Boundary points on a ring of 60, by direction from a centre; radius in metres. */
function blob(centre: Local, radius: number, seed: number): Local[] {
  const ring: Local[] = [];
  // Directions around a square: no trigonometry, and nobody sees the difference under the noise.
  for (let k = 0; k < 60; k++) {
    const t = (k / 60) * 4;
    const side = Math.floor(t);
    const s = 2 * (t - side) - 1;
    const [x, y] = [
      [1, s],
      [-s, 1],
      [-1, -s],
      [s, -1],
    ][side];
    const d = Math.sqrt(x * x + y * y);
    const r = radius * (1 + 0.16 * fbm((3 * x) / d + 7, (3 * y) / d + 7, seed, 3));
    ring.push([centre[0] + (x / d) * r, centre[1] + (y / d) * r]);
  }
  ring.push(ring[0]);
  return ring;
}

const MID: Local = [FRAME.size / 2, FRAME.size / 2];

export function makeRanges(): Range[] {
  return [
    { species: 'Quercus alba', ring: blob(MID, 190_000, 101) },
    { species: 'Quercus rubra', ring: blob([MID[0], MID[1] + 30_000], 170_000, 102) },
    { species: 'Quercus velutina', ring: blob([MID[0] - 20_000, MID[1]], 165_000, 103) },
    { species: 'Quercus montana', ring: blob([MID[0] + 60_000, MID[1]], 125_000, 104) },
    // Ends across the frame: western lowlands only.
    { species: 'Quercus macrocarpa', ring: blob([-62_000, 34_000], 92_000, 105) },
    // Ends near the south-western corner.
    { species: 'Quercus stellata', ring: blob([-34_000, -34_000], 70_000, 106) },
  ];
}
