import { fail, ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import { patternView } from '../../domain/candidates/pattern/patternView.ts';
import type { Jobs } from '../protocol.ts';
import { editedCandidates } from './candidates.ts';
import type { Desk } from './desk.ts';

/** How the trees of its species stand about one candidate, with the group that `structureOf` puts it in. */
export async function patternAt(
  desk: Desk,
  { plan, candidate }: Jobs['pattern']['input'],
  work: Work,
): Promise<Result<Jobs['pattern']['output']>> {
  const edited = editedCandidates(desk, plan.candidates);
  if (!edited.ok) return edited;
  const { candidates } = edited.value;
  const row = candidates.id.indexOf(candidate);
  if (row < 0)
    return fail('content', candidate, 'is not among the candidates', 'Choose a candidate of the list.');
  await work.pause?.();
  return ok(patternView(candidates, row, plan.evidence.link));
}
