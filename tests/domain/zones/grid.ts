/** Zones drawn in metres about a place in Kentucky, for tests. */
import { localFrame } from '../../../src/domain/base/localFrame.ts';
import type { Zone } from '../../../src/domain/layers/zones.ts';

const LON = -85;
const LAT = 38;
const frame = localFrame(LAT);

export const at = (x: number, y: number): [number, number] => [
  LON + x / frame.lonMetres,
  LAT + y / frame.latMetres,
];

/** A zone of rings in metres; the first is the outer one, the others holes. */
export const zone = (
  key: string,
  ...rings: ReadonlyArray<ReadonlyArray<readonly [number, number]>>
): Zone => ({
  key,
  name: key,
  area: { geometry: [rings.map((ring) => [...ring, ring[0]].map(([x, y]) => at(x, y)))], attributes: {} },
});

export const box = (x0: number, y0: number, x1: number, y1: number): Array<[number, number]> => [
  [x0, y0],
  [x1, y0],
  [x1, y1],
  [x0, y1],
];

/** The same ring with vertices added at most `step` metres apart, each moved by `shake` (metres). */
export function dense(
  ring: ReadonlyArray<readonly [number, number]>,
  step: number,
  shake: () => readonly [number, number] = () => [0, 0],
): Array<[number, number]> {
  return ring.flatMap(([x1, y1], i) => {
    const [x2, y2] = ring[(i + 1) % ring.length];
    const n = Math.max(1, Math.ceil(Math.hypot(x2 - x1, y2 - y1) / step));
    return Array.from({ length: n }, (_, k): [number, number] => {
      const [dx, dy] = shake();
      return [x1 + ((x2 - x1) * k) / n + dx, y1 + ((y2 - y1) * k) / n + dy];
    });
  });
}
