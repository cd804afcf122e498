import { ok, type Note, type Result } from '../../domain/base/result.ts';
import type { Candidates } from '../../domain/candidates/candidates.ts';
import { applyEdits } from '../../domain/candidates/hand/edits.ts';
import { join } from '../../domain/candidates/join.ts';
import type { CandidateEdits } from '../../domain/plan/schema.ts';
import { layersOf, type Desk } from './desk.ts';

export interface CandidatesRead {
  readonly candidates: Candidates;
  readonly notes: readonly Note[];
}

const MEMO = 'candidates';
const EDITED = 'candidates as edited';
/** What is remembered of other things than the places of candidates: all else does not hold when they are others. */
const NOT_OF_CANDIDATES = /^(candidates$|reference cells |area of |shapes of )/;

/** The candidates of all open candidate layers as one table, as the files have them; joined once, and again when a layer is opened or closed. */
export function candidatesOf(desk: Desk): Result<CandidatesRead> {
  const held = desk.memo.get(MEMO) as CandidatesRead | undefined;
  if (held) return ok(held);
  const layers = layersOf(desk, 'candidates');
  const parts = layers.flatMap((l) => (l.candidates ? [l.candidates] : []));
  // One layer has ids and repeats of its own already.
  const candidates = parts.length === 1 ? parts[0] : join(parts);
  const result = { candidates, notes: layers.flatMap((l) => l.notes) };
  desk.memo.set(MEMO, result);
  return ok(result);
}

/** The same with what was changed by hand: the candidates that are vetted, chosen and exported. */
export function editedCandidates(desk: Desk, edits: CandidateEdits): Result<CandidatesRead> {
  const files = candidatesOf(desk);
  if (!files.ok) return files;
  const key = JSON.stringify(edits);
  const held = desk.memo.get(EDITED) as { key: string; result: CandidatesRead } | undefined;
  if (held?.key === key) return ok(held.result);
  desk.memo = new Map([...desk.memo].filter(([name]) => NOT_OF_CANDIDATES.test(name)));
  const { candidates, notes } = applyEdits(files.value.candidates, edits);
  const result = { candidates, notes: [...files.value.notes, ...notes] };
  desk.memo.set(EDITED, { key, result });
  return ok(result);
}
