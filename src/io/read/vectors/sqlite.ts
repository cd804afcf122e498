/** SQLite databases, read whole into memory by the library sql.js (SQLite compiled to WebAssembly), in browser and Node. */
import type { Database, Statement } from 'sql.js';
import { fail, ok, type Result } from '../../../domain/base/result.ts';

export type SqlValue = number | string | Uint8Array | null;

/** The database is damaged; the message is SQLite's own. */
export class SqliteTrouble extends Error {}

export interface Sqlite {
  /**
   * Rows of one table, one by one. A table and not a query or view: a view of a file from anywhere can go on without end.
   */
  rows(table: string, columns: readonly string[]): Generator<SqlValue[]>;
  /** True for a table, false for a view, a virtual table, or nothing. */
  isTable(name: string): boolean;
  /** Columns with the types with which they were declared, in capitals. */
  columns(table: string): { name: string; type: string }[];
  close(): void;
}

/** Rows that fit into a byte of a file, at most: more of them come from pages that point at each other. */
const ROWS_PER_BYTE = 0.5;
const WRITE_VERSION = 18;
const WAL = 2;

export async function openSqlite(bytes: Uint8Array, file: string): Promise<Result<Sqlite>> {
  // The WebAssembly stands in the script itself: there is no second file to find, which the browser, Node and the bundle of
  // the command would each look for in another place.
  const { default: init } = await import('sql.js/dist/sql-wasm-inline.js');
  const sql = await init();
  let content = bytes;
  if (bytes[WRITE_VERSION] === WAL || bytes[WRITE_VERSION + 1] === WAL) {
    // A database that a program left in the mode with a log beside it cannot be opened without one.
    content = bytes.slice();
    content[WRITE_VERSION] = content[WRITE_VERSION + 1] = 1;
  }
  let db: Database;
  try {
    db = new sql.Database(content);
    // Reads the first page.
    db.exec('PRAGMA trusted_schema = OFF; PRAGMA query_only = ON; PRAGMA cell_size_check = ON');
    return ok(reader(db, db.exec('SELECT name, sql FROM sqlite_master WHERE type = \'table\''), bytes.length)); // prettier-ignore
  } catch (error) {
    return damaged(error, file);
  }
}

/** The Failure of a database that gave way while it was read. */
export function damaged(error: unknown, file: string): ReturnType<typeof fail> {
  if (!(error instanceof Error)) throw error;
  // SQLite's own messages come as plain errors; others tell of the machine that it runs on.
  const own = error instanceof SqliteTrouble || error.name === 'Error';
  const why = own ? error.message : 'its pages do not fit together';
  return fail('format', file, `is a GeoPackage that is damaged or cut short (${why})`, 'Get the file again.');
}

function reader(
  db: Database,
  master: ReadonlyArray<{ readonly values: ReadonlyArray<readonly unknown[]> }>,
  bytes: number,
): Sqlite {
  const tables = new Map(
    (master[0]?.values ?? []).map(([name, sql]) => [String(name).toLowerCase(), String(sql)]),
  );
  const isTable = (name: string): boolean => /^create\s+table/i.test(tables.get(name.toLowerCase()) ?? '');
  return {
    isTable,
    columns: (table) =>
      (db.exec(`PRAGMA table_info(${quoted(table)})`)[0]?.values ?? []).map(([, name, type]) => ({
        name: String(name),
        type: String(type).toUpperCase(),
      })),
    *rows(table, columns) {
      if (!isTable(table)) throw new SqliteTrouble(`"${table}" is no table`);
      const text = `SELECT ${columns.map(quoted).join(', ')} FROM ${quoted(table)}`;
      const statement = db.prepare(text);
      try {
        for (let n = 0; statement.step(); n++) {
          if (n > bytes * ROWS_PER_BYTE) throw new SqliteTrouble('its rows have no end');
          const row = exact(statement);
          if (row.some((v) => v instanceof Uint8Array && v.length > bytes))
            throw new SqliteTrouble('a value is longer than the file');
          yield row;
        }
      } finally {
        statement.free();
      }
    },
    close: () => db.close(),
  };
}

/** The row at hand; whole numbers beyond those that a number holds to the unit come as text, for they are names. */
function exact(statement: Statement): SqlValue[] {
  const row = statement.get();
  const large = (v: SqlValue): boolean =>
    typeof v === 'number' && Number.isInteger(v) && !Number.isSafeInteger(v);
  if (!row.some(large)) return row;
  // The types of the library do not know its option.
  const get = statement.get.bind(statement) as (values: null, options: object) => (SqlValue | bigint)[];
  return get(null, { useBigInt: true }).map((v, i) =>
    typeof v === 'bigint' && large(row[i]) ? String(v) : row[i],
  );
}

const quoted = (name: string): string => `"${name.replaceAll('"', '""')}"`;
