/** Where keys lead in a table of cells. */
export interface Cell {
  readonly r: number;
  readonly c: number;
}

export interface Range {
  readonly r0: number;
  readonly r1: number;
  readonly c0: number;
  readonly c1: number;
}

/** The rectangle between two corners, both in it. */
export const rangeOf = (a: Cell, b: Cell): Range => ({
  r0: Math.min(a.r, b.r),
  r1: Math.max(a.r, b.r),
  c0: Math.min(a.c, b.c),
  c1: Math.max(a.c, b.c),
});

interface Key {
  readonly key: string;
  readonly ctrlKey: boolean;
  readonly metaKey: boolean;
  readonly shiftKey: boolean;
}

/**
 * The cell that a key leads to; null where it is no key of movement. Arrows go by one, with Ctrl to the edge; Home and End
 * go along the row, with Ctrl to the corners; Tab goes along the row and may leave it (a column outside of the table).
 */
export function step(
  e: Key,
  { r, c }: Cell,
  { rows, columns, page }: { readonly rows: number; readonly columns: number; readonly page: number },
): Cell | null {
  const far = e.ctrlKey || e.metaKey;
  const [lastRow, lastColumn] = [rows - 1, columns - 1];
  const row = (to: number): Cell => ({ r: Math.max(0, Math.min(lastRow, to)), c });
  const column = (to: number): Cell => ({ r, c: Math.max(0, Math.min(lastColumn, to)) });
  switch (e.key) {
    case 'ArrowDown':
      return row(far ? lastRow : r + 1);
    case 'ArrowUp':
      return row(far ? 0 : r - 1);
    case 'ArrowRight':
      return column(far ? lastColumn : c + 1);
    case 'ArrowLeft':
      return column(far ? 0 : c - 1);
    case 'PageDown':
      return row(r + page);
    case 'PageUp':
      return row(r - page);
    case 'Home':
      return far ? { r: 0, c: 0 } : column(0);
    case 'End':
      return far ? { r: lastRow, c: lastColumn } : column(lastColumn);
    case 'Tab':
      return { r, c: c + (e.shiftKey ? -1 : 1) };
    default:
      return null;
  }
}
