import type { Box } from '../../../domain/base/geo.ts';
import type { Crs } from '../../crs/crs.ts';

/** The box around a box of degrees in another system; its edges are curves there. */
export function boxIn(crs: Crs, [west, south, east, north]: Box): Box {
  const n = 16;
  const lon: number[] = [];
  const lat: number[] = [];
  for (let i = 0; i <= n; i++) {
    const x = west + ((east - west) * i) / n;
    const y = south + ((north - south) * i) / n;
    lon.push(x, x, west, east);
    lat.push(south, north, y, y);
  }
  const at = crs.forward(Float64Array.from(lon), Float64Array.from(lat));
  const x = at.x.filter(Number.isFinite);
  const y = at.y.filter(Number.isFinite);
  // Between two points of an edge the curve bulges by less than a hundredth of the box.
  const margin = 0.01 * Math.max(Math.max(...x) - Math.min(...x), Math.max(...y) - Math.min(...y));
  return [Math.min(...x) - margin, Math.min(...y) - margin, Math.max(...x) + margin, Math.max(...y) + margin];
}
