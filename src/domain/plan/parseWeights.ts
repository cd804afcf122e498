import * as v from 'valibot';
import type { Failure, Note } from '../base/result.ts';
import { OriginWeightsSchema, type OriginWeights } from './schema.ts';
import { weightNotes } from '../vetting/origin/weights.ts';

/** A table that can be used, with what is odd about it; or every fault for which it cannot. */
export type ParsedWeights =
  | { readonly ok: true; readonly table: OriginWeights; readonly notes: readonly Note[] }
  | { readonly ok: false; readonly faults: readonly Failure[] };

/** What belongs where, by the name of the field. */
const WANTED: Readonly<Record<string, string>> = {
  version: 'a text that names the table and its version',
  note: 'a text',
  prior: 'a number above 0: the odds of natural origin before any evidence',
  pieces: 'a list with an entry for each piece of evidence',
  piece: 'the id of a piece of evidence, such as building',
  steps: 'a list of steps, each with a ratio and all but the last with below',
  below: 'a number, which the values of the step stay below',
  ratio: 'a number above 0; over 1 speaks for natural origin',
  classes: 'a ratio above 0 for each class',
};
const RATIO = WANTED['ratio'];

/**
 * Reads a user's table of evidence weights.
 * @param text of the file (JSON). @param where its name, for the sentences.
 */
export function parseWeights(text: string, where: string): ParsedWeights {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch (error) {
    const what = `is not valid JSON (${error instanceof Error ? error.message : String(error)})`;
    return refused({
      code: 'content',
      where,
      what,
      todo: 'Correct it, or save the table in use and start from that.',
    });
  }
  if (typeof value === 'object' && value !== null && 'kinstand' in value) {
    return refused({
      code: 'content',
      where,
      what: 'is a plan file, not a table of evidence weights',
      todo: 'Open it as a workspace, or copy its originWeights into a file of their own.',
    });
  }
  const parsed = v.safeParse(OriginWeightsSchema, value);
  if (parsed.success) return { ok: true, table: parsed.output, notes: weightNotes(parsed.output) };
  return refused(...parsed.issues.map((issue) => faultOf(issue, where)));
}

const refused = (...faults: Failure[]): ParsedWeights => ({ ok: false, faults });

type Issue = v.InferIssue<typeof OriginWeightsSchema>;

function faultOf(issue: Issue, where: string): Failure {
  const path = issue.path ?? [];
  const keys = path.map((part) => String(part.key));
  const field = keys.at(-1) ?? '';
  // The entry that the fault is in: its piece where it names one, else its place in the list.
  const entry = path[1]?.value as { piece?: unknown } | undefined;
  const of: string[] = [];
  if (keys[0] === 'pieces' && keys.length > 1) {
    of.push(
      typeof entry?.piece === 'string' ? `entry "${entry.piece}"` : `entry ${Number(keys[1]) + 1} of pieces`,
    );
    if (keys[2] === 'steps' && keys.length > 3) of.push(`step ${Number(keys[3]) + 1}`);
  }
  const inClass = keys[2] === 'classes' && keys.length === 4;
  const wanted = inClass ? RATIO : WANTED[field];
  const at = [where, ...of].join(', ');
  const fault = (what: string, todo: string): Failure => ({ code: 'content', where: at, what, todo });
  if (keys.length === 0)
    return fault('is not a table of evidence weights', 'It is an object with version, prior and pieces.');
  // A field that the format does not have.
  if (issue.expected === 'never')
    return fault(`has "${field}", which is no part of a table of weights`, 'Take it out.');
  if (issue.received === 'undefined') return fault(`has no ${field}`, `Add ${wanted ?? field}.`);
  // An item of a list that is no object: the place in the list is named already.
  if (wanted === undefined) return fault(`is ${issue.received}`, 'Give an object there.');
  return fault(`${inClass ? `the ratio of "${field}"` : field} is ${issue.received}`, `Give ${wanted}.`);
}
