/** Pixel maths of pictures: soft relief from elevations, and values or classes in the colours of a legend. */
import type { Legend } from './definition.ts';

export type Rgb = readonly [number, number, number];

export function rgb(hex: string): Rgb {
  const n = Number.parseInt(hex.slice(1), 16);
  return [(n >> 16) & 255, (n >> 8) & 255, n & 255];
}

/** Colour at share t (0-1) of a ramp of colours, linear between neighbours. */
export function rampColour(colours: readonly Rgb[], t: number): Rgb {
  const x = Math.min(1, Math.max(0, t)) * (colours.length - 1);
  const i = Math.min(colours.length - 2, Math.floor(x));
  if (i < 0) return colours[0];
  const f = x - i;
  return [0, 1, 2].map((k) => colours[i][k] + f * (colours[i + 1][k] - colours[i][k])) as unknown as Rgb;
}

export interface ReliefStyle {
  /** Low to high ground. */
  readonly tint: readonly Rgb[];
  readonly low: number;
  readonly high: number;
  /** Colour of full shade and of full light, and how strongly they are laid over the tint (0-1). */
  readonly shade: Rgb;
  readonly light: Rgb;
  readonly strength: number;
}

/** Light from three sides, most from the north-west (the convention of printed relief), so that no slope goes flat. */
const LIGHTS: ReadonlyArray<readonly [azimuth: number, weight: number]> = [
  [315, 0.6],
  [270, 0.2],
  [0, 0.2],
];
/** Height of the lights is 45 degrees: sine and cosine alike. */
const DIAGONAL = Math.SQRT1_2;
/** Of each light: its share towards east, towards north, and its weight. */
const BEAMS = LIGHTS.map(([azimuth, weight]) => {
  const a = (azimuth * Math.PI) / 180;
  return [DIAGONAL * Math.sin(a), DIAGONAL * Math.cos(a), weight] as const;
});
/** Steps of the tint: finer than a screen shows. */
const STEPS = 256;

/**
 * Hillshade (Lambert, slopes by Horn 1981) over an elevation tint.
 * @param z (width + 2) x (height + 2) elevations, one cell of margin all round, metres; NaN missing.
 * @param cell metres between neighbours. @param exaggeration of heights.
 * @returns RGBA, width x height; transparent where the elevation is missing.
 */
export function relief(
  z: Float32Array,
  width: number,
  height: number,
  cell: number,
  exaggeration: number,
  style: ReliefStyle,
): Uint8ClampedArray<ArrayBuffer> {
  const out = new Uint8ClampedArray(new ArrayBuffer(width * height * 4));
  const stride = width + 2;
  const tint = new Float32Array(3 * (STEPS + 1));
  for (let i = 0; i <= STEPS; i++) tint.set(rampColour(style.tint, i / STEPS), 3 * i);
  const tintScale = STEPS / (style.high - style.low || 1);
  const steep = exaggeration / (8 * cell);
  const { shade, light, strength } = style;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const c = (y + 1) * stride + x + 1;
      const h = z[c];
      if (h !== h) continue;
      // A missing neighbour is taken as level ground: the edge of the data is no cliff.
      let [nw, n, ne] = [z[c - stride - 1], z[c - stride], z[c - stride + 1]];
      let [w, e] = [z[c - 1], z[c + 1]];
      let [sw, s, se] = [z[c + stride - 1], z[c + stride], z[c + stride + 1]];
      const sum = nw + n + ne + w + e + sw + s + se;
      if (sum !== sum) {
        [nw, n, ne] = [known(nw, h), known(n, h), known(ne, h)];
        [w, e] = [known(w, h), known(e, h)];
        [sw, s, se] = [known(sw, h), known(s, h), known(se, h)];
      }
      const dzdx = (ne + 2 * e + se - nw - 2 * w - sw) * steep;
      const dzdy = (nw + 2 * n + ne - sw - 2 * s - se) * steep;
      const norm = 1 / Math.sqrt(1 + dzdx * dzdx + dzdy * dzdy);
      let lit = 0;
      for (const [east, north, weight] of BEAMS) {
        const dot = (DIAGONAL - dzdx * east - dzdy * north) * norm;
        if (dot > 0) lit += weight * dot;
      }
      // Level ground keeps its tint; only what is darker or lighter than it is shaded.
      const darker = lit < DIAGONAL;
      const amount = Math.min(
        strength,
        (strength * Math.abs(lit - DIAGONAL)) / (darker ? DIAGONAL : 1 - DIAGONAL),
      );
      const towards = darker ? shade : light;
      const t = 3 * Math.round(Math.min(STEPS, Math.max(0, (h - style.low) * tintScale)));
      const p = (y * width + x) * 4;
      for (let k = 0; k < 3; k++) out[p + k] = tint[t + k] + amount * (towards[k] - tint[t + k]);
      out[p + 3] = 255;
    }
  }
  return out;
}

const known = (value: number, otherwise: number): number => (value === value ? value : otherwise);

/** Values or class codes in the colours of their legend; transparent where missing or without a class. */
export function legendPixels(
  values: Float32Array,
  legend: Legend,
  low: number,
  high: number,
): Uint8ClampedArray<ArrayBuffer> {
  const out = new Uint8ClampedArray(new ArrayBuffer(values.length * 4));
  const ramp = legend.kind === 'ramp' ? legend.colours.map(rgb) : null;
  const classes =
    legend.kind === 'classes' ? new Map(legend.classes.map((c) => [c.value, rgb(c.colour)])) : null;
  const single = legend.kind === 'single' ? rgb(legend.colour) : null;
  for (let i = 0; i < values.length; i++) {
    const v = values[i];
    if (Number.isNaN(v)) continue;
    const colour = ramp ? rampColour(ramp, (v - low) / (high - low || 1)) : (classes?.get(v) ?? single);
    if (!colour) continue;
    out.set(colour, i * 4);
    out[i * 4 + 3] = 255;
  }
  return out;
}
