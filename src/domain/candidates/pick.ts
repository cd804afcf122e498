import type { Records, TextField } from './candidates.ts';

/** The rows asked for, in that order, as candidates of their own. */
export function pick(records: Records, rows: ArrayLike<number>): Records {
  const n = rows.length;
  const filled = <A extends Float64Array | Int16Array | Uint8Array>(to: A, from: A): A => {
    for (let i = 0; i < n; i++) to[i] = from[rows[i]];
    return to;
  };
  const numbers = (from: Float64Array): Float64Array => filled(new Float64Array(n), from);
  const texts = (from: readonly string[]): string[] => {
    const to = new Array<string>(n);
    for (let i = 0; i < n; i++) to[i] = from[rows[i]];
    return to;
  };
  const { stands, behind } = records;
  const fields = Object.keys(records.text) as TextField[];
  return {
    n,
    id: texts(records.id),
    lon: numbers(records.lon),
    lat: numbers(records.lat),
    accuracy: numbers(records.accuracy),
    species: filled(new Int16Array(n), records.species),
    hybrid: filled(new Int16Array(n), records.hybrid),
    speciesText: texts(records.speciesText),
    dbh: numbers(records.dbh),
    form: numbers(records.form),
    crown: numbers(records.crown),
    crop: numbers(records.crop),
    permission: filled(new Uint8Array(n), records.permission),
    text: Object.fromEntries(fields.map((f) => [f, texts(records.text[f] ?? [])])),
    ...(stands ? { stands: byRow(stands, rows) } : {}),
    ...(behind ? { behind: byRow(behind, rows) } : {}),
  };
}

function byRow<T>(map: ReadonlyMap<number, T>, rows: ArrayLike<number>): Map<number, T> {
  const moved = new Map<number, T>();
  for (let to = 0; to < rows.length; to++) {
    const value = map.get(rows[to]);
    if (value !== undefined) moved.set(to, value);
  }
  return moved;
}
