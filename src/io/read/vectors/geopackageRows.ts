import type { Box } from '../../../domain/base/geo.ts';
import { fail, ok, type Note, type Result } from '../../../domain/base/result.ts';
import { tableOf, type Table } from '../../../domain/base/table.ts';
import type { Crs } from '../../crs/crs.ts';
import { boxIn } from './boxIn.ts';
import type { RawFeature } from './geometry.ts';
import type { Sqlite, SqlValue } from './sqlite.ts';
import type { ReadOptions } from '../types.ts';
import { readWkb, WkbTrouble, type Wkb } from './wkb.ts';

const PAUSE_ROWS = 5000;
const PAUSE_BYTES = 8e6;

export interface GeopackageFeatures {
  readonly raw: readonly RawFeature[];
  /** Features that lie outside of the area that was asked for. */
  readonly passed: number;
  readonly notes: readonly Note[];
}

/** Features of one table; with `options.within`, those whose box in the file touches that area. */
export async function readFeatures(
  db: Sqlite,
  table: string,
  geometry: string,
  count: number | null,
  crs: Crs | null,
  file: string,
  { within, work }: ReadOptions,
): Promise<Result<GeopackageFeatures>> {
  const columns = db.columns(table);
  const at = columns.findIndex((c) => c.name.toLowerCase() === geometry.toLowerCase());
  if (at < 0)
    return fail('format', file, `says that the geometries of "${table}" are in "${geometry}", a column that it has not`, 'Get the file again.'); // prettier-ignore
  const box = within ? (crs ? boxIn(crs, within) : within) : null;
  const met = { heights: 0, measures: 0, binary: false };
  const raw: RawFeature[] = [];
  let passed = 0;
  let row = 0;
  let taken = 0;
  for (const values of db.rows(
    table,
    columns.map((c) => c.name),
  )) {
    row++;
    const blob = values[at];
    if (blob instanceof Uint8Array) taken += blob.length;
    let shape: Wkb = { geometry: null, heights: false, measures: false };
    if (blob instanceof Uint8Array) {
      try {
        const found = geometryOf(blob, box);
        if (found === 'outside') {
          passed++;
          continue;
        }
        shape = found;
      } catch (error) {
        if (!(error instanceof WkbTrouble)) throw error;
        const where = `${file}, table "${table}", row ${row}`;
        return fail('format', where, `holds a geometry that is damaged (${error.message})`, 'Get the file again.'); // prettier-ignore
      }
    }
    if (shape.heights) met.heights++;
    if (shape.measures) met.measures++;
    const properties = Object.fromEntries(
      columns.flatMap((c, i) => (i === at ? [] : [[c.name, plain(values[i], c.type, met)]])),
    );
    raw.push({ geometry: shape.geometry, properties });
    if (row % PAUSE_ROWS === 0 || taken > PAUSE_BYTES) {
      taken = 0;
      work?.progress?.(row, Math.max(row, count ?? 0), 'features read');
      await work?.pause?.();
    }
  }
  const notes: Note[] = [];
  const note = (what: string): number => notes.push({ where: file, what });
  if (met.heights > 0) note(`heights were dropped (${features(met.heights)})`);
  if (met.measures > 0) note(`measures along the shapes (M) were dropped (${features(met.measures)})`);
  if (met.binary) note('attributes that are pictures or other binary values were left empty');
  return ok({ raw, passed, notes });
}

const features = (n: number): string => `${n} ${n === 1 ? 'feature' : 'features'}`;

/** A table without geometries, its cells as text. */
export async function readTable(
  db: Sqlite,
  table: string,
  count: number | null,
  file: string,
  { work }: ReadOptions,
): Promise<{ table: Table; notes: Note[] }> {
  const columns = db.columns(table);
  const met = { binary: false };
  const rows: string[][] = [];
  for (const values of db.rows(
    table,
    columns.map((c) => c.name),
  )) {
    rows.push(columns.map((c, i) => String(plain(values[i], c.type, met) ?? '')));
    if (rows.length % PAUSE_ROWS === 0) {
      work?.progress?.(rows.length, Math.max(rows.length, count ?? 0), 'rows read');
      await work?.pause?.();
    }
  }
  return {
    table: tableOf(columns.map((c) => c.name), rows, 1), // prettier-ignore
    notes: met.binary ? [{ where: file, what: 'cells that are pictures or other binary values were left empty' }] : [], // prettier-ignore
  };
}

function plain(value: SqlValue, type: string, met: { binary: boolean }): string | number | boolean | null {
  if (value instanceof Uint8Array) {
    met.binary = true;
    return null;
  }
  return type === 'BOOLEAN' && (value === 0 || value === 1) ? value === 1 : value;
}

/** Bytes of the box by the code in the flags. */
const BOX_BYTES = [0, 32, 48, 48, 64];

/** From "GP", version, flags, number of the system and a box, then well-known binary (OGC 12-128r18, 2.1.3). */
function geometryOf(blob: Uint8Array, area: Box | null): Wkb | 'outside' {
  if (blob.length < 8 || blob[0] !== 0x47 || blob[1] !== 0x50)
    throw new WkbTrouble('it is not one of a GeoPackage');
  const flags = blob[3];
  if (flags & 0x20) throw new WkbTrouble('it is of a kind that one program has for itself');
  const boxBytes = BOX_BYTES.at((flags >> 1) & 7);
  if (boxBytes === undefined || blob.length < 8 + boxBytes) throw new WkbTrouble('its box is cut short');
  if (flags & 0x10) return { geometry: null, heights: false, measures: false };
  if (area && boxBytes > 0) {
    const view = new DataView(blob.buffer, blob.byteOffset, blob.byteLength);
    const at = (i: number): number => view.getFloat64(8 + 8 * i, (flags & 1) === 1);
    if (at(0) > area[2] || at(1) < area[0] || at(2) > area[3] || at(3) < area[1]) return 'outside';
  }
  return readWkb(blob.subarray(8 + boxBytes));
}
