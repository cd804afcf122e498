/**
 * Candidates as columns: row i of every column is one tree or stand. No objects a candidate: a table of
 * 200,000 rows is a dozen arrays. NaN or '' means "not recorded", never zero.
 */
import type { MultiPolygon } from '../base/geo.ts';

export type Permission = 'unknown' | 'asked' | 'granted' | 'refused';
export const PERMISSIONS: readonly Permission[] = ['unknown', 'asked', 'granted', 'refused'];

export interface Candidates {
  readonly n: number;
  /** Unique; a file's repeated id gets a suffix and a note. */
  readonly id: readonly string[];
  readonly lon: Float64Array;
  readonly lat: Float64Array;
  /** Radius of position uncertainty, metres; NaN not recorded. */
  readonly accuracy: Float64Array;
  /** Index into the species table (domain/species/species.ts), -1 not recognised. */
  readonly species: Int16Array;
  /** Index of the other parent for a hybrid, else -1. */
  readonly hybrid: Int16Array;
  /** The name as written in the file. */
  readonly speciesText: readonly string[];
  /** Diameter at breast height, cm. */
  readonly dbh: Float64Array;
  /** Scores 0-4 as the notebook gives them; NaN not recorded. */
  readonly form: Float64Array;
  readonly crown: Float64Array;
  readonly crop: Float64Array;
  /** Index into PERMISSIONS. */
  readonly permission: Uint8Array;
  /** Text columns. Keys: name, owner, stand, identifiedBy, keyUsed, establishmentMeans, degreeOfEstablishment,
   *  setting, notes, date, county, file, row, regeneration, recordedBy, qualifier, count. Missing columns are absent, missing cells ''. */
  readonly text: Readonly<Partial<Record<TextField, readonly string[]>>>;
  /** Row of the record that this one repeats (same species within the accuracy of both, or same id and place), -1 none. */
  readonly duplicateOf: Int32Array;
  /** Stands that came as polygons, by row; absent where there are none. */
  readonly stands?: ReadonlyMap<number, Stand>;
  /** Records that were merged into the tree of a row, as text (see editFields.ts); absent where there are none. */
  readonly behind?: ReadonlyMap<number, ReadonlyArray<Readonly<Record<string, string>>>>;
}

/** The ground of a stand. Its candidate's position is a point inside, its accuracy the radius that covers it from there. */
export interface Stand {
  readonly outline: MultiPolygon;
  /** Square metres. */
  readonly area: number;
}

/** Candidates before repeats are looked for. */
export type Records = Omit<Candidates, 'duplicateOf'>;

export type TextField =
  | 'name'
  | 'owner'
  | 'stand'
  | 'identifiedBy'
  | 'keyUsed'
  | 'establishmentMeans'
  | 'degreeOfEstablishment'
  | 'setting'
  | 'notes'
  | 'date'
  | 'county'
  | 'file'
  | 'row'
  | 'regeneration'
  | 'recordedBy'
  | 'qualifier'
  | 'count';
