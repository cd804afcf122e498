/** Candidates for tests, from short records. */
import type { Candidates, Permission, TextField } from '../../../src/domain/candidates/candidates.ts';
import { PERMISSIONS } from '../../../src/domain/candidates/candidates.ts';
import { duplicates } from '../../../src/domain/candidates/duplicates.ts';
import { resolveSpecies } from '../../../src/domain/species/species.ts';

export interface Short {
  readonly id?: string;
  readonly lon?: number;
  readonly lat?: number;
  readonly species?: string;
  readonly accuracy?: number;
  readonly dbh?: number;
  readonly form?: number;
  readonly crown?: number;
  readonly crop?: number;
  readonly permission?: Permission;
  readonly text?: Partial<Record<TextField, string>>;
}

export function make(records: readonly Short[]): Candidates {
  const numbers = (pick: (r: Short) => number | undefined): Float64Array =>
    Float64Array.from(records, (r) => pick(r) ?? NaN);
  const named = records.map((r) => resolveSpecies(r.species ?? 'Quercus alba'));
  const fields = [...new Set(records.flatMap((r) => Object.keys(r.text ?? {})))] as TextField[];
  const plain = {
    n: records.length,
    id: records.map((r, i) => r.id ?? `t${i}`),
    // Apart by default, so that nothing is a repeat by accident.
    lon: Float64Array.from(records, (r, i) => r.lon ?? -85 + i * 0.01),
    lat: Float64Array.from(records, (r) => r.lat ?? 38),
    accuracy: numbers((r) => r.accuracy),
    species: Int16Array.from(named, (s) => s.species),
    hybrid: Int16Array.from(named, (s) => s.hybrid),
    speciesText: records.map((r) => r.species ?? 'Quercus alba'),
    dbh: numbers((r) => r.dbh),
    form: numbers((r) => r.form),
    crown: numbers((r) => r.crown),
    crop: numbers((r) => r.crop),
    permission: Uint8Array.from(records, (r) => PERMISSIONS.indexOf(r.permission ?? 'unknown')),
    text: Object.fromEntries(fields.map((f) => [f, records.map((r) => r.text?.[f] ?? '')])),
  };
  return { ...plain, duplicateOf: duplicates(plain) };
}
