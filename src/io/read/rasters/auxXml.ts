/**
 * The .aux.xml file beside a raster, in which GDAL and programs built on it keep what the raster's own format cannot hold:
 * place, coordinate system, nodata, names of categories, colours, attribute table (GDAL "Persistent Auxiliary Metadata").
 */
import { ok, type Result } from '../../../domain/base/result.ts';
import type { Source } from '../../source.ts';
import { hex } from './hex.ts';
import type { Affine } from './raster.ts';
import type { AttributeColumn } from './rasterClasses.ts';
import { child, readXml, textOf, type XmlNode } from '../markup/xml.ts';

export interface AuxBand {
  readonly description: string | null;
  readonly nodata: number | null;
  readonly scale: number | null;
  readonly offset: number | null;
  /** Name of the class of value 0, 1, 2 ...; '' where there is none. */
  readonly categories: readonly string[];
  /** "#rrggbb" of value 0, 1, 2 ... */
  readonly colours: readonly string[];
  /** Columns of the attribute table. */
  readonly table: readonly AttributeColumn[];
}

export interface Aux {
  /** WKT. */
  readonly srs: string | null;
  readonly transform: Affine | null;
  /** By number, from 1. */
  readonly bands: ReadonlyMap<number, AuxBand>;
}

/** Histograms can be long; nothing that is read here is. */
const MOST = 16e6;

/** Null where there is no such file, or it is none. A file at an address is asked for it: only where there is need. */
export async function auxBeside(source: Source): Promise<Result<Aux | null>> {
  const beside = await source.beside?.(`${source.name}.aux.xml`);
  if (!beside || (beside.size ?? 0) > MOST) return ok(null);
  const bytes = await beside.readAll();
  if (!bytes.ok) return bytes;
  const head = new TextDecoder('latin1').decode(bytes.value.subarray(0, 1000));
  if (!/<PAMDataset[\s>]/.test(head)) return ok(null);
  let srs: string | null = null;
  let transform: Affine | null = null;
  const bands = new Map<number, AuxBand>();
  const read = await readXml(bytes.value, beside.name, {
    open: (name, _attribute, path) => path.length === 1 && /^(SRS|GeoTransform|PAMRasterBand)$/.test(name),
    element(node) {
      if (node.name === 'SRS') srs = node.text.trim() || null;
      else if (node.name === 'GeoTransform') transform = affineOf(node.text);
      else bands.set(Number(node.attribute('band') ?? bands.size + 1), bandOf(node));
    },
  });
  return read.ok ? ok({ srs, transform, bands }) : read;
}

function affineOf(text: string): Affine | null {
  const n = text.split(',').map(Number);
  const [a, b, c, d, e, f] = n;
  return n.length === 6 && n.every(Number.isFinite) && b * f - c * e !== 0 ? [a, b, c, d, e, f] : null;
}

function bandOf(node: XmlNode): AuxBand {
  const number = (name: string): number | null => {
    const text = textOf(node, name);
    const value = text === null ? NaN : Number(text);
    return Number.isFinite(value) ? value : null;
  };
  const under = (name: string): readonly XmlNode[] => child(node, name)?.children ?? [];
  const table = child(node, 'GDALRasterAttributeTable');
  const rows = table?.children.filter((c) => c.name === 'Row') ?? [];
  const cells = rows.map((row) => row.children.filter((c) => c.name === 'F'));
  return {
    description: textOf(node, 'Description'),
    nodata: number('NoDataValue'),
    scale: number('Scale'),
    offset: number('Offset'),
    categories: under('CategoryNames').map((c) => c.text.trim()),
    colours: under('ColorTable').map(
      (c) => '#' + ['c1', 'c2', 'c3'].map((key) => hex(Number(c.attribute(key)))).join(''),
    ),
    table:
      table?.children
        .filter((c) => c.name === 'FieldDefn')
        .map((field, i) => ({
          name: textOf(field, 'Name') ?? '',
          usage: Number(textOf(field, 'Usage') ?? 0),
          cells: cells.map((row) => row[i]?.text.trim() ?? ''),
        })) ?? [],
  };
}
