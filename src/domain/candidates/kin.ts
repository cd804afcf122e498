import Flatbush from 'flatbush';
import { localFrame } from '../base/localFrame.ts';
import { OAKS } from '../species/species.ts';
import type { Candidates } from './candidates.ts';

/**
 * Oaks of another species of the same section on record within a radius: trees that could have fathered hybrid acorns.
 * A hybrid counts when either parent is another species of the section. Pollen comes from trees that nobody recorded as
 * well, so a small number is no promise; where the records hold no second species of a section at all, nobody looked, and
 * the answer is not known.
 *
 * @param radius metres.
 * @returns number of trees, NaN not known.
 */
export function kin(candidates: Candidates, radius: number): Float64Array {
  const { n, lon, lat, species, hybrid, duplicateOf } = candidates;
  const count = new Float64Array(n).fill(NaN);
  const kinds = new Map<string, Set<number>>();
  const known: number[] = [];
  for (let i = 0; i < n; i++) {
    if (species[i] < 0) continue;
    known.push(i);
    for (const s of [species[i], hybrid[i]]) {
      if (s < 0) continue;
      const { section } = OAKS[s];
      kinds.set(section, (kinds.get(section) ?? new Set()).add(s));
    }
  }
  if (known.length === 0) return count;
  const tree = new Flatbush(known.length);
  for (const i of known) tree.add(lon[i], lat[i]);
  tree.finish();
  for (const i of known) {
    const { section } = OAKS[species[i]];
    if ((kinds.get(section)?.size ?? 0) < 2) continue;
    const { lonMetres, latMetres } = localFrame(lat[i]);
    const dx = (1.001 * radius) / lonMetres;
    const dy = (1.001 * radius) / latMetres;
    let trees = 0;
    for (const k of tree.search(lon[i] - dx, lat[i] - dy, lon[i] + dx, lat[i] + dy)) {
      const j = known[k];
      if (j === i || duplicateOf[j] >= 0) continue;
      const other = [species[j], hybrid[j]].some(
        (s) => s >= 0 && s !== species[i] && OAKS[s].section === section,
      );
      if (other && Math.hypot((lon[i] - lon[j]) * lonMetres, (lat[i] - lat[j]) * latMetres) <= radius)
        trees++;
    }
    count[i] = trees;
  }
  return count;
}
