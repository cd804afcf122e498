/**
 * Expected trouble travels as a value; exceptions are for bugs.
 * A Failure is always three things a person needs: where it is (file, row, layer), what is wrong there,
 * and what to do about it. The text is written where the trouble is found, in plain words.
 */
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

/** One sentence for a terminal or a notice: "zones.fgb: what is wrong. What to do." */
export function sentence(f: Failure): string {
  const stop = (s: string): string => (/[.!?]$/.test(s) ? s : s + '.');
  return `${f.where}: ${stop(f.what)}${f.todo ? ' ' + stop(f.todo) : ''}`;
}
