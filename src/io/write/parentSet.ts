import type { Candidates } from '../../domain/candidates/candidates.ts';
import type { HeldBack, ParentSet, Reserves } from '../../domain/parents/types.ts';
import type { Planting } from '../../domain/plan/schema.ts';
import type { Vetting } from '../../domain/vetting/vetting.ts';

export interface ChosenSet {
  readonly set: ParentSet;
  readonly reserves: Reserves;
  readonly heldBack: readonly HeldBack[];
}

/** The parent set as a record for files: members by id with their weight, the proof, reserves, and what holds it back. */
export function parentSetRecord(
  planting: Planting,
  vetting: Vetting,
  candidates: Candidates,
  chosen: ChosenSet,
  notice: string,
): Record<string, unknown> {
  const { set, reserves, heldBack } = chosen;
  const tree = (row: number): Record<string, unknown> => ({
    id: candidates.id[row],
    lon: candidates.lon[row],
    lat: candidates.lat[row],
    weight: known(vetting.weight[row]),
    match: vetting.match ? known(vetting.match.match[row]) : null,
    ...(vetting.match && vetting.sites.length > 1
      ? { match_by_site: vetting.match.bySite.map((m) => known(m[row])) }
      : {}),
    origin_probability: known(vetting.origin.probability[row]),
    overridden: vetting.overridden[row] === 1,
  });
  const ids = (rows: readonly number[]): string[] => rows.map((r) => candidates.id[r]);
  return {
    ...(notice ? { notice } : {}),
    planting: planting.id,
    species: planting.species,
    sites: vetting.sites.map(({ name, lon, lat }) => ({ name, lon, lat })),
    ...(planting.sitePeriod === '' ? {} : { site_period: planting.sitePeriod }),
    status: set.status,
    count_wanted: planting.parents.count,
    spacing_m: planting.parents.spacing,
    total: set.total,
    bound: set.bound,
    largest: set.largest < 0 ? null : set.largest,
    members: set.members.map(tree),
    reserves: reserves.reserves.map(tree),
    stand_ins: reserves.standIns.map((s) => ({ ...tree(s.row), for: candidates.id[s.member] })),
    kept: planting.locks,
    left_out: planting.bans,
    conflicting_kept: set.conflictingLocks.map(ids),
    held_back: heldBack.map(({ rule, change, candidates: n, largest }) => ({
      rule,
      change,
      candidates: n,
      largest,
    })),
    bottlenecks: set.bottlenecks.map((b) => ({ candidates: ids(b.rows), yields: b.yields })),
  };
}

const known = (x: number): number | null => (Number.isFinite(x) ? x : null);
