import type { Failure, Note, Result } from '../domain/base/result.ts';
import type { Work } from '../domain/base/work.ts';

/** What a verb gives back: a JSON document, and the same said in lines for a person. */
export interface Answer {
  readonly json: unknown;
  readonly lines: readonly string[];
  /** Set where something was refused although there is an answer (inspect): the exit code is then 2. */
  readonly refused?: readonly Failure[];
  /** Stands in place of both where they would be too long for one string: the text piece by piece. */
  readonly stream?: (json: boolean) => Iterable<string>;
  /** Said on standard error after a stream. */
  readonly notes?: readonly Note[];
}

export interface Verb {
  readonly name: string;
  readonly usage: string;
  readonly help: string;
  run(args: string[], work: Work): Promise<Result<Answer>>;
}
