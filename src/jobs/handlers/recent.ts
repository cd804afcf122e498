/** Arrays kept up to a number of bytes; the one used longest ago goes first. `null` is kept too: known to be nothing. */
export class Recent<K, V extends ArrayBufferView> {
  readonly budget: number;
  #held = new Map<K, V | null>();
  #bytes = 0;

  constructor(budget: number) {
    this.budget = budget;
  }

  get bytes(): number {
    return this.#bytes;
  }

  /** undefined: not held. */
  get(key: K): V | null | undefined {
    const held = this.#held.get(key);
    if (held !== undefined) {
      this.#held.delete(key);
      this.#held.set(key, held);
    }
    return held;
  }

  set(key: K, value: V | null): void {
    this.#delete(key);
    this.#held.set(key, value);
    this.#bytes += size(value);
    for (const oldest of this.#held.keys()) {
      if (this.#bytes <= this.budget || oldest === key) break;
      this.#delete(oldest);
    }
  }

  #delete(key: K): void {
    const held = this.#held.get(key);
    if (held === undefined) return;
    this.#held.delete(key);
    this.#bytes -= size(held);
  }
}

/** A little for the key and the place in the list, so that there is an end to the nothings too. */
const size = (value: ArrayBufferView | null): number => 256 + (value?.byteLength ?? 0);
