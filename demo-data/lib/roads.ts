/** An invented road network: pikes between towns, feeders up the valleys, tracks to the ridges, town streets, farm lanes. */
import { FRAME, cellAt, type Local } from './frame.ts';
import { Heap } from './heap.ts';
import { hash2, rng } from './rng.ts';
import { COARSE, COARSE_N, type Terrain } from './terrain.ts';
import { BLOCK, inTown, type Town } from './towns.ts';

export const HIGHWAYS = [
  'primary',
  'secondary',
  'tertiary',
  'unclassified',
  'residential',
  'track',
  'service',
] as const;
export type Highway = (typeof HIGHWAYS)[number];

export interface Road {
  readonly highway: Highway;
  readonly name: string;
  readonly maxspeed: string;
  readonly oneway: 'yes' | 'no';
  readonly surface: string;
  readonly access: string;
  readonly line: readonly Local[];
}

/** Side of the routing grid, metres, and nodes a side. */
const STEP = 200;
const N = FRAME.size / STEP;
const FEEDERS = 240;
const TRACKS = 170;
/** Longest feeder and track in routing steps. */
const FEEDER_STEPS = 110;
const TRACK_STEPS = 24;

const ROAD_WORDS = [
  'Foolscap',
  'Vellum',
  'Blotter',
  'Margin',
  'Footnote',
  'Sketch',
  'Erasure',
  'Stencil',
  'Parchment',
  'Tracing',
  'Pencil',
  'Easel',
  'Inkwell',
  'Draft',
  'Rubric',
  'Pretend',
  'Notion',
  'Fable',
  'Whimsy',
  'Guesswork',
];
const STREET_WORDS = [
  'Comma',
  'Colon',
  'Hyphen',
  'Bracket',
  'Asterisk',
  'Ampersand',
  'Tilde',
  'Caret',
  'Ellipsis',
  'Apostrophe',
  'Slash',
];

interface Edge {
  readonly a: number;
  readonly b: number;
  highway: Highway;
  name: string;
  oneway: 'yes' | 'no';
}

class Network {
  readonly place = new Map<number, Local>();
  readonly edges = new Map<string, Edge>();

  add(a: number, b: number, highway: Highway, name: string, oneway: 'yes' | 'no' = 'no'): void {
    const key = a < b ? `${a} ${b}` : `${b} ${a}`;
    if (a !== b && !this.edges.has(key)) this.edges.set(key, { a, b, highway, name, oneway });
  }
}

export function makeRoads(terrain: Terrain, water: Uint8Array, towns: readonly Town[]): Road[] {
  const random = rng('roads');
  const net = new Network();
  const us = new Float64Array(N * N);
  const vs = new Float64Array(N * N);
  const height = new Float64Array(N * N);
  const wet = new Uint8Array(N * N);
  for (let j = 0, i = 0; j < N; j++)
    for (let k = 0; k < N; k++, i++) {
      const u = Math.min(FRAME.size - 1, (k + 0.5) * STEP + 110 * (hash2(k, j, 61) - 0.5));
      const v = Math.min(FRAME.size - 1, (j + 0.5) * STEP + 110 * (hash2(k, j, 62) - 0.5));
      net.place.set(i, [u, v]);
      us[i] = u;
      vs[i] = v;
      const at = cellAt(u, v);
      height[i] = terrain.elevation[at]!;
      wet[i] = water[at]!;
    }
  const used = new Uint8Array(N * N);

  const cost = (i: number, j: number): number => {
    const [du, dv] = [us[j] - us[i], vs[j] - vs[i]];
    const length = Math.sqrt(du * du + dv * dv);
    const slope = Math.abs(height[i] - height[j]) / length;
    return length * (1 + 260 * slope * slope + (wet[i] || wet[j] ? 6 : 0)) * (used[i] && used[j] ? 0.3 : 1);
  };
  /** Cheapest ways from the sources to everywhere, or as far as one node: the node before, -1 at a source. */
  const ways = (sources: readonly number[], to = -1): Int32Array => {
    const before = new Int32Array(N * N).fill(-1);
    const best = new Float64Array(N * N).fill(Infinity);
    const heap = new Heap(9 * N * N);
    for (const s of sources) {
      best[s] = 0;
      heap.push(s, 0);
    }
    const done = new Uint8Array(N * N);
    for (let i = heap.pop(); i >= 0; i = heap.pop()) {
      if (done[i]) continue;
      done[i] = 1;
      if (i === to) break;
      const x = i % N;
      const y = (i - x) / N;
      for (let dy = -1; dy <= 1; dy++)
        for (let dx = -1; dx <= 1; dx++) {
          const nx = x + dx;
          const ny = y + dy;
          if ((!dx && !dy) || nx < 0 || ny < 0 || nx >= N || ny >= N) continue;
          const j = ny * N + nx;
          const d = best[i] + cost(i, j);
          if (d < best[j]) {
            best[j] = d;
            before[j] = i;
            heap.push(j, d);
          }
        }
    }
    return before;
  };
  const lay = (end: number, before: Int32Array, highway: Highway, name: string, most: number): void => {
    const path = [end];
    for (let at = before[end]; at >= 0 && !used[path.at(-1)!]; at = before[at]!) path.push(at);
    if (path.length > most || path.length < 3) return;
    for (let k = 1; k < path.length; k++) net.add(path[k], path[k - 1], highway, name);
    for (const node of path) used[node] = 1;
  };
  const nodeAt = ([u, v]: Local): number =>
    Math.min(N - 1, Math.floor(v / STEP)) * N + Math.min(N - 1, Math.floor(u / STEP));

  // Pikes: each town to its nearest larger one, then out of the frame on every side.
  const pike = (from: number, to: number, highway: Highway, name: string): void => {
    const before = ways([from], to);
    const path = [to];
    for (let at = before[to]; at >= 0; at = before[at]!) path.push(at);
    for (let k = 1; k < path.length; k++) net.add(path[k], path[k - 1], highway, name);
    for (const node of path) used[node] = 1;
  };
  const seats = towns.map((t) => nodeAt(t.centre));
  const gap = (a: number, b: number): number =>
    (towns[a].centre[0] - towns[b].centre[0]) ** 2 + (towns[a].centre[1] - towns[b].centre[1]) ** 2;
  for (let t = 1; t < towns.length; t++) {
    const order = [...Array(t).keys()].sort((a, b) => gap(a, t) - gap(b, t) || a - b);
    pike(
      seats[order[0]],
      seats[t],
      t < 3 ? 'primary' : 'secondary',
      `${towns[order[0]].name}-${towns[t].name} Pike`,
    );
    if (order[1] !== undefined)
      pike(seats[order[1]], seats[t], 'secondary', `${towns[order[1]].name}-${towns[t].name} Road`);
  }
  const exits: Array<readonly [Local, string]> = [
    [[300, 0.55 * FRAME.size], 'West Margin Pike'],
    [[FRAME.size - 300, 0.4 * FRAME.size], 'East Margin Pike'],
    [[0.45 * FRAME.size, 300], 'South Margin Pike'],
    [[0.62 * FRAME.size, FRAME.size - 300], 'North Margin Pike'],
  ];
  for (const [place, name] of exits) {
    const near = [...towns.keys()].sort((a, b) => {
      const d = (t: number): number =>
        (towns[t].centre[0] - place[0]) ** 2 + (towns[t].centre[1] - place[1]) ** 2;
      return d(a) - d(b) || a - b;
    })[0];
    pike(seats[near], nodeAt(place), 'primary', name);
  }

  const above = (node: number): number => {
    const [u, v] = net.place.get(node)!;
    return terrain.aboveStream[
      Math.min(COARSE_N - 1, Math.floor((FRAME.size - v) / COARSE)) * COARSE_N + Math.floor(u / COARSE)
    ];
  };
  const sources = (): number[] => [...used.keys()].filter((i) => used[i]);
  const before = ways(sources());
  for (let f = 0; f < FEEDERS; f++) {
    let node = random.int(0, N * N - 1);
    for (let tries = 0; tries < 30 && (above(node) > 60 || wet[node]); tries++)
      node = random.int(0, N * N - 1);
    const name = `${ROAD_WORDS[f % ROAD_WORDS.length]} ${['Road', 'Run Road', 'Hollow Road', 'Lane', 'Fork Road', 'Creek Road', 'Cutoff', 'Bend Road', 'Ford Road', 'Ridge Road', 'Loop', 'Spur'][Math.floor(f / ROAD_WORDS.length)]}`;
    lay(node, before, f < FEEDERS / 3 ? 'tertiary' : 'unclassified', name, FEEDER_STEPS);
  }
  const up = ways(sources());
  for (let f = 0; f < TRACKS; f++) {
    let node = random.int(0, N * N - 1);
    for (let tries = 0; tries < 30 && above(node) < 70; tries++) node = random.int(0, N * N - 1);
    lay(node, up, 'track', `Trail ${f + 1}`, TRACK_STEPS);
  }
  streets(net, towns, water);
  return chains(net);
}

/** Town streets, and the ends of the country roads bent to the nearest street corner. */
function streets(net: Network, towns: readonly Town[], water: Uint8Array): void {
  towns.forEach((town, t) => {
    const id = (i: number, j: number): number => N * N + t * 1000 + (j + town.half) * 20 + i + town.half;
    const dry = (p: Local): boolean => !water[cellAt(p[0], p[1])];
    const ids: number[] = [];
    for (let j = -town.half; j <= town.half; j++)
      for (let i = -town.half; i <= town.half; i++) {
        const p = inTown(town, i * BLOCK, j * BLOCK);
        if (!dry(p) && (i || j)) continue;
        net.place.set(id(i, j), p);
        ids.push(id(i, j));
      }
    // Names repeat from town to town, as they do.
    const street = (k: number, kind: string): string =>
      k === 0 ? `Main ${kind}` : `${STREET_WORDS[k + town.half]} ${kind}`;
    for (let j = -town.half; j <= town.half; j++)
      for (let i = -town.half; i <= town.half; i++) {
        const main = (k: number): Highway => (k === 0 ? 'secondary' : 'residential');
        // A pair of one-way streets in the largest town.
        const oneway = t === 0 && Math.abs(i) === 2 ? 'yes' : 'no';
        if (net.place.has(id(i, j)) && j < town.half && net.place.has(id(i, j + 1))) {
          const forward = i > 0;
          net.add(
            forward ? id(i, j) : id(i, j + 1),
            forward ? id(i, j + 1) : id(i, j),
            main(i),
            street(i, 'Street'),
            oneway,
          );
        }
        if (net.place.has(id(i, j)) && i < town.half && net.place.has(id(i + 1, j)))
          net.add(id(i, j), id(i + 1, j), main(j), street(j, 'Avenue'));
      }
    const radius = (town.half + 0.5) * BLOCK * 1.2;
    const inside = (node: number): boolean => {
      const p = net.place.get(node)!;
      return node < N * N && (p[0] - town.centre[0]) ** 2 + (p[1] - town.centre[1]) ** 2 < radius * radius;
    };
    const nearest = (node: number): number => {
      const p = net.place.get(node)!;
      const far = (o: number): number =>
        (net.place.get(o)![0] - p[0]) ** 2 + (net.place.get(o)![1] - p[1]) ** 2;
      return ids.reduce((best, o) => (far(o) < far(best) ? o : best));
    };
    for (const [key, edge] of [...net.edges]) {
      const a = inside(edge.a);
      const b = inside(edge.b);
      if (!a && !b) continue;
      net.edges.delete(key);
      if (a && b) continue;
      net.add(a ? nearest(edge.b) : edge.a, b ? nearest(edge.a) : edge.b, edge.highway, edge.name);
    }
  });
}

/** Edges joined between junctions, corners rounded, junctions kept so that roads share their end points exactly. */
function chains(net: Network): Road[] {
  const at = new Map<number, Edge[]>();
  for (const e of net.edges.values()) {
    for (const node of [e.a, e.b]) at.set(node, [...(at.get(node) ?? []), e]);
  }
  const same = (a: Edge, b: Edge): boolean =>
    a.highway === b.highway && a.name === b.name && a.oneway === b.oneway;
  const through = (node: number): boolean => {
    const list = at.get(node)!;
    return list.length === 2 && same(list[0], list[1]) && list[0].oneway === 'no';
  };
  const seen = new Set<Edge>();
  const roads: Road[] = [];
  const walk = (start: number, first: Edge): void => {
    const nodes = [start];
    let edge = first;
    let node = start;
    for (;;) {
      seen.add(edge);
      node = edge.a === node ? edge.b : edge.a;
      nodes.push(node);
      if (!through(node)) break;
      const next = at.get(node)!.find((e) => !seen.has(e));
      if (!next) break;
      edge = next;
    }
    roads.push(dress(first, rounded(nodes.map((n) => net.place.get(n)!))));
  };
  const ends = [...at.keys()].filter((n) => !through(n)).sort((a, b) => a - b);
  for (const node of ends)
    for (const edge of at.get(node)!)
      if (!seen.has(edge) && (edge.oneway === 'no' || edge.a === node)) walk(node, edge);
  for (const edge of net.edges.values()) if (!seen.has(edge)) walk(edge.a, edge);
  return roads;
}

/** Chaikin's corner cutting, twice, ends kept; points on a straight line dropped. */
function rounded(line: readonly Local[]): Local[] {
  let p = [...line];
  for (let pass = 0; pass < 2 && p.length > 2; pass++) {
    const q: Local[] = [p[0]];
    for (let k = 0; k + 1 < p.length; k++) {
      const [a, b] = [p[k], p[k + 1]];
      if (k > 0) q.push([0.75 * a[0] + 0.25 * b[0], 0.75 * a[1] + 0.25 * b[1]]);
      if (k + 2 < p.length) q.push([0.25 * a[0] + 0.75 * b[0], 0.25 * a[1] + 0.75 * b[1]]);
    }
    q.push(p.at(-1)!);
    p = q;
  }
  return p.filter((b, k) => {
    if (k === 0 || k === p.length - 1) return true;
    const a = p[k - 1];
    const c = p[k + 1];
    const cross = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
    return Math.abs(cross) > 1;
  });
}

const SPEED: Record<Highway, string> = {
  primary: '55 mph',
  secondary: '45 mph',
  tertiary: '40 mph',
  unclassified: '35 mph',
  residential: '25 mph',
  track: '',
  service: '',
};

function dress(edge: Edge, line: readonly Local[]): Road {
  const h = edge.highway;
  const odd = (edge.name.length + edge.name.charCodeAt(0)) % 3;
  return {
    highway: h,
    name: h === 'track' ? '' : edge.name,
    maxspeed: edge.name.startsWith('Main ') ? '25 mph' : SPEED[h],
    oneway: edge.oneway,
    surface:
      h === 'track' ? (odd ? 'dirt' : 'gravel') : h === 'unclassified' && odd === 0 ? 'gravel' : 'asphalt',
    access: h === 'track' ? ['private', 'permissive', 'yes'][odd] : 'yes',
    line,
  };
}
