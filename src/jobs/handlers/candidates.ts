import { ok, type Note, type Result } from '../../domain/base/result.ts';
import type { Candidates } from '../../domain/candidates/candidates.ts';
import { join } from '../../domain/candidates/join.ts';
import { asOpened, type Desk } from './desk.ts';

const MEMO = 'candidates';

/** The candidates of all open candidate layers as one table; joined once, and again when a layer is opened or closed. */
export function candidatesOf(desk: Desk): Result<{ candidates: Candidates; notes: readonly Note[] }> {
  const held = desk.memo.get(MEMO) as { candidates: Candidates; notes: readonly Note[] } | undefined;
  if (held) return ok(held);
  const layers = asOpened(desk, 'candidates');
  const parts = layers.flatMap((l) => (l.candidates ? [l.candidates] : []));
  const result = { candidates: join(parts), notes: layers.flatMap((l) => l.notes) };
  desk.memo.set(MEMO, result);
  return ok(result);
}
