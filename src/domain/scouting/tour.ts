/**
 * A closed tour as an array with the position of every stop, changed in place. Changes since the last `keep` are written
 * down, so that a change that turns out worse is taken back without copying the tour.
 */
export class Tour {
  readonly n: number;
  readonly #order: Int32Array;
  readonly #at: Int32Array;
  readonly #scratch: Int32Array;
  /** Position and the stop that was there, pair by pair. */
  #undo: number[] = [];

  constructor(stops: readonly number[]) {
    this.n = stops.length;
    this.#order = Int32Array.from(stops);
    this.#at = new Int32Array(this.n);
    this.#scratch = new Int32Array(this.n);
    stops.forEach((stop, position) => (this.#at[stop] = position));
  }

  stops(): number[] {
    return Array.from(this.#order);
  }

  next(stop: number): number {
    const p = this.#at[stop] + 1;
    return this.#order[p === this.n ? 0 : p];
  }

  previous(stop: number): number {
    const p = this.#at[stop];
    return this.#order[p === 0 ? this.n - 1 : p - 1];
  }

  /** Steps from one stop on to another, 0 .. n - 1. */
  steps(from: number, to: number): number {
    const d = this.#at[to] - this.#at[from];
    return d < 0 ? d + this.n : d;
  }

  /** The stop so many steps on. */
  ahead(stop: number, steps: number): number {
    const p = this.#at[stop] + steps;
    return this.#order[p < this.n ? p : p - this.n];
  }

  keep(): void {
    this.#undo.length = 0;
  }

  takeBack(): void {
    const undo = this.#undo;
    for (let i = undo.length - 2; i >= 0; i -= 2) {
      this.#order[undo[i]] = undo[i + 1];
      this.#at[undo[i + 1]] = undo[i];
    }
    undo.length = 0;
  }

  /** Turns the stretch first .. last round. */
  reverse(first: number, last: number): void {
    let i = this.#at[first];
    let j = this.#at[last];
    for (let k = (this.steps(first, last) + 1) >> 1; k > 0; k--) {
      const a = this.#order[i];
      this.#put(i, this.#order[j]);
      this.#put(j, a);
      i = i + 1 === this.n ? 0 : i + 1;
      j = j === 0 ? this.n - 1 : j - 1;
    }
  }

  /**
   * Swaps two stretches that follow one another: a .. (b - 1) and b .. (c - 1), where c is the stop behind them. On a ring
   * the same comes of swapping either of them with the rest, so the longest of the three stays where it is.
   */
  swap(a: number, b: number, c: number): void {
    const ab = this.steps(a, b);
    const bc = this.steps(b, c);
    const ca = this.n - ab - bc;
    if (ca >= ab && ca >= bc) this.#exchange(a, ab, bc);
    else if (ab >= bc) this.#exchange(b, bc, ca);
    else this.#exchange(c, ca, ab);
  }

  #exchange(first: number, length: number, following: number): void {
    const n = this.n;
    const start = this.#at[first];
    const all = length + following;
    for (let i = 0; i < all; i++) {
      const p = start + i;
      this.#scratch[i] = this.#order[p < n ? p : p - n];
    }
    for (let i = 0; i < all; i++) {
      const p = start + i;
      this.#put(p < n ? p : p - n, this.#scratch[i < following ? length + i : i - following]);
    }
  }

  #put(position: number, stop: number): void {
    this.#undo.push(position, this.#order[position]);
    this.#order[position] = stop;
    this.#at[stop] = position;
  }
}
