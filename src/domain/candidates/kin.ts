import Flatbush from 'flatbush';
import { localFrame } from '../base/localFrame.ts';
import type { Candidates } from './candidates.ts';
import { kinLevel } from './kinLevel.ts';
import { KinCount, kinship, kinTable, sectionBit } from './kinship.ts';

/** Columns over all candidates; NaN not known. */
export interface KinColumns {
  /** Other oaks of the section within the radius. */
  readonly kin: Float64Array;
  /** Their share of all oaks of the section there, the tree itself counted among its own kind. */
  readonly kinShare: Float64Array;
  /** Index into KIN_LEVELS. */
  readonly kinLevel: Float64Array;
}

/**
 * Oaks of another species of the same section on record within a radius: trees that could have fathered hybrid acorns.
 * A hybrid counts when either parent is another species of the section; doubtful identifications only raise the level
 * (kinLevel.ts). Each record is one tree, a stand as well. Pollen comes from trees that nobody recorded too, so a small number
 * is no promise; where the records hold no second species of a section at all, nobody looked, and the answer is not known.
 *
 * @param radius metres.
 */
export function kin(candidates: Candidates, radius: number): KinColumns {
  const { n, lon, lat, species } = candidates;
  const columns: KinColumns = {
    kin: new Float64Array(n).fill(NaN),
    kinShare: new Float64Array(n).fill(NaN),
    kinLevel: new Float64Array(n).fill(NaN),
  };
  const table = kinTable(candidates);
  const oaks: number[] = [];
  for (let i = 0; i < n; i++) if (table.sections[i] > 0) oaks.push(i);
  if (oaks.length === 0) return columns;
  const tree = new Flatbush(oaks.length);
  for (const i of oaks) tree.add(lon[i], lat[i]);
  tree.finish();
  for (const i of oaks) {
    if (species[i] < 0 || (table.looked & sectionBit(table, i)) === 0) continue;
    const { lonMetres, latMetres } = localFrame(lat[i]);
    const dx = (1.001 * radius) / lonMetres;
    const dy = (1.001 * radius) / latMetres;
    const count = new KinCount(table.doubtful[i] === 1);
    for (const k of tree.search(lon[i] - dx, lat[i] - dy, lon[i] + dx, lat[i] + dy)) {
      const j = oaks[k];
      const x = (lon[i] - lon[j]) * lonMetres;
      const y = (lat[i] - lat[j]) * latMetres;
      const metres = Math.sqrt(x * x + y * y);
      if (metres <= radius) count.add(kinship(table, candidates, i, j), metres, species[j] >= 0);
    }
    columns.kin[i] = count.sure.count;
    columns.kinShare[i] = count.sure.share;
    columns.kinLevel[i] = kinLevel(count.sure, count.withPossible);
  }
  return columns;
}
