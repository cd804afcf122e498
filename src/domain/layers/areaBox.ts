import { boxAround } from '../base/box.ts';
import type { Box, MultiPolygon } from '../base/geo.ts';

/** The box around an area: around its outer rings, in which the holes lie. As boxAround where it has no corner. */
export const areaBox = (area: MultiPolygon): Box => boxAround(area.flatMap((polygon) => polygon.at(0) ?? []));
