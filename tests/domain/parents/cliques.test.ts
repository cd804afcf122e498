import { describe, expect, it } from 'vitest';
import { cliqueCover, maximalCliques } from '../../../src/domain/parents/cliques.ts';
import type { ConflictGraph } from '../../../src/domain/parents/conflicts.ts';
import { conflicts, randomGraph } from './graphs.ts';

/** Every maximal group of two or more, from all subsets. */
function byAllSubsets(graph: ConflictGraph): string[] {
  const found: string[] = [];
  for (let bits = 1; bits < 1 << graph.n; bits++) {
    const set = Array.from({ length: graph.n }, (_, v) => v).filter((v) => bits & (1 << v));
    if (set.length < 2 || set.some((a) => set.some((b) => a < b && !conflicts(graph, a, b)))) continue;
    const more = Array.from({ length: graph.n }, (_, v) => v).some(
      (v) => !set.includes(v) && set.every((m) => conflicts(graph, v, m)),
    );
    if (!more) found.push(set.join(' '));
  }
  return found.sort();
}

describe('groups of mutually conflicting trees', () => {
  it.each([0.2, 0.5, 0.8])('are all maximal ones, each once (40 random graphs, share %f)', (share) => {
    for (let seed = 1; seed <= 40; seed++) {
      const graph = randomGraph(10, share, seed);
      const found = maximalCliques(graph, 1000, 1000)?.map((c) => c.join(' '));
      expect(found?.sort(), `seed ${seed}`).toEqual(byAllSubsets(graph));
    }
  });

  it('are given up where there are too many, or it takes too long', () => {
    const graph = randomGraph(60, 0.5, 1);
    const all = maximalCliques(graph, 100_000, 100_000);
    expect(all?.length).toBeGreaterThan(100);
    expect(maximalCliques(graph, 100, 100_000)).toBeNull();
    expect(maximalCliques(graph, 100_000, 1)).toBeNull();
  });

  // The second graph has far more than eight maximal groups a vertex, so that only some are taken.
  it.each([
    [40, 0.3],
    [90, 0.7],
  ])('cover every conflict and nothing else (%i vertices, share %f)', (n, share) => {
    for (let seed = 1; seed <= 5; seed++) {
      const graph = randomGraph(n, share, seed);
      const { members, of } = cliqueCover(graph);
      expect(members.length).toBeLessThanOrEqual(graph.list.length / 2);
      const together = new Set<number>();
      members.forEach((m, q) => {
        for (const a of m) {
          if (!of[a].includes(q)) throw new Error(`vertex ${a} is not told of its group ${q}`);
          for (const b of m) if (a !== b) together.add(a * n + b);
        }
      });
      const all = Array.from({ length: n * n }, (_, i) => i);
      const wanted = all.filter((i) => conflicts(graph, Math.floor(i / n), i % n));
      expect(
        all.filter((i) => together.has(i)),
        `seed ${seed}`,
      ).toEqual(wanted);
      expect(of.reduce((sum, o) => sum + o.length, 0)).toBe(members.reduce((sum, m) => sum + m.length, 0));
    }
    if (n === 90) expect(maximalCliques(randomGraph(n, share, 1), 8 * n, 400 * n)).toBeNull();
  });
});
