import type { Place } from '../domain/base/geo.ts';

/** A candidate that is being set down or edited: nothing of it is in the plan until it is saved. */
export interface Draft {
  /** null: a new one. */
  readonly id: string | null;
  /** Where it stands in the plan; null for a new one. */
  readonly from: Place | null;
  /** Where it shall stand. */
  readonly place: Place | null;
}

/** Screens that take the panel's place beside the stages; a vetting sheet lies over them. */
export type Page = 'where' | 'origin' | 'weights';

/** What is pointed at: shared by map, ledger and vetting sheet. Neither saved nor undoable. */
export class Selection {
  /** Candidate row, null none. */
  row = $state<number | null>(null);
  hovered = $state<number | null>(null);
  /** The vetting sheet takes the panel's place while open. */
  sheetOpen = $state(false);
  page = $state<Page | null>(null);
  /** Zone pointed at there: index into the zones layer, null none. */
  zone = $state<number | null>(null);
  /** What the next click on the map sets; 'candidate' is the place of the draft. */
  picking = $state<'site' | 'start' | 'end' | 'candidate' | null>(null);
  /** Piece of evidence pointed at on the sheet: its drawing on the map stands out. */
  piece = $state<string | null>(null);
  /** Its form takes the panel's place. */
  draft = $state.raw<Draft | null>(null);
  /** Id of a candidate that is selected as soon as it has a row. */
  awaited: string | null = null;

  select(row: number | null, openSheet = false): void {
    this.row = row;
    if (row === null) this.sheetOpen = false;
    else if (openSheet) {
      this.sheetOpen = true;
      // What was pointed at may be gone without a word; the sheet says more than the label at its mark.
      this.hovered = null;
    }
  }

  /** Sets down a new candidate: the next click on the map, or what is typed, is its place. */
  startNew(): void {
    this.draft = { id: null, from: null, place: null };
    this.picking = 'candidate';
  }

  startEdit(id: string, from: Place): void {
    this.draft = { id, from, place: from };
    this.picking = null;
  }

  /** A place for the draft, from the map or the form. */
  put(place: Place | null): void {
    if (this.draft) this.draft = { ...this.draft, place };
  }

  endDraft(): void {
    this.draft = null;
    if (this.picking === 'candidate') this.picking = null;
  }

  /** The same trees have other rows now, or are gone (-1). */
  follow(to: (row: number) => number): void {
    const row = (at: number | null): number | null => (at === null || to(at) < 0 ? null : to(at));
    this.hovered = row(this.hovered);
    this.select(row(this.row));
  }

  clear(): void {
    this.row = null;
    this.hovered = null;
    this.sheetOpen = false;
    this.zone = null;
    this.piece = null;
    this.picking = null;
    this.draft = null;
    this.awaited = null;
  }
}
