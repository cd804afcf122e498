import { chooseParents, type ChooseOptions } from './choose.ts';
import { tooClose } from './conflicts.ts';
import type { ParentProblem, ParentSet, WhyNot } from './types.ts';

/**
 * Why a tree is not a member: the best set that is forced to hold it, what that costs in total, and which members it
 * displaces. A tree without a weight (not eligible) is 'no weight'; one closer to a kept tree than the spacing is 'lock';
 * 'none' where no set of the number holds it.
 */
export function whyNot(
  problem: ParentProblem,
  set: ParentSet,
  row: number,
  options: ChooseOptions = {},
): WhyNot {
  const empty = { row, total: 0, difference: 0, status: set.status, displaced: [], instead: [] };
  if (set.members.includes(row)) return { ...empty, kind: 'member', total: set.total };
  if (problem.bans.includes(row)) return { ...empty, kind: 'banned' };
  if (!(problem.weight[row] > 0)) return { ...empty, kind: 'no weight' };
  const close = tooClose(problem, problem.spacing);
  const blocking = problem.locks.filter((l) => close(l, row));
  if (blocking.length > 0) return { ...empty, kind: 'lock', displaced: blocking };
  if (problem.locks.length >= problem.count) return { ...empty, kind: 'none' };
  const forced = chooseParents({ ...problem, locks: [...problem.locks, row] }, options);
  const now = new Set(forced.members);
  const before = new Set(set.members);
  return {
    row,
    kind: forced.members.length < set.members.length ? 'none' : 'possible',
    total: forced.total,
    difference: set.total - forced.total,
    status: forced.status,
    displaced: set.members.filter((m) => !now.has(m)),
    instead: forced.members.filter((m) => !before.has(m)),
  };
}
