/** Binary min-heap of integer items by key; ties by item, so that the order never depends on the engine. */
export class Heap {
  private readonly item: Int32Array;
  private readonly key: Float64Array;
  private size = 0;
  private readonly capacity: number;

  constructor(capacity: number) {
    this.capacity = capacity;
    this.item = new Int32Array(capacity + 1);
    this.key = new Float64Array(capacity + 1);
  }

  push(item: number, key: number): void {
    if (this.size === this.capacity) throw new Error(`heap of ${this.capacity} is full`);
    const { item: items, key: keys } = this;
    let at = ++this.size;
    // The new one moves up through a gap: half the writes of swapping.
    for (let up = at >> 1; up > 0; up = at >> 1) {
      if (keys[up] < key || (keys[up] === key && items[up] < item)) break;
      items[at] = items[up];
      keys[at] = keys[up];
      at = up;
    }
    items[at] = item;
    keys[at] = key;
  }

  /** Item of the least key, -1 when empty. */
  pop(): number {
    if (this.size === 0) return -1;
    const { item: items, key: keys } = this;
    const top = items[1];
    const item = items[this.size];
    const key = keys[this.size];
    const size = --this.size;
    let at = 1;
    for (let down = 2; down <= size; down = 2 * at) {
      if (
        down < size &&
        (keys[down + 1] < keys[down] || (keys[down + 1] === keys[down] && items[down + 1] < items[down]))
      )
        down++;
      if (key < keys[down] || (key === keys[down] && item < items[down])) break;
      items[at] = items[down];
      keys[at] = keys[down];
      at = down;
    }
    items[at] = item;
    keys[at] = key;
    return top;
  }
}
