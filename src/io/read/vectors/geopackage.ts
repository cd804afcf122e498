import { fail, ok, type Note, type Result } from '../../../domain/base/result.ts';
import { crsFrom, type Crs } from '../../crs/crs.ts';
import type { Source } from '../../source.ts';
import { readFeatures, readTable } from './geopackageRows.ts';
import { damaged, openSqlite, SqliteTrouble, type Sqlite, type SqlValue } from './sqlite.ts';
import type { Content, Format, Opened, Part, ReadOptions } from '../types.ts';
import { vectorOpened } from './vector.ts';
import { whole } from '../whole.ts';

const MAGIC = 'SQLite format 3\0';
const TITLE = 'GeoPackage';

/** A table of the list of contents. */
interface Layer {
  readonly name: string;
  /** "features", "attributes"; others are not read. */
  readonly holds: string;
  /** Column of the geometries; null for attributes. */
  readonly geometry: string | null;
  readonly kind: Content['kind'];
  readonly count: number | null;
  readonly srs: number;
}

/** GeoPackage (OGC 12-128r18): tables of features and of attributes. */
export const geopackage: Format = {
  id: 'geopackage',
  title: TITLE,
  extensions: ['gpkg'],
  recognises: (head) => [...MAGIC].every((c, i) => head[i] === c.charCodeAt(0)),
  async read(source, options) {
    const bytes = await whole(source);
    if (!bytes.ok) return bytes;
    const database = await openSqlite(bytes.value, source.name);
    if (!database.ok) return database;
    try {
      const opened = await openedFrom(database.value, source, options);
      const log = (await source.beside?.(`${source.name}-wal`)) ?? null;
      if (!opened.ok || !log || log.size === 0) return opened;
      const what =
        'was open in another program, and what was changed last may stand in the file beside it (-wal), which is not read. Close it there, and open it again';
      return ok({ ...opened.value, notes: [{ where: source.name, what }, ...opened.value.notes] });
    } catch (error) {
      if (error instanceof Error && error.name === 'Cancelled') throw error;
      return damaged(error, source.name);
    } finally {
      database.value.close();
    }
  },
};

async function openedFrom(db: Sqlite, source: Source, options: ReadOptions): Promise<Result<Opened>> {
  const file = source.name;
  if (!db.isTable('gpkg_contents')) return otherDatabase(db, file);
  const { layers, notes } = layersOf(db, file);
  const parts: Part[] = layers.map(({ name, kind, count }) => ({ name, kind, count }));
  const wanted =
    options.part === undefined
      ? (layers.find((l) => hasRows(db, l.name)) ?? layers[0])
      : layers.find((l) => l.name === options.part);
  if (!wanted) {
    const named = layers.map((l) => l.name).join(', ');
    if (layers.length > 0)
      return fail('content', file, `holds no table "${options.part ?? ''}"`, `Choose one of: ${named}.`);
    return fail(
      'content',
      file,
      `holds no table of features${notes.length > 0 ? ` (${notes.map((n) => n.what).join('; ')})` : ''}`,
      'Export pictures as GeoTIFF, and what you need of the rest as a table.',
    );
  }
  const { name, geometry } = wanted;
  if (geometry === null) {
    const table = await readTable(db, name, wanted.count, file, options);
    return ok({
      file,
      format: TITLE,
      content: { kind: 'table', table: table.table },
      crs: null,
      extent: null,
      count: table.table.n,
      notes: [...notes, ...table.notes],
      parts,
      part: name,
    });
  }
  const crs = options.crs ? await crsFrom(options.crs, file) : await ownCrs(db, wanted.srs, file);
  if (!crs.ok) return crs;
  const system = crs.value === 'missing' ? null : crs.value;
  const found = await readFeatures(db, name, geometry, wanted.count, system, file, options);
  if (!found.ok) return found;
  const { raw, passed } = found.value;
  if (raw.length === 0 && passed > 0)
    return fail('content', file, 'has nothing in this area', 'Choose a layer that covers the area.');
  return vectorOpened(
    {
      file,
      format: TITLE,
      raw,
      crs: crs.value,
      notes: [...notes, ...found.value.notes],
      parts,
      part: name,
    },
    options,
  );
}

function otherDatabase(db: Sqlite, file: string): Result<never> {
  const what = db.isTable('geometry_columns')
    ? 'is a SpatiaLite database, which is not read'
    : db.isTable('tiles') || db.isTable('metadata')
      ? 'holds tiles of a map (MBTiles), which are not read'
      : 'is an SQLite database, but no GeoPackage';
  return fail('content', file, what, 'Export the layer that you need as GeoPackage.');
}

const KINDS: ReadonlyArray<readonly [RegExp, Content['kind']]> = [
  [/POINT/, 'point'],
  [/LINE|CURVE$|CIRCULARSTRING/, 'line'],
  [/POLYGON|SURFACE/, 'polygon'],
];

/** The tables that can be read, and notes on the others. */
function layersOf(db: Sqlite, file: string): { layers: Layer[]; notes: Note[] } {
  const notes: Note[] = [];
  const geometries = db.isTable('gpkg_geometry_columns')
    ? [...db.rows('gpkg_geometry_columns', ['table_name', 'column_name', 'geometry_type_name', 'srs_id'])]
    : [];
  const counts = db.isTable('gpkg_ogr_contents')
    ? new Map([...db.rows('gpkg_ogr_contents', ['table_name', 'feature_count'])].map(([t, n]) => [t, n]))
    : new Map<SqlValue, SqlValue>();
  const layers: Layer[] = [];
  for (const [table, type] of db.rows('gpkg_contents', ['table_name', 'data_type'])) {
    const name = String(table);
    const holds = String(type).toLowerCase();
    const own = geometries.find(([t]) => String(t).toLowerCase() === name.toLowerCase());
    const leave = (why: string): number => notes.push({ where: file, what: `the table "${name}" ${why}` });
    if (holds === 'features' && !own) leave('does not say which column holds its geometries: left out');
    else if (holds === 'tiles') leave('holds pictures of a map: left out');
    else if (holds !== 'features' && holds !== 'attributes')
      leave(`holds ${holds === '2d-gridded-coverage' ? 'a raster in tiles' : holds}: left out`);
    else if (!db.isTable(name)) leave('is a view on others, which is not read: left out');
    else {
      const count = Number(counts.get(table) ?? NaN);
      layers.push({
        name,
        holds,
        geometry: own && holds === 'features' ? String(own[1]) : null,
        kind: own && holds === 'features' ? kindOf(db, name, String(own[1]), String(own[2])) : 'table',
        count: Number.isSafeInteger(count) && count >= 0 ? count : null,
        srs: Number(own?.[3] ?? 0),
      });
    }
  }
  // What has a place comes before what has none.
  return { layers: layers.sort((a, b) => Number(!a.geometry) - Number(!b.geometry)), notes };
}

/** By the type that the file states; where that is any geometry, by the first one. */
function kindOf(db: Sqlite, table: string, column: string, stated: string): Content['kind'] {
  const known = (type: string): Content['kind'] | undefined =>
    KINDS.find(([name]) => name.test(type.toUpperCase()))?.[1];
  const own = known(stated);
  if (own) return own;
  if (!db.columns(table).some((c) => c.name === column)) return 'polygon';
  for (const [blob] of db.rows(table, [column])) {
    if (!(blob instanceof Uint8Array) || blob.length < 8) continue;
    const first = blob.subarray(8 + (ENVELOPE_BYTES[(blob[3] >> 1) & 7] ?? 0));
    const type = first.length < 5 ? 0 : (first[0] === 1 ? first[1] : first[4]) % 1000;
    return type === 1 || type === 4 ? 'point' : [2, 5, 8, 9, 11].includes(type) ? 'line' : 'polygon';
  }
  return 'polygon';
}

/** Bytes of the box before the geometry, by the code in its flags. */
const ENVELOPE_BYTES = [0, 32, 48, 48, 64];

function hasRows(db: Sqlite, table: string): boolean {
  const [column] = db.columns(table) as { name: string }[] | [];
  return column !== undefined && !db.rows(table, [column.name]).next().done;
}

/** 'missing' for the two numbers that stand for "not known", and for systems without a definition. */
async function ownCrs(db: Sqlite, srs: number, file: string): Promise<Result<Crs | null | 'missing'>> {
  if (srs <= 0) return ok('missing');
  if (!db.isTable('gpkg_spatial_ref_sys')) throw new SqliteTrouble('it has no table of coordinate systems');
  const columns = db.columns('gpkg_spatial_ref_sys').map((c) => c.name);
  const wkt2 = columns.includes('definition_12_063') ? ['definition_12_063'] : [];
  const names = ['srs_id', 'organization', 'organization_coordsys_id', 'definition', ...wkt2];
  const found = [...db.rows('gpkg_spatial_ref_sys', names)].find(([id]) => Number(id) === srs);
  if (!found) return ok('missing');
  const row = found.slice(1);
  const [organization, code] = [String(row[0]).toUpperCase(), Number(row[1])];
  if (organization === 'EPSG' && code === 4326) return ok(null);
  const named = /^(EPSG|ESRI)$/.test(organization) ? await crsFrom(`${organization}:${code}`, file) : null;
  if (named?.ok) return named;
  const definition = [row[2], row[3]].find((d) => typeof d === 'string' && /\[/.test(d));
  if (typeof definition === 'string') return crsFrom(definition, file);
  return named ?? ok('missing');
}
