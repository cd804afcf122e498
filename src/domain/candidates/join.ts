import type { Candidates, Records, TextField } from './candidates.ts';
import { duplicates } from './duplicates.ts';
import { Ids } from './table/ids.ts';

/** Candidates of several layers as one table, in order. An id that is taken gets a suffix; repeats are found across layers. */
export function join(parts: readonly Records[]): Candidates {
  const records = joinRecords(parts);
  return { ...records, duplicateOf: duplicates(records) };
}

/**
 * The same before repeats are looked for.
 * @param id ids of all rows, where they are known to be distinct.
 */
export function joinRecords(
  parts: readonly Records[],
  id: readonly string[] = distinct(parts.flatMap((p) => p.id)),
): Records {
  const n = id.length;
  const filled = <A extends Float64Array | Int16Array | Uint8Array>(all: A, of: (p: Records) => A): A => {
    let at = 0;
    for (const p of parts) {
      all.set(of(p), at);
      at += p.n;
    }
    return all;
  };
  const numbers = (of: (p: Records) => Float64Array): Float64Array => filled(new Float64Array(n), of);
  const fields = [...new Set(parts.flatMap((p) => Object.keys(p.text)))] as TextField[];
  const text = Object.fromEntries(
    fields.map((f) => [f, parts.flatMap((p) => p.text[f] ?? new Array<string>(p.n).fill(''))]),
  ) as Partial<Record<TextField, string[]>>;
  const byRow = <T>(map: (p: Records) => ReadonlyMap<number, T> | undefined): Map<number, T> | null => {
    const all = new Map<number, T>();
    let at = 0;
    for (const p of parts) {
      for (const [row, value] of map(p) ?? []) all.set(at + row, value);
      at += p.n;
    }
    return all.size > 0 ? all : null;
  };
  const stands = byRow((p) => p.stands);
  const behind = byRow((p) => p.behind);
  return {
    n,
    id,
    lon: numbers((p) => p.lon),
    lat: numbers((p) => p.lat),
    accuracy: numbers((p) => p.accuracy),
    species: filled(new Int16Array(n), (p) => p.species),
    hybrid: filled(new Int16Array(n), (p) => p.hybrid),
    speciesText: parts.flatMap((p) => p.speciesText),
    dbh: numbers((p) => p.dbh),
    form: numbers((p) => p.form),
    crown: numbers((p) => p.crown),
    crop: numbers((p) => p.crop),
    permission: filled(new Uint8Array(n), (p) => p.permission),
    text,
    ...(stands ? { stands } : {}),
    ...(behind ? { behind } : {}),
  };
}

function distinct(given: string[]): string[] {
  const written = new Set(given);
  if (written.size === given.length) return given;
  const ids = new Ids(written);
  return given.map((id) => ids.next(id, id));
}
