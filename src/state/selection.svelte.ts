/** What is pointed at: shared by map, ledger and vetting sheet. Neither saved nor undoable. */
export class Selection {
  /** Candidate row, null none. */
  row = $state<number | null>(null);
  hovered = $state<number | null>(null);
  /** The vetting sheet takes the panel's place while open. */
  sheetOpen = $state(false);
  /** What the next click on the map sets. */
  picking = $state<'site' | 'start' | 'end' | null>(null);

  select(row: number | null, openSheet = false): void {
    this.row = row;
    if (row === null) this.sheetOpen = false;
    else if (openSheet) this.sheetOpen = true;
  }

  clear(): void {
    this.row = null;
    this.hovered = null;
    this.sheetOpen = false;
    this.picking = null;
  }
}
