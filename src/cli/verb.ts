import type { Failure, Note, Result } from '../domain/base/result.ts';
import type { Work } from '../domain/base/work.ts';

/** What a verb gives back: a JSON document, and the same said in lines for a person. */
export interface Document {
  readonly json: unknown;
  readonly lines: readonly string[];
  /** Set where something was refused although there is an answer (inspect): the exit code is then 2. */
  readonly refused?: readonly Failure[];
}

/** An answer too long for one string: its text piece by piece, as a JSON document or as lines. */
export interface Stream {
  readonly stream: (json: boolean) => Iterable<string>;
  /** Said on standard error. */
  readonly notes?: readonly Note[];
}

export type Answer = Document | Stream;

export interface Verb {
  readonly name: string;
  readonly usage: string;
  readonly help: string;
  run(args: string[], work: Work): Promise<Result<Answer>>;
}
