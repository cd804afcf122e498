import { fail, ok, type Note, type Result } from '../../../domain/base/result.ts';
import { crsFrom, type Crs } from '../../crs/crs.ts';
import type { Source } from '../../source.ts';
import { readDbf, type DbfTable } from './dbf.ts';
import type { RawFeature } from './geometry.ts';
import { readShapes, type Shapes } from './shapefileRecords.ts';
import { decodeText } from '../text.ts';
import type { Format, ReadOptions } from '../types.ts';
import { vectorOpened } from './vector.ts';
import { whole } from '../whole.ts';

/** Files that go with a .shp and hold nothing without it. */
export const SIDECARS = ['dbf', 'shx', 'prj', 'cpg', 'sbn', 'sbx', 'qix', 'shp.xml'];

const TOGETHER = 'together with the files of the same name (.dbf, .prj, .cpg), or as one zip.';
const PAUSE_RECORDS = 20_000;

/** ESRI shapefile, its parts loose: the .shp, and beside it .dbf (attributes), .prj (coordinate system), .cpg (encoding). */
export const shapefile: Format = {
  id: 'shapefile',
  title: 'shapefile',
  extensions: ['shp'],
  recognises(head, name) {
    return isSidecar(name) || (head[0] === 0 && head[1] === 0 && head[2] === 0x27 && head[3] === 0x0a);
  },
  async read(source, options) {
    if (isSidecar(source.name)) return alone(source);
    const bytes = await whole(source);
    if (!bytes.ok) return bytes;
    const shapes = await readShapes(bytes.value, source.name, options.work);
    if (!shapes.ok) return shapes;
    const beside = await companions(source);
    if (!beside.ok) return beside;
    const { dbf, prj } = beside.value;
    const raw = await features(shapes.value, dbf, source.name, options);
    if (!raw.ok) return raw;
    const crs = options.crs
      ? await crsFrom(options.crs, source.name)
      : prj === null
        ? ok('missing' as const)
        : await crsOf(prj);
    if (!crs.ok) return crs;
    return vectorOpened(
      {
        file: source.name,
        format: 'shapefile',
        raw: raw.value.features,
        crs: crs.value,
        notes: [...shapes.value.notes, ...raw.value.notes],
      },
      options,
    );
  },
};

const isSidecar = (name: string): boolean => SIDECARS.some((s) => name.toLowerCase().endsWith(`.${s}`));

function alone({ name }: Source): Result<never> {
  const base = name.slice(0, name.lastIndexOf('.'));
  const what = /\.dbf$/i.test(name)
    ? 'holds the attributes of a shapefile, without the shapes'
    : /\.prj$/i.test(name)
      ? 'holds a coordinate system and nothing else'
      : 'is a part of a shapefile that holds nothing by itself';
  return fail('content', name, what, `Bring ${base.replace(/\.shp$/i, '')}.shp ${TOGETHER}`);
}

interface Companions {
  readonly dbf: DbfTable | null;
  readonly prj: { readonly text: string; readonly name: string } | null;
}

async function companions(source: Source): Promise<Result<Companions>> {
  const get = async (extension: string): Promise<Result<{ bytes: Uint8Array; name: string } | null>> => {
    // On a host the case of letters matters: ROADS.SHP has its ROADS.DBF.
    const own = /\.SHP$/.test(source.name) ? extension.toUpperCase() : extension;
    const found = (await source.beside?.(source.name.replace(/\.shp$/i, '') + `.${own}`)) ?? null;
    if (!found) return ok(null);
    const bytes = await whole(found);
    return bytes.ok ? ok({ bytes: bytes.value, name: found.name }) : bytes;
  };
  const [dbf, prj, cpg] = [await get('dbf'), await get('prj'), await get('cpg')];
  if (!dbf.ok) return dbf;
  if (!prj.ok) return prj;
  if (!cpg.ok) return cpg;
  const encoding = cpg.value ? decodeText(cpg.value.bytes).text.replaceAll('\0', '') : null;
  const table = dbf.value ? readDbf(dbf.value.bytes, dbf.value.name, encoding) : ok(null);
  if (!table.ok) return table;
  const text = prj.value ? decodeText(prj.value.bytes).text.replaceAll('\0', '').trim() : '';
  return ok({ dbf: table.value, prj: prj.value && text !== '' ? { text, name: prj.value.name } : null });
}

async function crsOf({ text, name }: NonNullable<Companions['prj']>): Promise<Result<Crs>> {
  return crsFrom(text, name);
}

/** Shapes with the record of the same number in the table. Records that are marked as deleted are left out. */
async function features(
  shapes: Shapes,
  dbf: DbfTable | null,
  file: string,
  { work }: ReadOptions,
): Promise<Result<{ features: RawFeature[]; notes: Note[] }>> {
  const { geometries } = shapes;
  if (!dbf) {
    const notes = [{ where: file, what: 'has no .dbf beside it: its features have no attributes' }];
    return ok({ features: geometries.map((geometry) => ({ geometry, properties: null })), notes });
  }
  if (dbf.n !== geometries.length)
    return fail(
      'format',
      file,
      `has ${geometries.length} shapes, but its .dbf has ${dbf.n} records, so that they cannot be told to belong together`,
      'Get all parts of the shapefile again from the same place.',
    );
  const out: RawFeature[] = [];
  let deleted = 0;
  for (let i = 0; i < geometries.length; i++) {
    if (dbf.deleted(i)) deleted++;
    else out.push({ geometry: geometries[i], properties: dbf.record(i) });
    if (i % PAUSE_RECORDS === PAUSE_RECORDS - 1) {
      work?.progress?.(i, geometries.length, 'records read');
      await work?.pause?.();
    }
  }
  const notes = dbf.notes();
  if (deleted > 0)
    notes.push({ where: file, what: `records marked as deleted were left out (${deleted} features)` });
  return ok({ features: out, notes });
}
