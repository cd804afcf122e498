import type { Box } from '../../../domain/base/geo.ts';
import type { Raster } from './raster.ts';

/**
 * Where a raster may have cells, degrees: its extent with a margin, since that is of some points of the outline, which bulges
 * between them. A projection has numbers for places far outside too, some of which would lie in the raster. null around a pole
 * and across the 180th meridian, where there is no box in these degrees.
 */
export function wideExtent({ extent: [west, south, east, north] }: Pick<Raster, 'extent'>): Box | null {
  if (east - west >= 359 || east > 180 || west < -180) return null;
  const marginX = (east - west) / 50;
  const marginY = (north - south) / 50;
  return [west - marginX, south - marginY, east + marginX, north + marginY];
}
