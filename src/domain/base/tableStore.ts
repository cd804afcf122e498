import type { Table } from './table.ts';

/** Rows of one block; fewer where their text is long. */
const ROWS = 8192;
const CHARACTERS = 16_000_000;

interface Block {
  /** Text of each column, its cells one after another. */
  readonly text: readonly string[];
  /** End of each cell in its column's text: column after column. */
  readonly ends: Uint32Array;
  readonly lines: Uint32Array;
}

/**
 * A table of text that grows row by row and is kept compact: the cells of a column stand in one string a block, found by their
 * ends. A million rows of 15 columns are some 2,000 strings instead of 15 million (one byte a letter in engines that keep
 * Latin letters so, and 4 bytes a cell).
 */
export class TableStore {
  readonly #columns: readonly string[];
  readonly #blocks: Block[] = [];
  readonly #starts: number[] = [];
  #rows: string[][] = [];
  #lines: number[] = [];
  #characters = 0;
  #n = 0;

  constructor(columns: readonly string[]) {
    this.#columns = columns;
  }

  get n(): number {
    return this.#n;
  }

  /** @param row one cell a column. @param line its number as the user counts it. */
  add(row: string[], line: number): void {
    this.#rows.push(row);
    this.#lines.push(line);
    this.#n++;
    for (const cell of row) this.#characters += cell.length;
    if (this.#rows.length === ROWS || this.#characters > CHARACTERS) this.#close();
  }

  #close(): void {
    const rows = this.#rows;
    const n = rows.length;
    if (n === 0) return;
    const ends = new Uint32Array(n * this.#columns.length);
    const cells = new Array<string>(n);
    const text = this.#columns.map((_, column) => {
      let end = 0;
      for (let r = 0; r < n; r++) {
        cells[r] = rows[r][column];
        end += cells[r].length;
        ends[column * n + r] = end;
      }
      return cells.join('');
    });
    this.#starts.push(this.#n - n);
    this.#blocks.push({ text, ends, lines: Uint32Array.from(this.#lines) });
    this.#rows = [];
    this.#lines = [];
    this.#characters = 0;
  }

  /** The table; nothing may be added after. */
  table(): Table {
    this.#close();
    const blocks = this.#blocks;
    const starts = Uint32Array.from(this.#starts);
    // Rows are mostly asked for in order: the block of the last one is mostly that of the next.
    let at = 0;
    const find = (row: number): Block | undefined => {
      if (row < starts[at] || (at + 1 < starts.length && row >= starts[at + 1])) {
        let [low, high] = [0, starts.length - 1];
        while (low < high) {
          const middle = (low + high + 1) >> 1;
          if (starts[middle] <= row) low = middle;
          else high = middle - 1;
        }
        at = low;
      }
      return blocks[at];
    };
    return {
      columns: this.#columns,
      n: this.#n,
      cell: (row, column) => {
        const block = row >= 0 && row < this.#n ? find(row) : undefined;
        if (!block || column < 0 || column >= this.#columns.length) return '';
        const r = row - starts[at];
        const p = column * block.lines.length + r;
        return block.text[column].slice(r === 0 ? 0 : block.ends[p - 1], block.ends[p]);
      },
      line: (row) => {
        const block = row >= 0 && row < this.#n ? find(row) : undefined;
        return block ? block.lines[row - starts[at]] : row + 2;
      },
    };
  }
}
