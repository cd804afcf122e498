/** Points in the frame of their own long axis, sorted along it. */
export interface Arrangement {
  /** Which point stands at each place of `x` and `y`. */
  readonly order: Int32Array;
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Into the frame and back. */
  readonly into: (x: number, y: number) => [number, number];
  readonly back: (x: number, y: number) => [number, number];
}

/**
 * Turns points so that their long axis (the first principal axis) lies along x, and sorts them: what follows is then the same
 * in whatever order and direction they came, and looks along the way in which few stand side by side.
 */
export function arrange(px: Float64Array, py: Float64Array): Arrangement {
  const n = px.length;
  // Sums of sorted numbers are the same to the last digit.
  const given = Int32Array.from(px.keys()).sort((i, j) => px[i] - px[j] || py[i] - py[j]);
  let [mx, my] = [0, 0];
  for (const i of given) {
    mx += px[i] / n;
    my += py[i] / n;
  }
  let [xx, xy, yy] = [0, 0, 0];
  for (const i of given) {
    const [u, v] = [px[i] - mx, py[i] - my];
    xx += u * u;
    xy += u * v;
    yy += v * v;
  }
  const turn = 0.5 * Math.atan2(2 * xy, xx - yy);
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  const into = (x: number, y: number): [number, number] => [
    cos * (x - mx) + sin * (y - my),
    cos * (y - my) - sin * (x - mx),
  ];
  const turned = Array.from(given, (i) => into(px[i], py[i]));
  const sorted = Int32Array.from(given.keys()).sort(
    (a, b) => turned[a][0] - turned[b][0] || turned[a][1] - turned[b][1],
  );
  return {
    order: sorted.map((k) => given[k]),
    x: Float64Array.from(sorted, (k) => turned[k][0]),
    y: Float64Array.from(sorted, (k) => turned[k][1]),
    into,
    back: (u, v) => [mx + cos * u - sin * v, my + sin * u + cos * v],
  };
}
