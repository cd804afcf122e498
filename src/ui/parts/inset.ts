/** A small outline map without a map library: equirectangular about its middle, which is near enough to tell where a thing lies. */
import type { Box } from '../../domain/base/geo.ts';
import type { OutlineLines } from '../../map/outlines.ts';

export interface InsetFrame {
  /** lon, lat to the drawing's x, y. */
  at(lon: number, lat: number): [number, number];
  readonly box: Box;
}

/** Eastern North America: where oaks are gathered, and enough around it to know the place. */
const HOME: Box = [-100, 24, -64, 50];

/** @param close just around the boxes; else the whole region, or more where a box lies outside of it. */
export function insetFrame(boxes: readonly Box[], width: number, height: number, close: boolean): InsetFrame {
  const all = close && boxes.length > 0 ? boxes : [...boxes, HOME];
  let [w, s, e, n] = all.reduce<[number, number, number, number]>(
    (a, b) => [Math.min(a[0], b[0]), Math.min(a[1], b[1]), Math.max(a[2], b[2]), Math.max(a[3], b[3])],
    [180, 90, -180, -90],
  );
  const margin = (close ? 0.12 : 0.06) * Math.max(e - w, n - s, close ? 0.15 : 0);
  [w, s, e, n] = [w - margin, Math.max(-90, s - margin), e + margin, Math.min(90, n + margin)];
  const shrink = Math.max(0.2, Math.cos((((s + n) / 2) * Math.PI) / 180));
  const scale = Math.min(width / ((e - w) * shrink), height / (n - s));
  const left = (width - (e - w) * shrink * scale) / 2;
  const top = (height - (n - s) * scale) / 2;
  const reach = (span: number, free: number): number => span + free / scale;
  return {
    at: (lon, lat) => [left + (lon - w) * shrink * scale, top + (n - lat) * scale],
    box: [w - reach(0, left) / shrink, s - reach(0, top), e + reach(0, left) / shrink, n + reach(0, top)],
  };
}

/** Lines that come into the frame, as an SVG path; points within half a pixel of the last one are left out. */
export function insetPath(lines: OutlineLines, frame: InsetFrame): string {
  const [w, s, e, n] = frame.box;
  const within = (p: readonly [number, number] | undefined): boolean =>
    p !== undefined && p[0] >= w && p[0] <= e && p[1] >= s && p[1] <= n;
  const text = ([x, y]: readonly [number, number]): string => `${x.toFixed(1)} ${y.toFixed(1)}`;
  const parts: string[] = [];
  for (const line of lines) {
    let last: readonly [number, number] | null = null;
    line.forEach((p, i) => {
      // A point outside is drawn as well where it leads in or out.
      if (!within(p) && !within(line[i - 1]) && !within(line[i + 1])) {
        last = null;
        return;
      }
      const q = frame.at(p[0], p[1]);
      if (last === null) parts.push(`M${text(q)}`);
      else if (within(line[i + 1]) && Math.hypot(q[0] - last[0], q[1] - last[1]) < 0.5) return;
      else parts.push(`L${text(q)}`);
      last = q;
    });
  }
  return parts.join('');
}
