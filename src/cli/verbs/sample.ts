import { fail, ok } from '../../domain/base/result.ts';
import { number, one, optional, readOptions } from '../arguments.ts';
import type { Verb } from '../verb.ts';
import { openPoints, openRaster } from '../open.ts';

export const sample: Verb = {
  name: 'sample',
  usage: 'sample --raster F [--band N] --points F [--method nearest|bilinear]',
  help: [
    'Values of one band of a raster at points (scale and offset applied; null where missing or outside).',
    'bilinear (the default): among the four nearest cell centres; missing ones are left out while the rest hold half of the weight.',
    'JSON: {values:[{id, value}]} in input order.',
  ].join('\n'),
  async run(args, work) {
    const options = readOptions('sample', args, ['raster', 'band', 'points', 'method']);
    if (!options.ok) return options;
    const rasterPath = one(options.value, 'sample', 'raster');
    if (!rasterPath.ok) return rasterPath;
    const pointsPath = one(options.value, 'sample', 'points');
    if (!pointsPath.ok) return pointsPath;
    const band = number(optional(options.value, 'band') ?? '1', 'sample', 'band', 1);
    if (!band.ok) return band;
    const method = optional(options.value, 'method') ?? 'bilinear';
    if (method !== 'nearest' && method !== 'bilinear')
      return fail('usage', 'sample', `--method is "${method}"`, 'Use nearest or bilinear.');
    const raster = await openRaster(rasterPath.value);
    if (!raster.ok) return raster;
    if (band.value > raster.value.bands.length)
      return fail(
        'usage',
        rasterPath.value,
        `has ${raster.value.bands.length} band(s), not ${band.value}`,
        'Choose another band.',
      );
    const points = await openPoints(pointsPath.value);
    if (!points.ok) return points;
    const { col, row } = raster.value.toPixel(points.value.lon, points.value.lat);
    const values = await raster.value.sample(band.value, col, row, method, work);
    if (!values.ok) return values;
    const list = points.value.id.map((id, i) => ({
      id,
      value: Number.isNaN(values.value[i]) ? null : values.value[i],
    }));
    return ok({
      json: { values: list },
      lines: ['id,value', ...list.map((v) => `${v.id},${v.value ?? ''}`)],
    });
  },
};
