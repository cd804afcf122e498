/**
 * Minimum spanning arborescence from a root over a dense table of costs (Chu & Liu 1965, Edmonds 1967): cheapest arc into
 * every node, cycles shrunk to one node and solved again. @returns parent of each node, -1 at the root.
 */
export function minimumArborescence(cost: Float64Array, n: number, root: number): Int32Array {
  const parent = new Int32Array(n).fill(-1);
  for (let v = 0; v < n; v++) {
    if (v === root) continue;
    let best = -1;
    for (let u = 0; u < n; u++) if (u !== v && (best < 0 || cost[u * n + v] < cost[best * n + v])) best = u;
    parent[v] = best;
  }
  const cycleOf = findCycles(parent, n, root);
  if (!cycleOf) return parent;

  // One node for each cycle, one for each node outside.
  const { mark, count } = cycleOf;
  const fresh = new Int32Array(n);
  let m = count;
  for (let v = 0; v < n; v++) fresh[v] = mark[v] >= 0 ? mark[v] : m++;
  const small = new Float64Array(m * m).fill(Infinity);
  const fromArc = new Int32Array(m * m);
  const toArc = new Int32Array(m * m);
  for (let u = 0; u < n; u++) {
    for (let v = 0; v < n; v++) {
      const a = fresh[u];
      const b = fresh[v];
      if (a === b || v === root) continue;
      // Entering a cycle at v replaces the cycle's own arc into v.
      const c = cost[u * n + v] - (mark[v] >= 0 ? cost[parent[v] * n + v] : 0);
      if (c < small[a * m + b]) {
        small[a * m + b] = c;
        fromArc[a * m + b] = u;
        toArc[a * m + b] = v;
      }
    }
  }
  const inner = minimumArborescence(small, m, fresh[root]);
  for (let b = 0; b < m; b++) {
    if (inner[b] < 0) continue;
    parent[toArc[inner[b] * m + b]] = fromArc[inner[b] * m + b];
  }
  return parent;
}

/** Numbers the cycles among the parent links; null where there are none. */
function findCycles(parent: Int32Array, n: number, root: number): { mark: Int32Array; count: number } | null {
  const mark = new Int32Array(n).fill(-1);
  const seen = new Int32Array(n).fill(-1);
  let count = 0;
  for (let start = 0; start < n; start++) {
    let v = start;
    while (v !== root && v >= 0 && seen[v] < 0) {
      seen[v] = start;
      v = parent[v];
    }
    if (v === root || v < 0 || seen[v] !== start || mark[v] >= 0) continue;
    for (let u = v; mark[u] < 0; u = parent[u]) mark[u] = count;
    count++;
  }
  return count === 0 ? null : { mark, count };
}
