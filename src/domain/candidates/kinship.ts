import { OAKS, type Section } from '../species/species.ts';
import { tentative } from '../species/tentative.ts';
import type { Candidates } from './candidates.ts';
import { isDoubtful } from './doubts.ts';

const SECTIONS: readonly Section[] = ['red', 'white', 'live', 'turkey'];
const BIT = OAKS.map((o) => 1 << SECTIONS.indexOf(o.section));

/** How one oak stands to another of its section: its own kind, perhaps another (identification in doubt), another. */
export type Kinship = 'none' | 'own' | 'possible' | 'other';

/** What is read of the candidates once, before trees are compared. */
export interface KinTable {
  /** Index into OAKS of each row, of a name written with doubt the oak that is named; -1 none. */
  readonly named: Int16Array;
  /** One bit for each section that the row belongs to, or may. */
  readonly sections: Uint8Array;
  /** 1 where the identification is doubtful (doubts.ts). */
  readonly doubtful: Uint8Array;
  /** One bit for each section of which the records hold a second species: elsewhere nobody looked for one. */
  readonly looked: number;
}

export function kinTable(candidates: Candidates): KinTable {
  const { n, species, hybrid, speciesText } = candidates;
  const named = Int16Array.from(species);
  const sections = new Uint8Array(n);
  const doubtful = new Uint8Array(n);
  const kinds = new Map<number, Set<number>>();
  const read = new Map<string, ReturnType<typeof tentative>>();
  for (let i = 0; i < n; i++) {
    doubtful[i] = isDoubtful(candidates, i) ? 1 : 0;
    for (const s of [species[i], hybrid[i]]) {
      if (s < 0) continue;
      sections[i] |= BIT[s];
      kinds.set(BIT[s], (kinds.get(BIT[s]) ?? new Set()).add(s));
    }
    if (species[i] >= 0) continue;
    const text = speciesText[i];
    const perhaps = read.get(text) ?? tentative(text);
    read.set(text, perhaps);
    named[i] = perhaps.species;
    for (const s of perhaps.sections) sections[i] |= 1 << SECTIONS.indexOf(s);
  }
  let looked = 0;
  for (const [bit, of] of kinds) if (of.size > 1) looked |= bit;
  return { named, sections, doubtful, looked };
}

/** Bit of the section of a row; 0 where its species is not even guessed. */
export const sectionBit = ({ named }: KinTable, row: number): number =>
  named[row] < 0 ? 0 : BIT[named[row]];

/**
 * What row j is to row i. A repeated record is no tree of its own, nor is the record that i repeats. A hybrid is another kind
 * when one of its parents is another species of the section. Never across sections.
 */
export function kinship(table: KinTable, candidates: Candidates, i: number, j: number): Kinship {
  const { species, hybrid, duplicateOf } = candidates;
  const bit = sectionBit(table, i);
  if (j === i || duplicateOf[j] >= 0 || j === duplicateOf[i] || (table.sections[j] & bit) === 0)
    return 'none';
  const own = table.named[i];
  const [a, b] = [species[j], hybrid[j]];
  if ((a >= 0 && a !== own && BIT[a] === bit) || (b >= 0 && b !== own && BIT[b] === bit)) return 'other';
  return a < 0 || table.doubtful[j] === 1 ? 'possible' : 'own';
}

/** Counts of the oaks of a section about a tree, filled tree by tree. */
export class KinCount {
  others = 0;
  nearest = NaN;
  possible: number;
  nearestPossible: number;
  /** Trees of the section by name, and those that may be of it besides; the tree itself among them. */
  named = 1;
  unsettled = 0;

  /** @param doubtful the tree itself may be another kind: it counts as one that is possible, at no distance. */
  constructor(doubtful: boolean) {
    this.possible = doubtful ? 1 : 0;
    this.nearestPossible = doubtful ? 0 : NaN;
  }

  add(kin: Kinship, metres: number, settled: boolean): void {
    if (kin === 'none') return;
    if (settled) this.named++;
    else this.unsettled++;
    if (kin === 'own') return;
    if (kin === 'other') {
      this.others++;
      if (!(metres >= this.nearest)) this.nearest = metres;
    } else this.possible++;
    if (!(metres >= this.nearestPossible)) this.nearestPossible = metres;
  }

  get sure(): { count: number; nearest: number; share: number } {
    return { count: this.others, nearest: this.nearest, share: this.others / this.named };
  }

  get withPossible(): { count: number; nearest: number; share: number } {
    const count = this.others + this.possible;
    return { count, nearest: this.nearestPossible, share: count / (this.named + this.unsettled) };
  }
}
