import { localFrame } from '../../../domain/base/localFrame.ts';
import type { Step } from '../../../domain/layers/cellStep.ts';
import type { Crs } from '../../crs/crs.ts';
import type { Affine } from './raster.ts';

export interface GroundSteps {
  /**
   * Metres by one cell towards the grid's east and north, at a position (fractional column and row). "North" is the
   * direction in which the system's second coordinate grows, "east" that of its first: up and right on its own map.
   */
  at(col: number, row: number): Step;
  /**
   * Largest share by which the system's own lengths are off from those on the ground, where they are so far off that
   * the ground's are taken; 0 where the system's own are.
   */
  readonly stretched: number;
}

/**
 * More than national grids are off (the equal-area grid of the conterminous United States by 1.3 % at most, a UTM zone by
 * 0.1 %): within that, lengths are those of the grid, as on a map sheet and as programs for terrain take them.
 */
const FAITHFUL = 0.025;

/**
 * How cells of a raster lie on the ground, for slopes and circles. A grid in degrees: metres by the latitude of the place.
 * A projected one: its own lengths in metres, unless the projection stretches the ground (Web Mercator by a third at 41
 * degrees north): then lengths as they are on the ground, each along its own axis.
 */
export function groundSteps(crs: Crs, transform: Affine, width: number, height: number): GroundSteps {
  const [a, b, c, d, e, f] = transform;
  const x = (col: number, row: number): number => a + col * b + row * c;
  const y = (col: number, row: number): number => d + col * e + row * f;
  const steps = (byX: number, byY: number): Step => ({
    colEast: b * byX,
    colNorth: e * byY,
    rowEast: c * byX,
    rowNorth: f * byY,
  });
  if (crs.geographic)
    return {
      at: (col, row) => {
        const { lonMetres, latMetres } = localFrame(y(col, row));
        return steps(lonMetres, latMetres);
      },
      stretched: 0,
    };

  const half = Math.max(Math.hypot(b, e), Math.hypot(c, f)) / 2;
  /** Metres on the ground by one unit of the first and of the second coordinate. */
  const scales = (col: number, row: number): [number, number] => {
    const [px, py] = [x(col, row), y(col, row)];
    const along = (dx: number, dy: number): number => {
      const [lon1, lat1] = crs.inverseOne(px - dx, py - dy);
      const [lon2, lat2] = crs.inverseOne(px + dx, py + dy);
      const { lonMetres, latMetres } = localFrame((lat1 + lat2) / 2);
      const turn = lon2 - lon1;
      // Over the 180th meridian the way round is the short one.
      const dLon = turn - 360 * Math.round(turn / 360);
      return Math.hypot(dLon * lonMetres, (lat2 - lat1) * latMetres) / (2 * half);
    };
    return [along(half, 0), along(0, half)];
  };
  const places = [0.5, width / 2, width - 0.5].flatMap((col) =>
    [0.5, height / 2, height - 0.5].flatMap((row) => scales(col, row)),
  );
  const off = places.map((s) => Math.abs(s / crs.metres - 1)).filter(Number.isFinite);
  const stretched = Math.max(0, ...off);
  const own = steps(crs.metres, crs.metres);
  if (stretched <= FAITHFUL) return { at: () => own, stretched: 0 };
  return { at: (col, row) => steps(...scales(col, row)), stretched };
}
