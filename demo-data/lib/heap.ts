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

  private less(a: number, b: number): boolean {
    return this.key[a] < this.key[b] || (this.key[a] === this.key[b] && this.item[a] < this.item[b]);
  }

  private swap(a: number, b: number): void {
    const i = this.item[a];
    const k = this.key[a];
    this.item[a] = this.item[b]!;
    this.key[a] = this.key[b]!;
    this.item[b] = i;
    this.key[b] = k;
  }

  push(item: number, key: number): void {
    if (this.size === this.capacity) throw new Error(`heap of ${this.capacity} is full`);
    let at = ++this.size;
    this.item[at] = item;
    this.key[at] = key;
    while (at > 1 && this.less(at, at >> 1)) {
      this.swap(at, at >> 1);
      at >>= 1;
    }
  }

  /** Item of the least key, -1 when empty. */
  pop(): number {
    if (this.size === 0) return -1;
    const top = this.item[1];
    this.item[1] = this.item[this.size]!;
    this.key[1] = this.key[this.size]!;
    this.size--;
    let at = 1;
    for (;;) {
      let least = at;
      if (2 * at <= this.size && this.less(2 * at, least)) least = 2 * at;
      if (2 * at + 1 <= this.size && this.less(2 * at + 1, least)) least = 2 * at + 1;
      if (least === at) return top;
      this.swap(at, least);
      at = least;
    }
  }
}
