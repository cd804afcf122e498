import type { PastWeights, Plan } from './schema.ts';

export interface PastVerdict {
  /** Of the table, and until when it was in use; what took its place. */
  readonly version: string;
  readonly until: string;
  readonly why: string;
  readonly verdict: PastWeights['verdicts'][string]['verdict'];
  readonly probability: number;
}

/** What a candidate was under earlier tables of weights, oldest first: those alone whose successor gave it another verdict. */
export const pastVerdicts = (plan: Plan, candidate: string): PastVerdict[] =>
  plan.pastWeights.flatMap(({ version, until, why, verdicts }) =>
    Object.hasOwn(verdicts, candidate) ? [{ version, until, why, ...verdicts[candidate] }] : [],
  );
