import type { Statement } from '../../plan/schema.ts';
import { statementsOf } from './statementsOf.ts';
import type { Outcome } from './types.ts';

/**
 * Candidates whose origin somebody has settled: the latest statement on each, as in decisions.ts, in the order of the rows.
 * An inventory that says "planted" is no outcome: it is read as evidence too, and a fit on it would confirm itself.
 */
export function outcomesOf(ids: readonly string[], statements: readonly Statement[]): Outcome[] {
  const byId = statementsOf(statements);
  return ids.flatMap((id, row) => {
    const last = byId.get(id)?.at(-1);
    return last ? [{ row, natural: last.origin === 'natural' }] : [];
  });
}
