/**
 * Expected trouble travels as a value; exceptions are for bugs.
 * A Failure is always three things a person needs: where it is (file, row, layer), what is wrong there,
 * and what to do about it. The text is written where the trouble is found, in plain words.
 */
import type { Box } from './geo.ts';
import type { Offer } from './mend.ts';

export type FailureCode =
  | 'unreadable' // bytes cannot be had: file gone, host refuses, no ranges, no CORS
  | 'format' // bytes are not what they should be
  | 'crs' // missing, unknown or implausible coordinate system
  | 'content' // readable, but the content cannot be used (no features, missing column, wrong geometry)
  | 'plan' // plan file does not hold to its schema
  | 'newer' // written by a newer version
  | 'variables' // the chosen variables cannot give a match
  | 'usage' // a command or an input value is wrong
  | 'storage' // the browser cannot keep the workspace
  | 'graphics' // the map cannot be drawn on this machine
  | 'cancelled'; // the user stopped it

export interface Failure {
  readonly code: FailureCode;
  /** File, row, field, layer or option concerned, as the user knows it. */
  readonly where: string;
  /** What is wrong, with the value found and the value expected. */
  readonly what: string;
  /** What to do next. */
  readonly todo: string;
  /**
   * Where the only trouble is that the file does not say its coordinate system: box of its own coordinates, from which
   * systems that would fit are guessed and shown.
   */
  readonly coordinates?: Box;
  /** Mistakes of position that leave nothing to be used unless they are mended: accepting one is what to do next. */
  readonly offers?: readonly Offer[];
}

/** Something the user should know about a result that is otherwise good (rows skipped, CRS assumed ...). */
export interface Note {
  readonly where: string;
  readonly what: string;
}

export type Result<T> =
  { readonly ok: true; readonly value: T } | { readonly ok: false; readonly failure: Failure };

export const ok = <T>(value: T): Result<T> => ({ ok: true, value });

export const fail = (
  code: FailureCode,
  where: string,
  what: string,
  todo: string,
): { ok: false; failure: Failure } => ({
  ok: false,
  failure: { code, where, what, todo },
});

/** The file does not say its coordinate system; `coordinates` is the box of its positions as they stand in the file. */
export const missingCrs = (where: string, coordinates: Box): { ok: false; failure: Failure } => ({
  ok: false,
  failure: {
    code: 'crs',
    where,
    what: `does not say its coordinate system (its positions run from ${round(coordinates[0])}, ${round(coordinates[1])} to ${round(coordinates[2])}, ${round(coordinates[3])})`,
    todo: 'Choose the coordinate system: an EPSG code, a WKT or a PROJ string, or the .prj file beside it.',
    coordinates,
  },
});

const round = (x: number): number => Number(x.toPrecision(7));

/** One sentence for a terminal or a notice: "zones.fgb: what is wrong. What to do." */
export function sentence(f: Failure): string {
  const stop = (s: string): string => (/[.!?]$/.test(s) ? s : s + '.');
  return `${f.where}: ${stop(f.what)}${f.todo ? ' ' + stop(f.todo) : ''}`;
}
