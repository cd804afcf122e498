import type { Statement } from '../../plan/schema.ts';
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
  const byId = new Map<string, Statement[]>();
  for (const s of statements) byId.set(s.candidate, [...(byId.get(s.candidate) ?? []), s]);
  if (byId.size === 0) return { decided, decidedBy };
  const told = (s: Statement): string =>
    `${s.origin}: ${s.reason} (${[s.by, s.date].filter(Boolean).join(', ') || 'nobody named'})`;
  ids.forEach((id, i) => {
    const own = byId.get(id);
    if (!own) return;
    // A stable sort: of one date the later in the list comes last and decides.
    const inOrder = [...own].sort((a, b) => (a.date < b.date ? -1 : a.date > b.date ? 1 : 0));
    const last = inOrder[inOrder.length - 1];
    const against = inOrder.filter((s) => s.origin !== last.origin).map(told);
    if (planted.has(i) && last.origin === 'natural') against.push(planted.get(i) ?? '');
    decided[i] = last.origin === 'natural' ? 1 : 2;
    decidedBy[i] = told(last) + (against.length > 0 ? `; earlier said otherwise: ${against.join('; ')}` : '');
  });
  return { decided, decidedBy };
}
