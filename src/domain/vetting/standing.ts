import type { Planting } from '../plan/schema.ts';
import type { Note } from '../base/result.ts';
import { ANSWERS, type FindingColumns } from './rules/types.ts';
import { STANDINGS } from './vetting.ts';

type Override = Planting['overrides'][number];

export interface StandingColumns {
  /** Index into STANDINGS. */
  readonly standing: Uint8Array;
  /** 1 where an override set it. */
  readonly overridden: Uint8Array;
  /** Overrides that name no candidate. */
  readonly notes: readonly Note[];
}

/**
 * Standing of each candidate: ruled out where a must rule fails; else needs a check where a must rule is unknown; else
 * eligible. An override of a person then sets it; of several on one candidate the last of the list holds.
 *
 * @param ids of the candidates, in row order.
 */
export function standing(
  findings: FindingColumns,
  ids: readonly string[],
  overrides: readonly Override[] = [],
): StandingColumns {
  const n = ids.length;
  const [eligible, check, out] = ['eligible', 'needs a check', 'ruled out'].map((s) =>
    STANDINGS.findIndex((t) => t === s),
  );
  const [fails, unknown] = [ANSWERS.indexOf('fail'), ANSWERS.indexOf('unknown')];
  const column = new Uint8Array(n).fill(eligible);
  const overridden = new Uint8Array(n);
  for (const rule of findings.rules) {
    if (rule.strength !== 'must') continue;
    for (let i = 0; i < n; i++) {
      if (rule.answer[i] === fails) column[i] = out;
      else if (rule.answer[i] === unknown && column[i] === eligible) column[i] = check;
    }
  }
  const notes: Note[] = [];
  const rows = new Map(overrides.length > 0 ? ids.map((id, i) => [id, i]) : []);
  for (const o of overrides) {
    const row = rows.get(o.candidate);
    if (row === undefined) {
      notes.push({
        where: 'overrides',
        what: `there is no candidate "${o.candidate}"; its override is not used`,
      });
      continue;
    }
    column[row] = STANDINGS.indexOf(o.standing);
    overridden[row] = 1;
  }
  return { standing: column, overridden, notes };
}
