import { ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import { chooseParents } from '../../domain/parents/choose.ts';
import { holdBack } from '../../domain/parents/holdBack.ts';
import { reserves } from '../../domain/parents/reserves.ts';
import { whyNot as why } from '../../domain/parents/whyNot.ts';
import type { WhyNot } from '../../domain/parents/types.ts';
import type { ChoiceOutput, Jobs } from '../protocol.ts';

/** The search is synchronous and hears no cancel; past this it answers with what it has and a bound. */
const BUDGET_MS = 20_000;

/** Chooses the parent set, its reserves and, where the number cannot be had, what holds it back. */
export async function choose(input: Jobs['choose']['input'], work: Work): Promise<Result<ChoiceOutput>> {
  work.progress?.(0, 1, 'sets compared');
  await work.pause?.();
  const options = { clock: () => performance.now(), budgetMs: BUDGET_MS };
  const set = chooseParents(input.problem, options);
  await work.pause?.();
  const heldBack = set.status === 'fewer' ? holdBack(input.problem, input.relaxations, options) : [];
  return ok({ set, reserves: reserves(input.problem, set.members, input.problem.count), heldBack });
}

export async function whyNot(input: Jobs['whyNot']['input'], work: Work): Promise<Result<WhyNot>> {
  await work.pause?.();
  return ok(
    why(input.problem, input.set, input.row, { clock: () => performance.now(), budgetMs: BUDGET_MS }),
  );
}
