import type { Statement } from '../../plan/schema.ts';

/** Statements by candidate id, earliest first: the last one decides. Of one date the later in the list comes last. */
export function statementsOf(statements: readonly Statement[]): Map<string, Statement[]> {
  const byId = new Map<string, Statement[]>();
  for (const s of statements) {
    const own = byId.get(s.candidate);
    if (own) own.push(s);
    else byId.set(s.candidate, [s]);
  }
  // A stable sort. A statement without a date is taken as the oldest.
  for (const own of byId.values()) own.sort((a, b) => (a.date < b.date ? -1 : a.date > b.date ? 1 : 0));
  return byId;
}
