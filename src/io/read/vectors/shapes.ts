/** GeoJSON-like geometries as columns of coordinates, so that they are reprojected at once. */
export interface RawFeature {
  readonly geometry: RawGeometry | null;
  readonly properties: Readonly<Record<string, unknown>> | null;
}

export interface RawGeometry {
  readonly type: string;
  readonly coordinates?: unknown;
  readonly geometries?: readonly RawGeometry[];
}

export type Kind = 'polygon' | 'line' | 'point';

/** Positions from start up to, not including, end. */
export type Run = readonly [start: number, end: number];

export interface Shape {
  /** Place in the list of raw features. */
  readonly feature: number;
  readonly start: number;
  readonly end: number;
  /** Points and lines: one run a part; polygons: one run a ring, the outer one first. */
  readonly parts: ReadonlyArray<readonly Run[]>;
}

export interface Shapes {
  readonly kind: Kind;
  /** NaN where a position is not two numbers. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly features: readonly Shape[];
}

/** Kind of each type of geometry that is read; those that hold several kinds have none. */
export const KINDS: ReadonlyMap<unknown, Kind> = new Map([
  ['Polygon', 'polygon'],
  ['MultiPolygon', 'polygon'],
  ['LineString', 'line'],
  ['MultiLineString', 'line'],
  ['Point', 'point'],
  ['MultiPoint', 'point'],
]);
const WORDS: Readonly<Record<Kind, string>> = { polygon: 'polygons', line: 'lines', point: 'points' };

/** A growing pair of columns. */
class Columns {
  x = new Float64Array(1024);
  y = new Float64Array(1024);
  length = 0;
  push(x: number, y: number): void {
    if (this.length === this.x.length) {
      const [wideX, wideY] = [new Float64Array(2 * this.length), new Float64Array(2 * this.length)];
      wideX.set(this.x);
      wideY.set(this.y);
      this.x = wideX;
      this.y = wideY;
    }
    this.x[this.length] = x;
    this.y[this.length++] = y;
  }
}

/**
 * The features of the kind that most of them are, in order; null where no feature has a kind.
 * @param say called once for each feature that something is to be noted of.
 */
export function shapesOf(raw: readonly RawFeature[], say: (what: string) => void): Shapes | null {
  const counts = new Map<Kind, number>();
  for (const { geometry } of raw) {
    const kind = KINDS.get(geometry?.type);
    if (kind) counts.set(kind, (counts.get(kind) ?? 0) + 1);
    else say(geometry ? `geometry of the type ${geometry.type} is not read` : 'no geometry: left out');
  }
  const [most] = [...counts].sort((a, b) => b[1] - a[1]);
  if (!most) return null;
  const kind = most[0];
  const columns = new Columns();
  const met = { heights: false };
  const run = (positions: readonly unknown[]): Run => {
    const start = columns.length;
    for (const p of positions) {
      if (Array.isArray(p) && Number.isFinite(p[0]) && Number.isFinite(p[1])) {
        columns.push(p[0] as number, p[1] as number);
        if (p.length > 2) met.heights = true;
      } else columns.push(NaN, NaN);
    }
    return [start, columns.length];
  };
  const features: Shape[] = [];
  for (const [feature, { geometry }] of raw.entries()) {
    const own = KINDS.get(geometry?.type);
    if (!geometry || own === undefined) continue;
    if (own !== kind) {
      say(`${WORDS[own]} among ${WORDS[kind]} were left out`);
      continue;
    }
    const start = columns.length;
    met.heights = false;
    const multi = geometry.type.startsWith('Multi');
    const parts = multi ? list(geometry.coordinates) : [geometry.coordinates];
    const runs = parts.map((part) =>
      kind === 'point'
        ? [run([part])]
        : kind === 'line'
          ? [run(list(part))]
          : list(part).map((ring) => run(list(ring))),
    );
    features.push({ feature, start, end: columns.length, parts: runs });
    if (met.heights) say('heights were dropped');
  }
  return {
    kind,
    x: columns.x.subarray(0, columns.length),
    y: columns.y.subarray(0, columns.length),
    features,
  };
}

const list = (value: unknown): unknown[] => (Array.isArray(value) ? (value as unknown[]) : []);
