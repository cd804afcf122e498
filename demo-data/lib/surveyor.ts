import type { Local } from './frame.ts';
import type { Ground } from './ground.ts';
import type { InventoryTree } from './inventory.ts';
import type { Tree } from './notebook.ts';
import type { Rng } from './rng.ts';
import type { Test } from './search.ts';
import type { Kind } from './truth.ts';

/** Year of the records, about. */
export const NOW = 2024;
export interface Surveyor {
  readonly g: Ground;
  readonly r: Rng;
  /** Trees, and entries for the towns' inventory, in the order of their making. */
  readonly trees: Tree[];
  readonly entries: Array<Omit<InventoryTree, 'id'>>;
  /** So far from every tree on record, and from what the plantings need. */
  free(metres: number): Test;
  /** Records a tree of so many years. */
  note(place: Local, kind: Kind, years: number, own?: Partial<Tree>): Tree;
  /** Lists a tree, with the year of its planting or without. */
  list(tree: Tree, where: string, planted: number | null): void;
  find(what: string, tests: readonly Test[], around?: { at: Local; metres: number }): Local;
}
