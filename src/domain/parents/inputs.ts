import type { Candidates } from '../candidates/candidates.ts';
import type { Planting } from '../plan/schema.ts';
import { ANSWERS, type FindingColumn } from '../vetting/rules/types.ts';
import { STANDINGS, type Vetting } from '../vetting/vetting.ts';
import { weight } from '../vetting/weight.ts';
import type { ParentProblem, Relaxation } from './types.ts';

const PASS = ANSWERS.indexOf('pass');
const ELIGIBLE = STANDINGS.indexOf('eligible');

/** The problem of choosing the parents of a planting. Kept or left out trees that are no candidates any more are passed over. */
export function parentProblem(planting: Planting, vetting: Vetting, candidates: Candidates): ParentProblem {
  const rowOf = new Map(candidates.id.map((id, row) => [id, row]));
  const rows = (ids: readonly string[]): number[] => ids.flatMap((id) => rowOf.get(id) ?? []);
  return {
    lon: candidates.lon,
    lat: candidates.lat,
    weight: vetting.weight,
    id: candidates.id,
    spacing: planting.parents.spacing,
    count: planting.parents.count,
    locks: rows(planting.locks),
    bans: rows(planting.bans),
  };
}

/** The problem, and what would come in if one rule alone were set aside. */
export function parentInputs(
  planting: Planting,
  vetting: Vetting,
  candidates: Candidates,
): { problem: ParentProblem; relaxations: Relaxation[] } {
  const musts = vetting.findings.rules.filter((r) => r.strength === 'must');
  // Another species or a repeated record is not a matter of how strict one is.
  const open = musts.filter((r) => r.rule !== 'species' && r.rule !== 'record');
  return {
    problem: parentProblem(planting, vetting, candidates),
    relaxations: open.map((rule) => relaxation(rule, musts, planting, vetting, candidates)),
  };
}

/** Candidates that only this rule keeps out, with the weight they would have. */
function relaxation(
  rule: FindingColumn,
  musts: readonly FindingColumn[],
  planting: Planting,
  vetting: Vetting,
  candidates: Candidates,
): Relaxation {
  const others = musts.filter((r) => r !== rule);
  const standing = new Uint8Array(vetting.n).fill(STANDINGS.indexOf('ruled out'));
  const rows: number[] = [];
  for (let i = 0; i < vetting.n; i++) {
    if (vetting.standing[i] === ELIGIBLE || vetting.overridden[i]) continue;
    if (!others.every((r) => r.answer[i] === PASS)) continue;
    standing[i] = ELIGIBLE;
    rows.push(i);
  }
  const weights = weight(
    candidates,
    vetting.match,
    vetting.origin,
    vetting.findings,
    standing,
    planting.parents,
  );
  return {
    rule: rule.rule,
    title: rule.title,
    change: `without the rule "${rule.title.toLowerCase()}" (${rule.limit})`,
    rows,
    weights: rows.map((i) => weights[i]),
  };
}
