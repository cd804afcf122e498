import type { ConflictGraph } from './conflicts.ts';

/** Groups of which at most one can be a member, covering every conflict; and the groups of each vertex. */
export interface Cliques {
  readonly members: readonly Int32Array[];
  readonly of: readonly Int32Array[];
}

/**
 * Covers all conflicts by groups in which everybody conflicts with everybody: from each pair not covered yet a group is
 * grown as far as it goes, by vertices that are in most pairs first.
 */
export function cliqueCover({ n, start, list }: ConflictGraph): Cliques {
  const covered = new Set<number>();
  const members: Int32Array[] = [];
  const of: number[][] = Array.from({ length: n }, () => []);
  const count = new Int32Array(n);
  const touched: number[] = [];
  for (let u = 0; u < n; u++) {
    for (let e = start[u]; e < start[u + 1]; e++) {
      const v = list[e];
      if (v < u || covered.has(u * n + v)) continue;
      const clique = [u, v];
      // count[w]: how many of the group w conflicts with.
      touched.length = 0;
      for (const m of clique) add(m);
      for (;;) {
        let best = -1;
        let bestDegree = -1;
        for (let f = start[u]; f < start[u + 1]; f++) {
          const w = list[f];
          if (count[w] !== clique.length || clique.includes(w)) continue;
          const degree = start[w + 1] - start[w];
          if (degree > bestDegree) {
            best = w;
            bestDegree = degree;
          }
        }
        if (best < 0) break;
        clique.push(best);
        add(best);
      }
      for (const w of touched) count[w] = 0;
      clique.sort((a, b) => a - b);
      for (let a = 0; a < clique.length; a++)
        for (let b = a + 1; b < clique.length; b++) covered.add(clique[a] * n + clique[b]);
      for (const m of clique) of[m].push(members.length);
      members.push(Int32Array.from(clique));
    }
  }
  return { members, of: of.map((q) => Int32Array.from(q)) };

  function add(m: number): void {
    for (let f = start[m]; f < start[m + 1]; f++) {
      if (count[list[f]]++ === 0) touched.push(list[f]);
    }
  }
}
