import { fail, ok, type Result } from '../../domain/base/result.ts';
import { derivationWords, TERRAIN_RULES } from '../../domain/layers/derivations.ts';
import { fromFileUnit, otherUnits } from '../../domain/layers/fileUnits.ts';
import { aspectOf, gradient, overNeighbours, slopeOf, tiltOf } from '../../domain/layers/terrain.ts';
import { BlockRaster } from '../../io/read/rasters/blockRaster.ts';
import { derivedRaster } from '../../io/read/rasters/derivedRaster.ts';
import { groundSteps } from '../../io/read/rasters/groundSteps.ts';
import { number, one, optional, readOptions } from '../arguments.ts';
import { openPoints, openRaster } from '../open.ts';
import type { Verb } from '../verb.ts';

const UNITS = ['m', ...otherUnits('m').map((u) => u.name)];

export const terrain: Verb = {
  name: 'terrain',
  usage: 'terrain --raster F [--band N] [--unit m|ft|...] --points F [--radius M]',
  help: [
    'Slope, aspect and relative position at points, from a raster of elevations: those of the cell that holds each point.',
    `slope     degrees from level: ${derivationWords('slope', 0).source}`,
    'aspect    the way the ground faces (downhill), degrees clockwise from north; null where it is flat',
    'position  metres by which the cell lies over the mean of its eight neighbours',
    `          (${derivationWords('relative position', 0).source})`,
    '--radius  position against the mean of all cells whose centre lies within so many metres, the cell itself left out',
    `          (${derivationWords('relative position', 1).source})`,
    `--unit    of the elevations: ${UNITS.join(', ')}; metres by default`,
    TERRAIN_RULES,
    'Lengths are those of a projected grid, in metres; of a grid in degrees, or one whose projection stretches the ground by',
    'more than 2.5 %, those on the WGS 84 ellipsoid at the place.',
    'JSON: {points:[{id, slope, aspect, position}]} in input order; null where unknown.',
  ].join('\n'),
  async run(args, work) {
    const options = readOptions('terrain', args, ['raster', 'band', 'unit', 'points', 'radius']);
    if (!options.ok) return options;
    const rasterPath = one(options.value, 'terrain', 'raster');
    if (!rasterPath.ok) return rasterPath;
    const pointsPath = one(options.value, 'terrain', 'points');
    if (!pointsPath.ok) return pointsPath;
    const band = number(optional(options.value, 'band') ?? '1', 'terrain', 'band', 1);
    if (!band.ok) return band;
    const radius = number(optional(options.value, 'radius') ?? '0', 'terrain', 'radius', 0);
    if (!radius.ok) return radius;
    const unit = optional(options.value, 'unit') ?? 'm';
    if (!UNITS.includes(unit))
      return fail('usage', 'terrain', `--unit is "${unit}"`, `Use one of ${UNITS.join(', ')}.`);
    const ground = await openGround(rasterPath.value, band.value, unit);
    if (!ground.ok) return ground;
    const points = await openPoints(pointsPath.value);
    if (!points.ok) return points;

    const raster = ground.value;
    const { col, row } = raster.toPixel(points.value.lon, points.value.lat);
    const windows = await raster.window3(band.value, col, row, work);
    if (!windows.ok) return windows;
    const steps = groundSteps(raster.system, raster.transform, raster.width, raster.height);
    const gradients = Array.from(col, (c, i) =>
      gradient(windows.value, 9 * i, tiltOf(steps.at(Math.floor(c) + 0.5, Math.floor(row[i]) + 0.5))),
    );
    let position = Float64Array.from(col, (_, i) => overNeighbours(windows.value, 9 * i));
    if (radius.value > 0) {
      const how = { derivation: 'relative position', radius: radius.value } as const;
      const relative = derivedRaster(raster, band.value, how, rasterPath.value);
      if (!relative.ok) return relative;
      const sampled = await relative.value.sample(1, col, row, 'nearest', work);
      if (!sampled.ok) return sampled;
      position = Float64Array.from(sampled.value);
    }
    const known = (x: number): number | null => (Number.isNaN(x) ? null : x);
    const list = points.value.id.map((id, i) => ({
      id,
      slope: known(slopeOf(...gradients[i])),
      aspect: known(aspectOf(...gradients[i])),
      position: known(position[i]),
    }));
    return ok({
      json: { points: list },
      lines: [
        'id,slope,aspect,position',
        ...list.map((p) => [p.id, p.slope ?? '', p.aspect ?? '', p.position ?? ''].join(',')),
      ],
    });
  },
};

/** The raster with its values in metres. */
async function openGround(path: string, band: number, unit: string): Promise<Result<BlockRaster>> {
  const opened = await openRaster(path);
  if (!opened.ok) return opened;
  const raster = opened.value;
  // Every reader of rasters gives one; another kind would be a mistake of ours.
  if (!(raster instanceof BlockRaster)) throw new Error('a raster without blocks');
  if (!(Number.isInteger(band) && band <= raster.bands.length))
    return fail('usage', path, `has ${raster.bands.length} band(s), not ${band}`, 'Choose another band.');
  const other = fromFileUnit('m', unit);
  return ok(other ? raster.inUnit(other.factor, other.offset) : raster);
}
