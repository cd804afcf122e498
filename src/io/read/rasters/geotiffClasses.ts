import type { GeoTIFFImage } from 'geotiff';
import { ok, type Result } from '../../../domain/base/result.ts';
import type { Source } from '../../source.ts';
import type { Aux } from './auxXml.ts';
import { readDbf } from '../vectors/dbf.ts';
import { hex } from './hex.ts';
import { classesFromColours, classesFromNames, classesFromTable } from './rasterClasses.ts';
import type { Opened } from '../types.ts';

/** TIFF 6.0, PhotometricInterpretation: cells are numbers of colours in a table. */
const PALETTE = 3;
const MOST_BYTES = 4e6;

/**
 * Names and colours of the values of the first band that has any: from the attribute table in .aux.xml or, as another
 * program writes it, in .vat.dbf; from names of categories; from the table of colours in the file.
 * Files at an address are not asked for what stands beside them.
 */
export async function geotiffClasses(
  image: GeoTIFFImage,
  source: Source,
  aux: Aux | null,
): Promise<Result<NonNullable<Opened['classes']>>> {
  const inside = await coloursOf(image);
  for (const band of aux?.bands.values() ?? []) {
    const colours = band.colours.length > 0 ? band.colours : inside;
    const table = classesFromTable(band.table, colours);
    if (table.length > 0) return ok(table);
    const named = classesFromNames(band.categories, colours);
    if (named.length > 0) return ok(named);
    if (band.colours.length > 0) return ok(classesFromColours(band.colours));
  }
  const table = await tableBeside(source);
  if (!table.ok) return table;
  const classes = classesFromTable(table.value, inside);
  return ok(classes.length > 0 ? classes : classesFromColours(inside));
}

/** All of red, then of green, then of blue, each 0 to 65535. */
async function coloursOf(image: GeoTIFFImage): Promise<string[]> {
  const directory = image.fileDirectory;
  if (Number(directory.getValue('PhotometricInterpretation')) !== PALETTE || !directory.hasTag('ColorMap'))
    return [];
  const map = (await directory.loadValue('ColorMap')) as ArrayLike<number>;
  const n = Math.floor(map.length / 3);
  const part = (i: number): string => hex(Math.floor(map[i] / 256));
  return Array.from({ length: n }, (_, i) => `#${part(i)}${part(n + i)}${part(2 * n + i)}`);
}

async function tableBeside(source: Source): Promise<Result<Parameters<typeof classesFromTable>[0]>> {
  if (source.url !== undefined) return ok([]);
  const beside = await source.beside?.(`${source.name}.vat.dbf`);
  if (!beside || (beside.size ?? 0) > MOST_BYTES) return ok([]);
  const bytes = await beside.readAll();
  if (!bytes.ok) return bytes;
  const table = readDbf(bytes.value, beside.name, null);
  // The raster can do without its names.
  if (!table.ok) return ok([]);
  const { fields, n } = table.value;
  const rows = Array.from({ length: n }, (_, i) => i)
    .filter((i) => !table.value.deleted(i))
    .map((i) => table.value.record(i));
  return ok(fields.map((name) => ({ name, usage: 0, cells: rows.map((row) => String(row[name] ?? '')) })));
}
