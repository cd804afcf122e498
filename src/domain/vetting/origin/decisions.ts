import type { Statement } from '../../plan/schema.ts';
import { statementsOf } from './statementsOf.ts';
import type { Decisions } from './types.ts';

/**
 * Which candidates are settled whatever the odds: by a statement, of several on one tree the latest by date (it names the
 * others); else by an inventory that says that this very tree was planted.
 *
 * @param statements of the plan, by candidate id.
 * @param planted what inventories say, by row (Measures.plantedOnRecord).
 */
export function decisions(
  ids: readonly string[],
  statements: readonly Statement[],
  planted: ReadonlyMap<number, string>,
): Decisions {
  const decided = new Uint8Array(ids.length);
  const decidedBy = new Array<string>(ids.length).fill('');
  for (const [i, sentence] of planted) {
    decided[i] = 2;
    decidedBy[i] = sentence;
  }
  const byId = statementsOf(statements);
  if (byId.size === 0) return { decided, decidedBy };
  const told = (s: Statement): string =>
    `${s.origin}: ${s.reason} (${[s.by, s.date].filter(Boolean).join(', ') || 'nobody named'})`;
  ids.forEach((id, i) => {
    const inOrder = byId.get(id);
    if (!inOrder) return;
    const last = inOrder[inOrder.length - 1];
    const against = inOrder.filter((s) => s.origin !== last.origin).map(told);
    if (planted.has(i) && last.origin === 'natural') against.push(planted.get(i) ?? '');
    decided[i] = last.origin === 'natural' ? 1 : 2;
    decidedBy[i] = told(last) + (against.length > 0 ? `; earlier said otherwise: ${against.join('; ')}` : '');
  });
  return { decided, decidedBy };
}
