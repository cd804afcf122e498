import { chooseParents, type ChooseOptions } from './choose.ts';
import type { HeldBack, ParentProblem, Relaxation } from './types.ts';

/**
 * What holds the number of mother trees back: for each rule, how many could be had if it alone were set aside (or loosened
 * as its `change` says); for the spacing, if it were one step less. Largest gain first. Nothing is relaxed by this.
 */
export function holdBack(
  problem: ParentProblem,
  relaxations: readonly Relaxation[],
  options: ChooseOptions = {},
): HeldBack[] {
  const reach = (p: ParentProblem): number => {
    const set = chooseParents(p, options);
    return set.status === 'fewer' ? set.members.length : p.count;
  };
  const found: HeldBack[] = relaxations
    .filter((r) => r.rows.length > 0)
    .map(({ rule, title, change, rows, weights }) => {
      const weight = Float64Array.from(problem.weight);
      rows.forEach((r, i) => {
        weight[r] = weights[i];
      });
      return { rule, title, change, candidates: rows.length, largest: reach({ ...problem, weight }) };
    });
  const closer = nextSpacing(problem.spacing);
  if (closer > 0) {
    const largest = reach({ ...problem, spacing: closer });
    found.push({
      rule: 'spacing',
      title: 'Spacing',
      change: `${closer} m apart instead of ${Math.round(problem.spacing)} m`,
      candidates: 0,
      largest,
    });
  }
  return found.sort((a, b) => b.largest - a.largest || b.candidates - a.candidates);
}

/** One step less: the next whole 50 m below. */
export const nextSpacing = (spacing: number): number => Math.max(0, Math.ceil(spacing / 50) * 50 - 50);
