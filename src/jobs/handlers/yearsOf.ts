import { areaIndex } from '../../domain/layers/areaIndex.ts';
import { ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import { yearIn, yearReader } from '../../domain/layers/years.ts';
import { layersOf, type Desk } from './desk.ts';

/** Reads since which year a feature is what it is; features of all open layers of a definition, numbered on as shapesOf does. */
export function yearsOf(desk: Desk, definition: string, kind: 'polygon'): (shape: number) => number {
  const parts = layersOf(desk, definition).flatMap(({ entry, opened: { content } }) =>
    content.kind === kind ? [{ features: content.features, read: yearReader('since', entry.year) }] : [],
  );
  return (shape) => {
    let at = shape;
    for (const { features, read } of parts) {
      if (at < features.length) return at < 0 ? NaN : read(features[at].attributes);
      at -= features.length;
    }
    return NaN;
  };
}

/**
 * The year in which the ground at places was first developed: layers in the order of the plan until one knows it. Of areas
 * that lie over one another the earliest counts; of a raster the cell that holds the place. A value that is no year (0, a mark
 * of "never") is not known.
 */
export async function developedYear(
  desk: Desk,
  lon: Float64Array,
  lat: Float64Array,
  work: Work,
): Promise<Result<Float64Array>> {
  const years = new Float64Array(lon.length).fill(NaN);
  for (const { entry, opened } of layersOf(desk, 'development')) {
    const { content } = opened;
    if (content.kind === 'raster') {
      const { col, row } = content.raster.toPixel(lon, lat);
      const values = await content.raster.sample(entry.band, col, row, 'nearest', work);
      if (!values.ok) return values;
      values.value.forEach((value, i) => {
        if (Number.isNaN(years[i])) years[i] = yearIn(value);
      });
    } else if (content.kind === 'polygon') {
      const read = yearReader('since', entry.year);
      const areas = content.features
        .map((f) => ({ shape: f.geometry, year: read(f.attributes) }))
        .filter((a) => !Number.isNaN(a.year))
        // The first area that holds a place is the one that is found.
        .sort((a, b) => a.year - b.year);
      const { areaOf } = areaIndex(areas.map((a) => a.shape));
      for (let i = 0; i < years.length; i++)
        if (Number.isNaN(years[i])) years[i] = areas[areaOf(lon[i], lat[i])]?.year ?? NaN;
    }
  }
  return ok(years);
}
