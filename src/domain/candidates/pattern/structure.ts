import type { Work } from '../../base/work.ts';
import type { Candidates } from '../candidates.ts';
import { diameterSpread } from './diameterSpread.ts';
import { groupPlane } from './groupPlane.ts';
import { groups } from './groups.ts';
import { pattern } from './pattern.ts';
import { LEAST_TREES, PATTERN_VERDICTS, type StructureColumns } from './types.ts';

/** Simulated places between two looks whether to stop. */
const STRIDE = 20_000;

/**
 * How the trees of a species stand to one another, group by group (see groups.ts, pattern.ts). A repeat of a record has the
 * answer of the record that it repeats.
 * @param link metres: trees with no stand are one group while each is within it of another.
 */
export async function structureOf(
  candidates: Candidates,
  link: number,
  work: Work,
): Promise<StructureColumns> {
  const { n, dbh, duplicateOf } = candidates;
  const columns = {
    group: new Int32Array(n).fill(-1),
    pattern: new Int8Array(n).fill(-1),
    diameterSpread: new Float64Array(n).fill(NaN),
  };
  const found = groups(candidates, link);
  let sincePause = 0;
  for (const [number, group] of found.entries()) {
    const { rows } = group;
    let verdict = PATTERN_VERDICTS.indexOf('too few');
    if (rows.length >= LEAST_TREES) {
      const { x, y, window, apart } = groupPlane(candidates, group);
      const answer = pattern(x, y, window, { quick: true, apart });
      verdict = PATTERN_VERDICTS.indexOf(answer.verdict);
      sincePause += rows.length * (1 + answer.simulations);
    }
    const { spread } = diameterSpread(dbh, rows);
    for (const i of rows) {
      columns.group[i] = number;
      columns.pattern[i] = verdict;
      columns.diameterSpread[i] = spread;
    }
    if (sincePause > STRIDE) {
      sincePause = 0;
      work.progress?.(number, found.length, 'groups of trees compared with chance');
      await work.pause?.();
    }
  }
  for (let i = 0; i < n; i++) {
    const first = duplicateOf[i];
    if (first < 0) continue;
    columns.group[i] = columns.group[first];
    columns.pattern[i] = columns.pattern[first];
    columns.diameterSpread[i] = columns.diameterSpread[first];
  }
  return columns;
}
