import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { polygonsFrom, type Corner } from '../../../src/io/read/vectors/rings.ts';

/** A closed square; clockwise is an outline in a shapefile. */
const square = (x: number, y: number, side: number, clockwise: boolean): Corner[] => {
  const ring: Corner[] = [[x, y], [x, y + side], [x + side, y + side], [x + side, y], [x, y]]; // prettier-ignore
  return clockwise ? ring : ring.reverse();
};

interface Node {
  readonly children: readonly Node[];
}

/** Squares in squares, as a tree says, without one touching another; each with its depth and the ring around it. */
function laidOut(
  nodes: readonly Node[],
  x = 0,
  y = 0,
  side = 2 ** 20,
  depth = 0,
  around: Corner[] | null = null,
) {
  const all: { ring: Corner[]; depth: number; around: Corner[] | null }[] = [];
  const n = Math.ceil(Math.sqrt(nodes.length));
  for (const [i, node] of nodes.entries()) {
    const cell = side / n;
    const own = square(x + (i % n) * cell + cell / 4, y + Math.floor(i / n) * cell + cell / 4, cell / 2, depth % 2 === 0); // prettier-ignore
    all.push({ ring: own, depth, around });
    const [left, bottom] = [Math.min(...own.map((p) => p[0])), Math.min(...own.map((p) => p[1]))];
    all.push(...laidOut(node.children, left, bottom, cell / 2, depth + 1, own));
  }
  return all;
}

/** At most four rings within each other. */
const tree = [1, 2, 3].reduce<fc.Arbitrary<Node>>(
  (inner) => fc.array(inner, { maxLength: 3 }).map((children) => ({ children })),
  fc.constant({ children: [] }),
);

describe('rings in any order', () => {
  it('become the polygons of a tree of lakes and islands, by their turn or by how they lie (500 random trees)', () => {
    fc.assert(
      fc.property(
        fc.array(tree, { minLength: 1, maxLength: 4 }),
        fc.array(fc.nat(), { minLength: 40, maxLength: 40 }),
        fc.constantFrom('right', 'wrong'),
        (nodes, order, turns) => {
          const all = laidOut(nodes);
          const rings = all
            .map((r, i) => ({ ...r, key: order[i % order.length] }))
            .sort((a, b) => a.key - b.key)
            .map((r) => r.ring);
          // Each its own list, so that a ring is known by itself.
          if (turns === 'wrong') for (const ring of rings) ring.reverse();
          const { polygons } = polygonsFrom(rings);
          const want = new Map<Corner[], Set<Corner[]>>();
          for (const { ring, depth } of all) if (depth % 2 === 0) want.set(ring, new Set());
          for (const { ring, depth, around } of all)
            if (depth % 2 === 1 && around) want.get(around)?.add(ring);
          expect(polygons.length).toBe(want.size);
          for (const [outer, ...holes] of polygons) expect(new Set(holes)).toEqual(want.get(outer));
        },
      ),
      { seed: 20261125, numRuns: 500 },
    );
  });

  it('with a hole that touches its outline in a corner, or fills it: a hole all the same', () => {
    const outer = square(0, 0, 8, true);
    const touching = square(0, 0, 4, false);
    expect(polygonsFrom([touching, outer]).polygons).toEqual([[outer, touching]]);
    const other = square(-1, -1, 20, true);
    expect(polygonsFrom([touching, other, outer]).polygons).toEqual([[other], [outer, touching]]);
  });

  it('without an area are left out beside others, and kept alone', () => {
    const line: Corner[] = [[1, 1], [2, 2], [1, 1]]; // prettier-ignore
    expect(polygonsFrom([line, square(0, 0, 8, true)])).toMatchObject({ flat: 1, polygons: [[{}]] });
    expect(polygonsFrom([line, line])).toMatchObject({ flat: 0, polygons: [[line], [line]] });
  });

  it('that are not numbers stay by themselves', () => {
    const lost: Corner[] = [[NaN, 1], [2, 2], [3, NaN], [NaN, 1]]; // prettier-ignore
    const { polygons } = polygonsFrom([lost, square(0, 0, 8, true), square(1, 1, 2, false)]);
    expect(polygons.map((p) => p.length).sort()).toEqual([1, 2]);
  });
});
