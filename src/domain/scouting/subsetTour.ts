/**
 * The cheapest closed tour, by the dynamic programme over subsets (Held & Karp 1962, J. SIAM 10:196-210): the least cost of
 * a way from stop 0 through a set of stops to the last of them, for all sets of one size after another. Only two sizes are
 * held at a time; what is kept of the rest is one byte a state. 22 stops take 44 MB of those and about a second.
 *
 * @param cost row-major n x n, 3 <= n <= 24. @returns stops in order, beginning with 0.
 */
export function subsetTour(cost: Float64Array, n: number): number[] {
  const m = n - 1; // stops 1 .. m are bits 0 .. m - 1
  const into = new Float64Array(m * m);
  for (let i = 0; i < m; i++) for (let j = 0; j < m; j++) into[j * m + i] = cost[(i + 1) * n + j + 1];
  const choose = binomials(m);
  /** The stop before `last` on the best way through `set`, at set * m + last. */
  const before = new Uint8Array(m * 2 ** m);
  // Sets of one size in rising order have the ranks 0, 1, ...; a state is rank * size + place of the last stop in the set.
  let held = new Float64Array(m);
  for (let j = 0; j < m; j++) held[j] = cost[j + 1];
  const member = new Int32Array(m);
  const high = new Int32Array(m + 1);
  for (let size = 2; size <= m; size++) {
    const next = new Float64Array(choose[m][size] * size);
    let at = 0;
    for (let set = 2 ** size - 1; set < 2 ** m; set = following(set)) {
      for (let j = 0, p = 0; p < size; j++) if ((set >>> j) & 1) member[p++] = j;
      // Rank of the set without its p-th stop: those below keep their place in the sum, those above move down by one.
      high[size] = 0;
      for (let p = size - 1; p > 0; p--) high[p] = high[p + 1] + choose[member[p]][p];
      let low = 0;
      for (let p = 0; p < size; p++) {
        const last = member[p];
        const row = last * m;
        const base = (low + high[p + 1]) * (size - 1);
        let least = Infinity;
        let from = 0;
        for (let q = 0; q < size; q++) {
          if (q === p) continue;
          const total = held[base + (q < p ? q : q - 1)] + into[row + member[q]];
          if (total < least) {
            least = total;
            from = member[q];
          }
        }
        next[at++] = least;
        before[set * m + last] = from;
        low += choose[last][p + 1];
      }
    }
    held = next;
  }
  let last = 0;
  for (let j = 1; j < m; j++) if (held[j] + cost[(j + 1) * n] < held[last] + cost[(last + 1) * n]) last = j;
  const tour: number[] = [];
  for (let set = 2 ** m - 1; set !== 0;) {
    tour.push(last + 1);
    const from = before[set * m + last];
    set &= ~(1 << last);
    last = from;
  }
  return [0, ...tour.reverse()];
}

/** The next larger number with as many bits set. */
function following(set: number): number {
  const lowest = set & -set;
  const carried = set + lowest;
  return carried | (((set ^ carried) / lowest) >>> 2);
}

/** Pascal's triangle: [n][k], zero where k > n. */
function binomials(most: number): number[][] {
  const rows = Array.from({ length: most + 1 }, () => new Array<number>(most + 2).fill(0));
  for (let i = 0; i <= most; i++) {
    rows[i][0] = 1;
    for (let k = 1; k <= i; k++) rows[i][k] = rows[i - 1][k - 1] + rows[i - 1][k];
  }
  return rows;
}
