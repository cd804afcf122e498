import { tooClose } from './conflicts.ts';
import type { ParentProblem, Reserves } from './types.ts';

/** Most reserves and stand-ins worth listing. */
const MOST = 26;

/**
 * Trees kept in hand for members that fail at scouting: heaviest first, spaced from all members and from one another. For
 * members that no reserve is left for, the heaviest tree that could take their place alone.
 */
export function reserves(problem: ParentProblem, members: readonly number[], most = MOST): Reserves {
  const { weight, id, lon, lat, spacing, bans } = problem;
  const close = tooClose({ lon, lat }, spacing);
  const out = new Set([...bans, ...members]);
  const order = Array.from({ length: lon.length }, (_, r) => r)
    .filter((r) => weight[r] > 0 && !out.has(r))
    .sort((a, b) => weight[b] - weight[a] || (id[a] < id[b] ? -1 : 1));
  const kept: number[] = [];
  const standIns: { row: number; member: number }[] = [];
  const served = new Set<number>();
  for (const r of order) {
    const near = members.filter((m) => close(m, r));
    if (near.length === 0) {
      if (kept.length < most && !kept.some((k) => close(k, r))) kept.push(r);
    } else if (near.length === 1 && !served.has(near[0])) {
      served.add(near[0]);
      standIns.push({ row: r, member: near[0] });
    }
  }
  // A reserve can stand in for any member; stand-ins are told only where there are too few reserves.
  return { reserves: kept, standIns: kept.length >= members.length ? [] : standIns };
}
