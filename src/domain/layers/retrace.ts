import type { MultiPolygon, Polygon, Ring } from '../base/geo.ts';
import { edgesOf, oddEdges } from './edges.ts';
import { meetings } from './meetings.ts';

/** More meetings than this are no slip of the hand: the drawing is left alone. */
const MOST_MEETINGS = 20_000;

/**
 * The same ground with its outlines drawn anew: lines are cut where they meet, what is run along twice falls away (in both
 * directions or in one), and what is left is followed round into rings that neither cross nor touch themselves. Ground is
 * what an odd number of the old rings encloses. Outer rings run counterclockwise, holes clockwise (RFC 7946, 3.1.6), each
 * hole with the ring about it.
 *
 * @param near degrees, over 0: corners and lines this close to one another become one.
 * @returns null where there is too much to mend.
 */
export function retrace(shape: MultiPolygon, near: number): MultiPolygon | null {
  const edges = oddEdges(edgesOf([shape]));
  const { n, ends } = edges;
  const nodes = new Nodes(near);
  const from = new Int32Array(n);
  const to = new Int32Array(n);
  for (let e = 0; e < n; e++) {
    from[e] = nodes.at(ends[4 * e], ends[4 * e + 1]);
    to[e] = nodes.at(ends[4 * e + 2], ends[4 * e + 3]);
  }
  const cuts = new Map<number, number[]>();
  const cut = (edge: number, node: number): void => {
    if (node === from[edge] || node === to[edge]) return;
    const list = cuts.get(edge);
    if (list) list.push(node);
    else cuts.set(edge, [node]);
  };
  let met = 0;
  const all = meetings(edges, near, (m) => {
    if (m.kind === 'crossing') {
      const node = nodes.at(m.x, m.y);
      cut(m.i, node);
      cut(m.j, node);
    } else {
      if (m.on[0]) cut(m.i, from[m.j]);
      if (m.on[1]) cut(m.i, to[m.j]);
      if (m.on[2]) cut(m.j, from[m.i]);
      if (m.on[3]) cut(m.j, to[m.i]);
    }
    return ++met <= MOST_MEETINGS;
  });
  if (!all) return null;
  const links = new Links();
  for (let e = 0; e < n; e++) {
    const between = cuts.get(e) ?? [];
    const along = (node: number): number =>
      (nodes.x[node] - nodes.x[from[e]]) * (nodes.x[to[e]] - nodes.x[from[e]]) +
      (nodes.y[node] - nodes.y[from[e]]) * (nodes.y[to[e]] - nodes.y[from[e]]);
    if (between.length > 1) between.sort((p, q) => along(p) - along(q));
    let last = from[e];
    for (const node of [...between, to[e]]) {
      if (node !== last) links.toggle(last, node);
      last = node;
    }
  }
  return nested(links.loops(nodes).map((loop) => loop.map((v): Point => [nodes.x[v], nodes.y[v]])));
}

type Point = readonly [number, number];

/** Places numbered, those within `near` of one another (in each direction) as one. */
class Nodes {
  readonly x: number[] = [];
  readonly y: number[] = [];
  #near: number;
  #cell: number;
  #byCell = new Map<number, number[]>();

  constructor(near: number) {
    this.#near = near;
    this.#cell = Math.max(1e-4, 100 * near);
  }

  at(x: number, y: number): number {
    const near = this.#near;
    const cell = this.#cell;
    for (let c = Math.floor((x - near) / cell); c <= Math.floor((x + near) / cell); c++) {
      for (let r = Math.floor((y - near) / cell); r <= Math.floor((y + near) / cell); r++) {
        for (const held of this.#byCell.get(this.#key(c, r)) ?? [])
          if (Math.abs(this.x[held] - x) <= near && Math.abs(this.y[held] - y) <= near) return held;
      }
    }
    const node = this.x.push(x) - 1;
    this.y.push(y);
    const key = this.#key(Math.floor(x / cell), Math.floor(y / cell));
    const list = this.#byCell.get(key);
    if (list) list.push(node);
    else this.#byCell.set(key, [node]);
    return node;
  }

  /** One number a cell: rows are fewer than four million in a world of ten-thousandths of a degree. */
  #key(c: number, r: number): number {
    return c * 4_194_304 + r;
  }
}

/** Lines between nodes; a line set twice is none. */
class Links {
  #of = new Map<number, Set<number>>();

  toggle(a: number, b: number): void {
    this.#flip(a, b);
    this.#flip(b, a);
  }

  #flip(a: number, b: number): void {
    const held = this.#of.get(a);
    if (!held) this.#of.set(a, new Set([b]));
    else if (!held.delete(b)) held.add(b);
  }

  /**
   * All lines followed round, each in one loop; no node twice in a loop. At a node with several ways on, the next
   * counterclockwise from the one that came is taken, so that loops touch there and do not cross.
   */
  loops({ x, y }: Nodes): number[][] {
    const loops: number[][] = [];
    for (const [start, ways] of this.#of) {
      while (ways.size > 0) {
        const path = [start];
        const place = new Map([[start, 0]]);
        let before = -1;
        let here = start;
        do {
          const next = this.#onward(here, before, x, y);
          this.#flip(here, next);
          this.#flip(next, here);
          before = here;
          here = next;
          const seen = place.get(here);
          if (seen === undefined) {
            place.set(here, path.length);
            path.push(here);
            continue;
          }
          // Back at a node of this path: what lies between is a loop of its own.
          const loop = path.splice(seen);
          for (const node of loop) place.delete(node);
          if (loop.length > 2) loops.push(loop);
          path.push(here);
          place.set(here, seen);
        } while (here !== start || path.length > 1);
      }
    }
    return loops;
  }

  #onward(here: number, before: number, x: readonly number[], y: readonly number[]): number {
    const ways = this.#of.get(here) ?? new Set<number>();
    let best = -1;
    let least = Infinity;
    const back = before < 0 ? 0 : Math.atan2(y[before] - y[here], x[before] - x[here]);
    for (const way of ways) {
      if (ways.size === 1) return way;
      let turn = Math.atan2(y[way] - y[here], x[way] - x[here]) - back;
      if (turn <= 0) turn += 2 * Math.PI;
      if (turn < least) {
        least = turn;
        best = way;
      }
    }
    return best;
  }
}

/** Twice the signed area about the first corner: coordinates of some 100 degrees would eat the digits of a small ring. */
export function twiceArea(ring: Ring): number {
  const [x0, y0] = ring[0] ?? [0, 0];
  let sum = 0;
  for (let i = 0; i < ring.length; i++) {
    const [x1, y1] = ring[i];
    const [x2, y2] = ring[i + 1 < ring.length ? i + 1 : 0];
    sum += (x1 - x0) * (y2 - y0) - (x2 - x0) * (y1 - y0);
  }
  return sum;
}

interface Loop {
  readonly points: readonly Point[];
  readonly area: number;
  readonly box: readonly [number, number, number, number];
  /** The middle of its longest line: on no other loop. */
  readonly mark: Point;
  depth: number;
  holder: Loop | null;
}

/** Loops that do not cross as polygons: one inside an even number of others is an outer ring, else a hole. */
function nested(rings: ReadonlyArray<readonly Point[]>): MultiPolygon {
  const loops = rings.map(loopOf).filter((l) => l.area > 0);
  loops.sort((a, b) => b.area - a.area);
  loops.forEach((loop, i) => {
    for (let k = 0; k < i; k++) {
      if (!holds(loops[k], loop.mark)) continue;
      loop.depth++;
      // Sorted by area: the last that holds it is the closest about it.
      loop.holder = loops[k];
    }
  });
  const polygons = new Map<Loop, Ring[]>();
  for (const loop of loops) if (loop.depth % 2 === 0) polygons.set(loop, [turned(loop.points, 1)]);
  for (const loop of loops)
    if (loop.depth % 2 === 1 && loop.holder) polygons.get(loop.holder)?.push(turned(loop.points, -1));
  return [...polygons.values()] as Polygon[];
}

function loopOf(points: readonly Point[]): Loop {
  const box: [number, number, number, number] = [Infinity, Infinity, -Infinity, -Infinity];
  let mark: Point = points[0];
  let longest = -1;
  points.forEach(([x1, y1], i) => {
    const [x2, y2] = points[(i + 1) % points.length];
    box[0] = Math.min(box[0], x1);
    box[1] = Math.min(box[1], y1);
    box[2] = Math.max(box[2], x1);
    box[3] = Math.max(box[3], y1);
    const length = Math.hypot(x2 - x1, y2 - y1);
    if (length <= longest) return;
    longest = length;
    mark = [(x1 + x2) / 2, (y1 + y2) / 2];
  });
  return { points, area: Math.abs(twiceArea(points)), box, mark, depth: 0, holder: null };
}

function holds({ points, box }: Loop, [x, y]: Point): boolean {
  if (x < box[0] || x > box[2] || y < box[1] || y > box[3]) return false;
  let inside = false;
  for (let i = 0, j = points.length - 1; i < points.length; j = i++) {
    const [x1, y1] = points[i];
    const [x2, y2] = points[j];
    if (y1 > y !== y2 > y && x < x1 + ((y - y1) / (y2 - y1)) * (x2 - x1)) inside = !inside;
  }
  return inside;
}

/** Closed, and counterclockwise (1) or clockwise (-1). */
function turned(points: readonly Point[], way: 1 | -1): Ring {
  const ring = twiceArea(points) * way >= 0 ? [...points] : [...points].reverse();
  return [...ring, ring[0]];
}
