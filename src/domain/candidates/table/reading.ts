/** How a table is read: what the user settled of it, and what the reading needs from elsewhere. */
import type { Mend } from '../../base/mend.ts';
import type { Result } from '../../base/result.ts';
import type { System } from '../../base/system.ts';

export interface TableReading {
  /** Field -> column, where the guess is not right; "" = in no column. */
  readonly mapping?: Readonly<Record<string, string>>;
  /** Species as written -> scientific name; "" = left unknown. */
  readonly names?: Readonly<Record<string, string>>;
  readonly mend?: readonly Mend[];
  /** Coordinate system of the coordinates where it is not degrees WGS 84; holds against what the table says itself. */
  readonly crs?: string;
  /** Coordinate systems by code or definition; without it only degrees WGS 84 are read. */
  readonly systems?: (crs: string) => Promise<Result<System>>;
  /** x and y of a point in well-known text; null where it is none. */
  readonly wkt?: (text: string) => readonly [number, number] | null;
}
