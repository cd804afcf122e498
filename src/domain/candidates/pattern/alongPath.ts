/** More points than this are taken in their order along x: the way through them costs time as n². */
const MOST = 1000;

/**
 * How far along each point stands if the points are walked through from end to end: the longest way through their minimum
 * spanning tree (Prim 1957). A point off the way stands where its branch leaves it.
 * @param x, y sorted by x.
 */
export function alongPath(x: Float64Array, y: Float64Array): Float64Array {
  const n = x.length;
  if (n > MOST) return x.map((v) => v - x[0]);
  const links: number[][] = Array.from({ length: n }, () => []);
  const from = new Int32Array(n).fill(-1);
  const distance = new Float64Array(n).fill(Infinity);
  const reached = new Uint8Array(n);
  for (let i = 0; i >= 0;) {
    reached[i] = 1;
    if (from[i] >= 0) {
      links[i].push(from[i]);
      links[from[i]].push(i);
    }
    let next = -1;
    for (let j = 0; j < n; j++) {
      if (reached[j]) continue;
      const d = (x[i] - x[j]) ** 2 + (y[i] - y[j]) ** 2;
      if (d < distance[j]) {
        distance[j] = d;
        from[j] = i;
      }
      if (next < 0 || distance[j] < distance[next]) next = j;
    }
    i = next;
  }
  const walk = (start: number): { far: Float64Array; before: Int32Array; end: number } => {
    const far = new Float64Array(n).fill(-1);
    const before = new Int32Array(n).fill(-1);
    far[start] = 0;
    let end = start;
    for (const open = [start]; open.length > 0;) {
      const a = open.pop() ?? start;
      if (far[a] > far[end]) end = a;
      for (const b of links[a]) {
        if (far[b] >= 0) continue;
        far[b] = far[a] + Math.hypot(x[a] - x[b], y[a] - y[b]);
        before[b] = a;
        open.push(b);
      }
    }
    return { far, before, end };
  };
  const { far, before, end } = walk(walk(0).end);
  const on = new Uint8Array(n);
  for (let a = end; a >= 0; a = before[a]) on[a] = 1;
  return far.map((_, a) => {
    let b = a;
    while (!on[b]) b = before[b];
    return far[b];
  });
}
