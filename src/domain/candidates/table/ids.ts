/** Unique ids: the written one, with a suffix where it is taken; a made-up one never takes one that another row has in writing. */
export class Ids {
  readonly #written: ReadonlySet<string>;
  readonly #used = new Set<string>();
  /** Next suffix to try by id, so that a million rows of one id are not a million trials each. */
  readonly #next = new Map<string, number>();

  constructor(written: ReadonlySet<string>) {
    this.#written = written;
  }

  /** @param base what to call the row where it has no id in writing. */
  next(written: string, base: string): string {
    const wanted = written || base;
    let made = wanted;
    let k = this.#next.get(wanted) ?? 2;
    while (this.#used.has(made) || (made !== written && this.#written.has(made))) made = `${wanted}-${k++}`;
    if (k > 2) this.#next.set(wanted, k);
    this.#used.add(made);
    return made;
  }
}
