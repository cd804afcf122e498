/** The table of candidates while it is edited: which cells are chosen, what is being typed, and what becomes of it. Knows no element of the page. */
import { cellsOf, textOf } from '../../domain/candidates/hand/clipboard.ts';
import { EDIT_FIELDS, type EditField } from '../../domain/candidates/hand/editFields.ts';
import { planPaste, type Paste, type PasteColumn } from '../../domain/candidates/hand/paste.ts';
import { changeCandidates, handIds, removeCandidates } from '../../domain/plan/changeCandidates.ts';
import type { Kinstand } from '../../state/kinstand.svelte.ts';
import { cellText, FIELD_TITLES, troubles, typedText } from '../candidateText.ts';
import { rangeOf, type Cell } from './gridMoves.ts';

export const COLUMNS: readonly PasteColumn[] = ['id', ...EDIT_FIELDS];
export const titleOf = (column: PasteColumn): string => (column === 'id' ? 'Id' : FIELD_TITLES[column]);

export class TableEditor {
  /** Corners of what is chosen; the active one is where keys go. */
  active = $state<Cell>({ r: 0, c: 1 });
  anchor = $state<Cell>({ r: 0, c: 1 });
  /** What is being typed into the active cell; null: nothing. */
  editing = $state<string | null>(null);
  /** Why it cannot be kept. */
  wrong = $state('');
  /** A new candidate as far as it has been typed, in the last row; it is one when it has a position. */
  pending = $state<Partial<Record<EditField, string>>>({});

  #k: Kinstand;
  #ids: readonly string[];
  #known: ReadonlySet<string>;
  #idList = $derived.by(() => this.#k.layers.edited?.id ?? []);
  #rowOf = $derived.by(() => new Map(this.#idList.map((id, row) => [id, row])));
  /** Ids of the rows: those it began with, in their order, then those that were added since. */
  list = $derived.by(() => [
    ...this.#ids.filter((id) => this.#rowOf.has(id)),
    ...this.#idList.filter((id) => !this.#known.has(id)),
  ]);
  range = $derived(rangeOf(this.anchor, this.active));
  selectedIds = $derived(this.list.slice(this.range.r0, this.range.r1 + 1));

  /** @param ids rows to begin with: editing does not sort anew under the hands. */
  constructor(k: Kinstand, ids: readonly string[]) {
    this.#k = k;
    this.#ids = ids;
    this.#known = new Set(k.layers.edited?.id);
  }

  text(r: number, column: PasteColumn): string {
    const id = this.list[r];
    if (id === undefined) return column === 'id' ? '' : (this.pending[column] ?? '');
    if (column === 'id') return id;
    const { edited } = this.#k.layers;
    const row = this.#rowOf.get(id);
    return edited && row !== undefined ? cellText(edited, row, column, this.#k.session.units) : '';
  }

  isChosen(r: number, c: number): boolean {
    const { r0, r1, c0, c1 } = this.range;
    return r >= r0 && r <= r1 && c >= c0 && c <= c1;
  }

  isByHand(r: number, column: PasteColumn): boolean {
    const changed = this.#k.plan.candidates.changed;
    const id = this.list[r];
    return id !== undefined && Object.hasOwn(changed, id) && Object.hasOwn(changed[id], column);
  }

  moveTo({ r, c }: Cell, extend = false): void {
    this.active = {
      r: Math.max(0, Math.min(this.list.length, r)),
      c: Math.max(0, Math.min(COLUMNS.length - 1, c)),
    };
    if (!extend) this.anchor = this.active;
  }

  chooseAll(): void {
    this.anchor = { r: 0, c: 0 };
    this.active = { r: Math.max(0, this.list.length - 1), c: COLUMNS.length - 1 };
  }

  chooseRows(): void {
    this.anchor = { r: this.anchor.r, c: 0 };
    this.active = { r: this.active.r, c: COLUMNS.length - 1 };
  }

  /** Opens the active cell, with what is there or with what is typed first. False where it cannot be edited. */
  begin(start?: string): boolean {
    const column = COLUMNS[this.active.c];
    if (column === 'id' || this.#k.readOnly) return false;
    this.wrong = '';
    this.anchor = this.active;
    this.editing = start ?? this.text(this.active.r, column);
    return true;
  }

  leave(): void {
    this.editing = null;
    this.wrong = '';
  }

  /** Keeps what was typed. False where it cannot be kept; the cell stays open. */
  commit(): boolean {
    if (this.editing === null) return true;
    const column = COLUMNS[this.active.c] as EditField;
    const typed = this.editing.trim();
    if (typed === this.text(this.active.r, column)) {
      this.leave();
      return true;
    }
    const kept = typedText(column, typed, this.#k.session.units);
    const bad = troubles({ [column]: kept });
    const id = this.list[this.active.r];
    if (kept === '' && id !== undefined && (column === 'lat' || column === 'lon'))
      bad.push('A tree keeps its place: type another, or remove the tree');
    if (bad.length > 0) {
      this.wrong = bad[0];
      return false;
    }
    this.leave();
    const { plan } = this.#k;
    if (id !== undefined) this.#k.apply(changeCandidates(plan, [{ id, fields: { [column]: kept } }]));
    else this.#setDown({ ...this.pending, [column]: kept });
    return true;
  }

  #setDown(fields: Partial<Record<EditField, string>>): void {
    this.pending = fields;
    if (!fields.lat || !fields.lon) return;
    const { plan } = this.#k;
    const [id] = handIds(plan, this.#idList, 1);
    const filled = Object.fromEntries(Object.entries(fields).filter(([, t]) => t !== ''));
    this.pending = {};
    this.#k.apply(changeCandidates(plan, [], [{ id, ...filled }]));
  }

  /** Empties the chosen cells; ids and places stay. */
  empty(): void {
    const { r0, r1, c0, c1 } = this.range;
    const columns = COLUMNS.slice(c0, c1 + 1).filter((f) => f !== 'id' && f !== 'lat' && f !== 'lon');
    const changes = this.selectedIds.flatMap((id, i) => {
      const full = columns.filter((f) => this.text(r0 + i, f) !== '');
      return full.length > 0 ? [{ id, fields: Object.fromEntries(full.map((f) => [f, ''])) }] : [];
    });
    if (r1 >= this.list.length) this.pending = {};
    if (changes.length === 0) return;
    const whose = changes.length === 1 ? changes[0].id : `${changes.length} candidates`;
    this.#k.apply(changeCandidates(this.#k.plan, changes, [], `Empty cells of ${whose}`));
  }

  removeRows(): void {
    this.#k.apply(removeCandidates(this.#k.plan, this.selectedIds));
  }

  /** The chosen cells as a spreadsheet takes them. */
  copied(headings: boolean): string {
    const { r0, c0, c1 } = this.range;
    const columns = COLUMNS.slice(c0, c1 + 1);
    const rows = this.selectedIds.map((_, i) => columns.map((col) => this.text(r0 + i, col)));
    return textOf(headings ? [columns.map(titleOf), ...rows] : rows);
  }

  /** What copied cells would change, from the chosen place on; null where there are none. */
  plan(text: string): Paste | null {
    const { edited } = this.#k.layers;
    let cells = cellsOf(text);
    if (!edited || this.#k.readOnly || cells.length === 0) return null;
    const { r0, r1, c0, c1 } = this.range;
    // One cell fills all that is chosen.
    if (cells.length === 1 && cells[0].length === 1)
      cells = Array.from({ length: r1 - r0 + 1 }, () =>
        Array.from({ length: c1 - c0 + 1 }, () => cells[0][0]),
      );
    const { units } = this.#k.session;
    return planPaste(edited, cells, {
      columns: COLUMNS.slice(c0),
      ids: this.list.slice(r0),
      taken: new Set(this.#idList),
      newIds: (n) => handIds(this.#k.plan, this.#idList, n),
      shown: (row, field) => cellText(edited, row, field, units),
      withUnit: (field, t) => typedText(field, t, units),
    });
  }

  paste({ changes, added }: Paste): void {
    const n = changes.length + added.length;
    if (n === 0) return;
    const note = `Paste ${n === 1 ? 'a row' : `${n} rows`}`;
    this.#k.apply(changeCandidates(this.#k.plan, changes, added, note));
  }
}
