import { boxAround } from '../../base/box.ts';
import { localFrame } from '../../base/localFrame.ts';
import type { Place } from '../../base/geo.ts';
import type { Candidates } from '../candidates.ts';
import { ONE_TREE } from '../duplicates.ts';
import { planeWindow } from './planeWindow.ts';
import type { Group, PlaneWindow } from './types.ts';

export interface GroupPlane {
  /** Metres east and north of the middle of the group, in the order of its rows. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** The outline of the stand that holds the group; null: its window is not known. */
  readonly window: PlaneWindow | null;
  /** Metres within which two trees of the group are on record as one (see duplicates.ts): 5, or the middle accuracy. */
  readonly apart: number;
  readonly placeOf: (x: number, y: number) => Place;
}

/** A group in the plane that touches the ellipsoid at its middle (see localFrame). */
export function groupPlane({ lon, lat, accuracy, stands }: Candidates, { rows, outline }: Group): GroupPlane {
  const [west, south, east, north] = boxAround(Array.from(rows, (i) => [lon[i], lat[i]] as const));
  const [lon0, lat0] = [(west + east) / 2, (south + north) / 2];
  const { lonMetres, latMetres } = localFrame(lat0);
  const stand = stands?.get(outline);
  const known = Array.from(rows, (i) => accuracy[i])
    .filter((r) => r >= 0)
    .sort((a, b) => a - b);
  return {
    x: Float64Array.from(rows, (i) => (lon[i] - lon0) * lonMetres),
    y: Float64Array.from(rows, (i) => (lat[i] - lat0) * latMetres),
    window: stand
      ? planeWindow(
          stand.outline.map((polygon) =>
            polygon.map((ring) =>
              ring.map(([a, b]): [number, number] => [(a - lon0) * lonMetres, (b - lat0) * latMetres]),
            ),
          ),
        )
      : null,
    apart: Math.max(ONE_TREE, known[known.length >> 1] ?? 0),
    placeOf: (x, y) => ({ lon: lon0 + x / lonMetres, lat: lat0 + y / latMetres }),
  };
}
