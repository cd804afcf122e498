import type { ConflictGraph } from './conflicts.ts';

/** Groups of which at most one can be a member, covering every conflict; and the groups of each vertex. */
export interface Cliques {
  readonly members: readonly Int32Array[];
  readonly of: readonly Int32Array[];
}

/** All maximal groups are taken up to so many a vertex, found within so many steps a vertex; else a cover by some of them. */
const MOST_EACH = 8;
const STEPS_EACH = 400;

/** Groups that cover all conflicts: all maximal ones, which bound best, or a cover where they are too many. */
export function cliqueCover(graph: ConflictGraph): Cliques {
  const members = maximalCliques(graph, MOST_EACH * graph.n, STEPS_EACH * graph.n) ?? someCliques(graph);
  const of: number[][] = Array.from({ length: graph.n }, () => []);
  members.forEach((m, q) => {
    for (const v of m) of[v].push(q);
  });
  return { members, of: of.map((q) => Int32Array.from(q)) };
}

/**
 * Every maximal group of at least two, each rising (Bron & Kerbosch 1973, with the pivot of Tomita, Tanaka & Takahashi 2006,
 * one vertex after another as in Eppstein, Löffler & Strash 2010); null where there are more than `most` or it takes more
 * than `steps` words of set arithmetic, counted in thousands.
 */
export function maximalCliques(
  { n, start, list }: ConflictGraph,
  most: number,
  steps: number,
): Int32Array[] | null {
  const found: Int32Array[] = [];
  const at = new Int32Array(n).fill(-1);
  let left = steps * 1000;
  for (let v = 0; v < n; v++) {
    const near = list.subarray(start[v], start[v + 1]);
    const d = near.length;
    if (d === 0) continue;
    // Sets of neighbours of v as words of bits; `next` holds who conflicts with whom among them.
    const words = (d + 31) >> 5;
    near.forEach((u, i) => {
      at[u] = i;
    });
    const next = new Int32Array(d * words);
    near.forEach((u, i) => {
      for (let e = start[u]; e < start[u + 1]; e++) {
        const j = at[list[e]];
        if (j >= 0) next[i * words + (j >> 5)] |= 1 << (j & 31);
      }
    });
    for (const u of near) at[u] = -1;
    const open = new Int32Array(words);
    const shut = new Int32Array(words);
    near.forEach((u, i) => {
      (u > v ? open : shut)[i >> 5] |= 1 << (i & 31);
    });
    left -= d * words;
    if (!grow([], open, shut)) return null;

    function grow(clique: readonly number[], may: Int32Array, not: Int32Array): boolean {
      const pivot = fullest(may, not);
      if (pivot < 0) {
        found.push(Int32Array.from([v, ...clique.map((i) => near[i])].sort((a, b) => a - b)));
        return found.length <= most;
      }
      for (let w = 0; w < words; w++) {
        let todo = may[w] & ~next[pivot * words + w];
        while (todo !== 0) {
          const bit = todo & -todo;
          todo ^= bit;
          const i = (w << 5) + 31 - Math.clz32(bit);
          const mayToo = new Int32Array(words);
          const notToo = new Int32Array(words);
          let any = 0;
          for (let x = 0; x < words; x++) {
            any |= mayToo[x] = may[x] & next[i * words + x];
            notToo[x] = not[x] & next[i * words + x];
          }
          left -= words;
          // Without anybody left to add, the group is maximal only if nobody who was left out fits either.
          if (any !== 0 || notToo.every((x) => x === 0)) {
            if (left < 0 || !grow([...clique, i], mayToo, notToo)) return false;
          }
          may[w] &= ~bit;
          not[w] |= bit;
        }
      }
      return true;
    }

    /** Of all in either set the one that conflicts with most that may be added; -1 where both are empty. */
    function fullest(may: Int32Array, not: Int32Array): number {
      let best = -1;
      let most = -1;
      for (let i = 0; i < d; i++) {
        if (((may[i >> 5] | not[i >> 5]) & (1 << (i & 31))) === 0) continue;
        let count = 0;
        for (let x = 0; x < words; x++) count += ones(may[x] & next[i * words + x]);
        left -= words;
        if (count > most) {
          most = count;
          best = i;
        }
      }
      return best;
    }
  }
  return found;
}

/** Number of bits set in a word. */
function ones(word: number): number {
  let x = word - ((word >>> 1) & 0x55555555);
  x = (x & 0x33333333) + ((x >>> 2) & 0x33333333);
  return Math.imul((x + (x >>> 4)) & 0x0f0f0f0f, 0x01010101) >>> 24;
}

/** From each pair not covered yet a group is grown as far as it goes, by the first vertices first. */
function someCliques({ n, start, list }: ConflictGraph): Int32Array[] {
  const members: Int32Array[] = [];
  const words = (n + 31) >> 5;
  // By vertex, as bits: who it conflicts with, and with whom it is in a group already.
  const near = new Int32Array(n * words);
  const covered = new Int32Array(n * words);
  for (let v = 0; v < n; v++)
    for (let e = start[v]; e < start[v + 1]; e++) near[v * words + (list[e] >> 5)] |= 1 << (list[e] & 31);
  const fits = new Int32Array(words);
  const group = new Int32Array(words);
  for (let u = 0; u < n; u++) {
    for (let e = start[u]; e < start[u + 1]; e++) {
      const first = list[e];
      if (first < u || (covered[u * words + (first >> 5)] & (1 << (first & 31))) !== 0) continue;
      const clique = [u];
      fits.set(near.subarray(u * words, (u + 1) * words));
      group.fill(0);
      group[u >> 5] |= 1 << (u & 31);
      for (let v = first; v >= 0; v = lowest(fits)) {
        clique.push(v);
        group[v >> 5] |= 1 << (v & 31);
        for (let w = 0; w < words; w++) fits[w] &= near[v * words + w];
      }
      for (const v of clique) for (let w = 0; w < words; w++) covered[v * words + w] |= group[w];
      members.push(Int32Array.from(clique.sort((a, b) => a - b)));
    }
  }
  return members;
}

/** Place of the first bit that is set; -1: none. */
function lowest(bits: Int32Array): number {
  for (let w = 0; w < bits.length; w++)
    if (bits[w] !== 0) return (w << 5) + 31 - Math.clz32(bits[w] & -bits[w]);
  return -1;
}
