import type { Standing } from '../../domain/vetting/vetting.ts';
import { keyOf, toggled, type OriginFilter } from './rowFilter.ts';

/** What the ledger lets through; set by its own fields and by the counts of the screens. Not saved. */
class LedgerFilter {
  words = $state('');
  standing = $state<Standing | ''>('');
  /** '' the planting's species, 'all', or the index of a species as text. */
  species = $state('');
  /** On origin; each is a chip that can be taken off. */
  origin = $state.raw<readonly OriginFilter[]>([]);

  /** Which of the workspaces opened so far the filters belong to. */
  #opened = 0;

  /** Another workspace begins with all of its planting's species in view. @param opened how many were opened so far. */
  follow(opened: number): void {
    if (opened === this.#opened) return;
    this.#opened = opened;
    this.reset();
  }

  toggle(f: OriginFilter): void {
    this.origin = toggled(this.origin, f);
  }

  has(f: OriginFilter): boolean {
    return this.origin.some((g) => keyOf(g) === keyOf(f));
  }

  reset(): void {
    this.words = '';
    this.standing = '';
    this.species = '';
    this.origin = [];
  }
}

export const ledgerFilter = new LedgerFilter();
