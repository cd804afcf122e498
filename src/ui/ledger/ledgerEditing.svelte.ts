/** Whether the ledger is a table that is edited, instead of one that is read. Not saved. */
class LedgerEditing {
  on = $state(false);
}

export const ledgerEditing = new LedgerEditing();
