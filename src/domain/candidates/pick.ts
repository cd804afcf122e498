import type { Records, TextField } from './candidates.ts';

/** The rows asked for, in that order, as candidates of their own. */
export function pick(records: Records, rows: readonly number[]): Records {
  const numbers = (from: Float64Array): Float64Array => Float64Array.from(rows, (r) => from[r]);
  const texts = (from: readonly string[]): string[] => rows.map((r) => from[r]);
  const { stands, behind } = records;
  const fields = Object.keys(records.text) as TextField[];
  return {
    n: rows.length,
    id: texts(records.id),
    lon: numbers(records.lon),
    lat: numbers(records.lat),
    accuracy: numbers(records.accuracy),
    species: Int16Array.from(rows, (r) => records.species[r]),
    hybrid: Int16Array.from(rows, (r) => records.hybrid[r]),
    speciesText: texts(records.speciesText),
    dbh: numbers(records.dbh),
    form: numbers(records.form),
    crown: numbers(records.crown),
    crop: numbers(records.crop),
    permission: Uint8Array.from(rows, (r) => records.permission[r]),
    text: Object.fromEntries(fields.map((f) => [f, texts(records.text[f] ?? [])])),
    ...(stands ? { stands: byRow(stands, rows) } : {}),
    ...(behind ? { behind: byRow(behind, rows) } : {}),
  };
}

function byRow<T>(map: ReadonlyMap<number, T>, rows: readonly number[]): Map<number, T> {
  const moved = new Map<number, T>();
  rows.forEach((from, to) => {
    const value = map.get(from);
    if (value !== undefined) moved.set(to, value);
  });
  return moved;
}
