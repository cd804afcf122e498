import type { Standing } from '../../domain/vetting/vetting.ts';

/** What the ledger lets through; set by its own fields and by the counts of the Candidates stage. Not saved. */
class LedgerFilter {
  words = $state('');
  standing = $state<Standing | ''>('');
  /** '' the planting's species, 'all', or the index of a species as text. */
  species = $state('');

  reset(): void {
    this.words = '';
    this.standing = '';
    this.species = '';
  }
}

export const ledgerFilter = new LedgerFilter();
