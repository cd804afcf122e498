import type { Candidates, TextField } from './candidates.ts';
import { duplicates } from './duplicates.ts';

/** Candidates of several layers as one table, in order. An id that is taken gets a suffix; repeats are found across layers. */
export function join(parts: readonly Candidates[]): Candidates {
  const n = parts.reduce((sum, p) => sum + p.n, 0);
  const used = new Set<string>();
  const written = new Set(parts.flatMap((p) => p.id));
  const id = parts.flatMap((p) =>
    p.id.map((given) => {
      let made = given;
      for (let k = 2; used.has(made) || (made !== given && written.has(made)); k++) made = `${given}-${k}`;
      used.add(made);
      return made;
    }),
  );
  const numbers = (pick: (p: Candidates) => Float64Array): Float64Array => {
    const all = new Float64Array(n);
    let at = 0;
    for (const p of parts) {
      all.set(pick(p), at);
      at += p.n;
    }
    return all;
  };
  const fields = [...new Set(parts.flatMap((p) => Object.keys(p.text)))] as TextField[];
  const text = Object.fromEntries(
    fields.map((f) => [f, parts.flatMap((p) => p.text[f] ?? new Array<string>(p.n).fill(''))]),
  ) as Partial<Record<TextField, string[]>>;
  const records = {
    n,
    id,
    lon: numbers((p) => p.lon),
    lat: numbers((p) => p.lat),
    accuracy: numbers((p) => p.accuracy),
    species: Int16Array.from(parts.flatMap((p) => [...p.species])),
    hybrid: Int16Array.from(parts.flatMap((p) => [...p.hybrid])),
    speciesText: parts.flatMap((p) => p.speciesText),
    dbh: numbers((p) => p.dbh),
    form: numbers((p) => p.form),
    crown: numbers((p) => p.crown),
    crop: numbers((p) => p.crop),
    permission: Uint8Array.from(parts.flatMap((p) => [...p.permission])),
    text,
  };
  return { ...records, duplicateOf: duplicates(records) };
}
