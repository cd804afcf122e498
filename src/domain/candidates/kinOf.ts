import { localFrame } from '../base/localFrame.ts';
import { OAKS, type Section } from '../species/species.ts';
import type { Candidates } from './candidates.ts';
import { doubts } from './doubts.ts';
import { kinLevel, type KinTally } from './kinLevel.ts';
import { KinCount, kinship, kinTable, sectionBit, type Kinship } from './kinship.ts';

/** An oak of the section within the radius. */
export interface KinTree {
  readonly row: number;
  readonly id: string;
  /** Scientific name with the other parent of a hybrid; where it is not settled, the name as written. */
  readonly species: string;
  /** Index into OAKS, of a name written with doubt the oak that is named; -1 none. */
  readonly named: number;
  readonly metres: number;
  readonly kinship: Exclude<Kinship, 'none'>;
  /** Why its identification is doubtful; none where it is not. */
  readonly doubts: readonly string[];
}

/** The oaks of its section about one tree. */
export interface KinOf {
  /** Index into OAKS of the tree, of a name written with doubt the oak that is named; -1: nothing can be said. */
  readonly named: number;
  readonly section: Section | null;
  /** Why the identification of the tree itself is doubtful. */
  readonly doubts: readonly string[];
  /** Index into KIN_LEVELS; NaN where the species is not settled, or nobody recorded a second species of the section. */
  readonly level: number;
  readonly sure: KinTally;
  /** Nearest first; its own kind too. */
  readonly trees: readonly KinTree[];
}

/** The name of a row, with the sign of a hybrid. */
const nameOf = ({ species, hybrid, speciesText }: Candidates, row: number): string => {
  const name = OAKS[species[row]]?.name ?? speciesText[row];
  const other = OAKS[hybrid[row]]?.name;
  return other === undefined ? name : `${name} × ${other.replace('Quercus', 'Q.')}`;
};

/**
 * What `kin` counts about one tree, tree by tree.
 * @param radius metres.
 */
export function kinOf(candidates: Candidates, row: number, radius: number): KinOf {
  const { n, lon, lat, id, species } = candidates;
  const table = kinTable(candidates);
  const bit = sectionBit(table, row);
  const count = new KinCount(table.doubtful[row] === 1);
  const trees: KinTree[] = [];
  const { lonMetres, latMetres } = localFrame(lat[row]);
  for (let j = 0; j < n; j++) {
    const x = (lon[row] - lon[j]) * lonMetres;
    const y = (lat[row] - lat[j]) * latMetres;
    const metres = Math.sqrt(x * x + y * y);
    if (!(metres <= radius)) continue;
    const kin = kinship(table, candidates, row, j);
    count.add(kin, metres, species[j] >= 0);
    if (kin !== 'none')
      trees.push({
        row: j,
        id: id[j],
        species: nameOf(candidates, j),
        named: table.named[j],
        metres,
        kinship: kin,
        doubts: doubts(candidates, j),
      });
  }
  const known = species[row] >= 0 && (table.looked & bit) !== 0;
  return {
    named: table.named[row],
    section: OAKS[table.named[row]]?.section ?? null,
    doubts: doubts(candidates, row),
    level: known ? kinLevel(count.sure, count.withPossible) : NaN,
    sure: count.sure,
    trees: trees.sort((a, b) => a.metres - b.metres || a.row - b.row),
  };
}
