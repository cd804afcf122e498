/** NetCDF grids of the classic kinds (CDF-1, CDF-2, CDF-5), read by slices: a variable is a part, a time step a band. */
import { fail, missingCrs, ok, type Note, type Result } from '../../../domain/base/result.ts';
import { crsFrom, crsFromEpsg, type Crs } from '../../crs/crs.ts';
import type { Source } from '../../source.ts';
import { BlockRaster } from './blockRaster.ts';
import { freshKey, sharedBlocks } from './blocks.ts';
import { crsFromMapping } from './cfCrs.ts';
import { axisValues, evenly } from './netcdfAxis.ts';
import { bandNames } from './netcdfBands.ts';
import { netcdfCells } from './netcdfCells.ts';
import { flagClasses } from './netcdfFlags.ts';
import { gridsOf, textOfAttribute, type Axis, type Grid } from './netcdfGrids.ts';
import { netcdfHeader, NC_BYTES, type NcHeader } from './netcdfHeader.ts';
import { bandBegin, netcdfLevel, type Order } from './netcdfLevel.ts';
import { placedRaster } from './placedRaster.ts';
import type { Affine, BandMeta } from './raster.ts';
import type { Format, Opened, Part, ReadOptions } from '../types.ts';

const starts = (head: Uint8Array, ...bytes: number[]): boolean => bytes.every((b, i) => head[i] === b);
const isClassic = (head: Uint8Array): boolean =>
  starts(head, 0x43, 0x44, 0x46) && (head[3] === 1 || head[3] === 2 || head[3] === 5);
const isHdf5 = (head: Uint8Array): boolean => starts(head, 0x89, 0x48, 0x44, 0x46, 0x0d, 0x0a, 0x1a, 0x0a);
const isHdf4 = (head: Uint8Array): boolean => starts(head, 0x0e, 0x03, 0x13, 0x01);

export const netcdf: Format = {
  id: 'netcdf',
  title: 'NetCDF',
  extensions: ['nc', 'cdf', 'nc3'],
  recognises: (head) => isClassic(head) || isHdf5(head) || isHdf4(head),
  async read(source, options) {
    const head = await source.read(0, 8);
    if (!head.ok) return head;
    return isClassic(head.value)
      ? openNetcdf(source, options)
      : { ok: false, failure: newer(source.name, head.value) };
  },
};

function newer(where: string, head: Uint8Array) {
  const named = /\.nc4?$/i.test(where);
  return {
    code: 'format' as const,
    where,
    what: isHdf4(head)
      ? 'is an HDF4 file, which is not read'
      : named
        ? 'is NetCDF-4 (packed as HDF5), which is not read'
        : 'is an HDF5 file (NetCDF-4?), which is not read',
    todo: isHdf4(head)
      ? 'Convert the variable that you need to GeoTIFF (gdal_translate).'
      : 'Convert it to GeoTIFF (gdal_translate) or to classic NetCDF (nccopy -k classic).',
  };
}

/** More bands than any user could choose from. */
const MOST_BANDS = 100_000;

/** Opens one variable: the header and the axes are read. Fails where no variable is a grid, or the file is not whole. */
export async function openNetcdf(
  source: Source,
  options: ReadOptions = {},
  cache = sharedBlocks,
): Promise<Result<Opened>> {
  const where = source.name;
  const read = await netcdfHeader(source);
  if (!read.ok) return read;
  const header = read.value;
  const { grids, why } = gridsOf(header);
  const convert =
    'Put it on an even grid of latitude and longitude, or convert it to GeoTIFF, with another program.';
  if (grids.length === 0)
    return fail(
      'content',
      where,
      `holds no grid that is read (${why[0] ?? 'no variable lies over latitude and longitude, or x and y'})`,
      convert,
    );
  const grid =
    options.part === undefined
      ? grids.find((g) => g.bands > 0)
      : grids.find((g) => g.variable.name === options.part);
  if (!grid)
    return fail(
      'content',
      where,
      options.part === undefined
        ? 'holds no time step yet'
        : `has no variable "${options.part}" that is a grid`,
      `Choose one of: ${grids.map((g) => g.variable.name).join(', ')}.`,
    );
  const { name } = grid.variable;
  if (grid.bands === 0 || grid.bands > MOST_BANDS)
    return fail(
      'content',
      where,
      `has ${grid.bands} bands in ${name}`,
      'Choose another variable, or cut it into smaller files.',
    );
  const end =
    bandBegin(header, grid, grid.bands - 1) + grid.x.size * grid.y.size * NC_BYTES[grid.variable.type];
  if (source.size !== null && end > source.size)
    return fail(
      'format',
      where,
      `is damaged or cut short (${name} ends at byte ${end} of ${source.size})`,
      'Get the file again.',
    );

  const x = await along(source, header, grid.x);
  if (!x.ok) return x;
  const y = await along(source, header, grid.y);
  if (!y.ok) return y;
  if (!x.value || !y.value)
    return fail(
      'content',
      where,
      `has cells of ${name} that are not evenly spaced along ${(x.value ? grid.y : grid.x).variable.name}`,
      convert,
    );
  const notes: Note[] = [];
  const west = Math.min(x.value.start, x.value.start + x.value.step * grid.x.size);
  const south = Math.min(y.value.start, y.value.start + y.value.step * grid.y.size);
  const cellX = Math.abs(x.value.step);
  const cellY = Math.abs(y.value.step);
  const crs = await crsOf(source, header, grid, options, notes);
  if (!crs.ok) return crs;
  if (crs.value === null)
    return missingCrs(where, [west, south, west + grid.x.size * cellX, south + grid.y.size * cellY]);
  const turned = turnedTo180(crs.value, grid.x.size, west, cellX, x.value.step < 0);
  const order: Order = { flipX: x.value.step < 0, flipY: y.value.step > 0, shift: turned.shift };
  const cells = netcdfCells(grid.variable);
  const key = freshKey(where);
  const level = netcdfLevel(source, header, grid, cells, order, key);
  if (!level)
    return fail(
      'format',
      where,
      `has rows of ${name} that are too long or too many`,
      'Convert it to GeoTIFF.',
    );
  const names = await bandNames(source, header, grid);
  if (!names.ok) return names;
  const number = (attribute: string, otherwise: number): number => {
    const value = Number(grid.variable.attributes.get(attribute) ?? otherwise);
    return Number.isFinite(value) && !(attribute === 'scale_factor' && value === 0) ? value : otherwise;
  };
  const meta: Omit<BandMeta, 'description'> = {
    nodata: cells.nodata,
    scale: number('scale_factor', 1),
    offset: number('add_offset', 0),
    dtype: cells.dtype,
  };
  const transform: Affine = [turned.west, cellX, 0, south + grid.y.size * cellY, 0, -cellY];
  const bands = names.value.map((description) => ({ ...meta, description }));
  const raster = placedRaster(
    new BlockRaster(where, key, [level], bands, crs.value, transform, cache),
    where,
    crs.value,
    notes,
  );
  if (!raster.ok) return raster;
  const classes = flagClasses(grid.variable);
  const parts: Part[] = grids.map((g) => ({ name: g.variable.name, kind: 'raster', count: g.bands }));
  return ok({
    file: where,
    format: 'NetCDF',
    content: { kind: 'raster', raster: raster.value },
    crs: raster.value.crs,
    extent: raster.value.extent,
    count: bands.length,
    notes: raster.value.notes,
    ...(parts.length > 1 ? { parts, part: name } : {}),
    ...(classes.length > 0 ? { classes } : {}),
  });
}

/** Metres by one unit of an axis of a projection. */
const METRES: Readonly<Record<string, number>> = {
  km: 1000,
  kilometer: 1000,
  kilometers: 1000,
  kilometre: 1000,
  kilometres: 1000,
};

async function along(
  source: Source,
  header: NcHeader,
  { variable }: Axis,
): Promise<Result<{ start: number; step: number } | null>> {
  const values = await axisValues(source, header, variable);
  if (!values.ok || !values.value) return values.ok ? ok(null) : values;
  const even = evenly(values.value, variable.type === 'float');
  const unit = METRES[textOfAttribute(variable.attributes, 'units').toLowerCase()] ?? 1;
  return ok(even && { start: even.start * unit, step: even.step * unit });
}

/** As the user says, as the file's grid mapping says, or WGS 84 for degrees without one; null where the file does not say. */
async function crsOf(
  { name: where }: Source,
  header: NcHeader,
  grid: Grid,
  options: ReadOptions,
  notes: Note[],
): Promise<Result<Crs | null>> {
  if (options.crs) return crsFrom(options.crs, where);
  // "crs" or, in the longer form, "crs: x y".
  const named = textOfAttribute(grid.variable.attributes, 'grid_mapping').split(/[\s:]+/)[0];
  const mapping = named === '' ? undefined : header.variables.find((v) => v.name === named);
  if (mapping) return crsFromMapping(mapping.attributes, where);
  if (!grid.geographic) return ok(null);
  notes.push({ where, what: 'does not name the datum of its degrees; WGS 84 is taken' });
  return crsFromEpsg(4326, where);
}

/** West edge and turn of a grid in degrees that counts longitudes from 0 to 360. */
function turnedTo180(
  crs: Crs,
  width: number,
  west: number,
  cell: number,
  flipped: boolean,
): { readonly west: number; readonly shift: number } {
  const east = west + width * cell;
  if (!crs.geographic || east <= 180 + cell) return { west, shift: 0 };
  const around = Math.abs(width * cell - 360) < cell / 2;
  if (around && !flipped) {
    const shift = Math.round((180 - west) / cell) % width;
    return { west: west + shift * cell - 360, shift };
  }
  return { west: west >= 180 - cell ? west - 360 : west, shift: 0 };
}
