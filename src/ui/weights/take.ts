/** Edits of the table in use, from the screen: with the candidates on it, so that verdicts that change go on record. */
import { editWeights, replaceWeights, type Judged } from '../../domain/plan/changeWeights.ts';
import { weightsOf } from '../../domain/vetting/origin/weightsOf.ts';
import type { OriginWeights } from '../../domain/plan/schema.ts';
import type { Kinstand } from '../../state/kinstand.svelte.ts';
import { today } from '../parts/today.ts';

/** The candidates on screen with their evidence; null while they are of two minds. */
export function judgedOf(k: Kinstand): Judged {
  const { vetting } = k.results;
  const { candidates } = k.layers;
  return vetting && candidates && vetting.n === candidates.n
    ? { ids: candidates.id, origin: vetting.origin }
    : null;
}

export const editTable = (k: Kinstand, part: Partial<OriginWeights>): void =>
  k.apply(editWeights(k.plan, part, today(), judgedOf(k)));

/** Puts a table in the place of the one in use. @param why what took its place, for the record. */
export function takeTable(k: Kinstand, table: OriginWeights, why: string): void {
  const change = replaceWeights(k.plan, table, why, today(), judgedOf(k));
  if (change.after === change.before)
    k.notices.note(`${weightsOf(k.plan).version}: this is the table in use.`);
  else k.apply(change);
}
