import type { Local } from './frame.ts';

/** Points in square bins, for "is anything within so many metres" and "how far to the nearest". */
export class Near {
  private readonly bins = new Map<number, Local[]>();
  private readonly side: number;

  constructor(side: number, points: Iterable<Local> = []) {
    this.side = side;
    for (const p of points) this.add(p);
  }

  private key(x: number, y: number): number {
    return (Math.floor(y / this.side) + 1000) * 100_000 + Math.floor(x / this.side) + 1000;
  }

  add(p: Local): void {
    const k = this.key(p[0], p[1]);
    const bin = this.bins.get(k);
    if (bin) bin.push(p);
    else this.bins.set(k, [p]);
  }

  /** Metres to the nearest point, `most` where none is nearer. */
  distance(p: Local, most: number): number {
    let best = most * most;
    for (let y = p[1] - most; ; y = Math.min(y + this.side, p[1] + most)) {
      for (let x = p[0] - most; ; x = Math.min(x + this.side, p[0] + most)) {
        for (const q of this.bins.get(this.key(x, y)) ?? [])
          best = Math.min(best, (q[0] - p[0]) ** 2 + (q[1] - p[1]) ** 2);
        if (x >= p[0] + most) break;
      }
      if (y >= p[1] + most) break;
    }
    return Math.sqrt(best);
  }

  within(p: Local, metres: number): boolean {
    return this.distance(p, metres) < metres;
  }
}

/** Points every `every` metres along lines, ends included. */
export function* along(lines: Iterable<readonly Local[]>, every: number): Generator<Local> {
  for (const line of lines)
    for (let k = 1; k < line.length; k++) {
      const [a, b] = [line[k - 1], line[k]];
      const steps = Math.max(1, Math.ceil(Math.sqrt((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) / every));
      for (let s = 0; s <= steps; s++)
        yield [a[0] + ((b[0] - a[0]) * s) / steps, a[1] + ((b[1] - a[1]) * s) / steps];
    }
}
