/** A deterministic tiling for timings: zones that share wiggly edges vertex by vertex, as an agency's map of them does. */
import { rng } from '../../src/domain/base/rng.ts';
import type { Area } from '../../src/domain/base/geo.ts';

/** Roughness of the edges, share of their length. */
const ROUGH = 0.07;

/**
 * `across` x `down` cells with shaken corners; each edge a midpoint-displaced line of 2^level segments, the same vertices
 * in both zones that it parts. 25 x 20 at level 9: 500 zones of 2048 segments, a million vertices in all.
 */
export function wigglyZones(across: number, down: number, level: number): Area[] {
  const random = rng(11);
  const side = 0.25;
  const corner = Array.from({ length: (across + 1) * (down + 1) }, (_, i): [number, number] => [
    -92 + side * ((i % (across + 1)) + 0.3 * (random() - 0.5)),
    33 + side * (Math.floor(i / (across + 1)) + 0.3 * (random() - 0.5)),
  ]);
  const at = (c: number, r: number): [number, number] => corner[r * (across + 1) + c];
  const wiggle = (a: [number, number], b: [number, number]): Array<[number, number]> => {
    let line = [a, b];
    for (let k = 0; k < level; k++) {
      line = line.flatMap((p, i) => {
        if (i === line.length - 1) return [p];
        const q = line[i + 1];
        const [dx, dy] = [q[0] - p[0], q[1] - p[1]];
        const out = ROUGH * (random() - 0.5) * 2;
        // Seven decimals, as files hold them.
        const mid = [(p[0] + q[0]) / 2 - out * dy, (p[1] + q[1]) / 2 + out * dx];
        return [p, mid.map((x) => Math.round(x * 1e7) / 1e7) as [number, number]];
      });
    }
    return line;
  };
  const flat: Array<Array<[number, number]>> = [];
  const upright: Array<Array<[number, number]>> = [];
  for (let r = 0; r <= down; r++) for (let c = 0; c < across; c++) flat.push(wiggle(at(c, r), at(c + 1, r)));
  for (let r = 0; r < down; r++)
    for (let c = 0; c <= across; c++) upright.push(wiggle(at(c, r), at(c, r + 1)));
  return Array.from({ length: across * down }, (_, i) => {
    const [c, r] = [i % across, Math.floor(i / across)];
    const ring = [
      ...flat[r * across + c].slice(0, -1),
      ...upright[r * (across + 1) + c + 1].slice(0, -1),
      ...[...flat[(r + 1) * across + c]].reverse().slice(0, -1),
      ...[...upright[r * (across + 1) + c]].reverse(),
    ];
    return { geometry: [[ring]], attributes: { zone: `Z${i + 1}` } };
  });
}
