import type { Note } from '../../base/result.ts';

/** Notes of one kind that are given row by row; the rest are counted. */
const MOST_NOTES = 50;

export interface Entry {
  /** Number of the row as the user counts it; null for what holds for the whole table. */
  readonly row: number | null;
  readonly field: string;
  readonly what: string;
}

/** What was seen on reading a table: row by row, but never a thousand times the same. */
export class Log {
  readonly #file: string;
  readonly #kinds = new Map<string, { entries: Entry[]; more: number }>();
  readonly #once = new Set<string>();

  constructor(file: string) {
    this.#file = file;
  }

  add(kind: string, row: number, field: string, what: string): void {
    const known = this.#kinds.get(kind) ?? { entries: [], more: 0 };
    if (known.entries.length < MOST_NOTES) known.entries.push({ row, field, what });
    else known.more++;
    this.#kinds.set(kind, known);
  }

  /** The first row of each text only: a misspelt species is one matter, not a thousand. */
  addOnce(kind: string, row: number, field: string, what: string): void {
    if (this.#once.has(what)) return;
    this.#once.add(what);
    this.add(kind, row, field, what);
  }

  /** Of the table as a whole. */
  plain(what: string): void {
    this.#kinds.set(what, { entries: [{ row: null, field: '', what }], more: 0 });
  }

  entries(): Entry[] {
    return [...this.#kinds.values()].flatMap((k) => k.entries);
  }

  notes(): Note[] {
    return [...this.#kinds].flatMap(([kind, { entries, more }]) => {
      const notes = entries.map(({ row, field, what }) => ({
        where: row === null ? this.#file : `${this.#file}, row ${row}, ${field}`,
        what,
      }));
      return more > 0
        ? [...notes, { where: this.#file, what: `${more} more rows of the same kind (${kind})` }]
        : notes;
    });
  }
}
