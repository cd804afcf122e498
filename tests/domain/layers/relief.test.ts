import { describe, expect, it } from 'vitest';
import {
  legendPixels,
  rampColour,
  relief,
  rgb,
  type ReliefStyle,
} from '../../../src/domain/layers/relief.ts';

const SIZE = 5;
const STYLE: ReliefStyle = {
  tint: [rgb('#808080'), rgb('#808080')],
  low: 0,
  high: 100,
  shade: rgb('#000000'),
  light: rgb('#ffffff'),
  strength: 1,
};
/** Elevations with a margin of one cell, from column and row (row down). */
const ground = (f: (c: number, r: number) => number): Float32Array =>
  Float32Array.from({ length: (SIZE + 2) ** 2 }, (_, i) =>
    f((i % (SIZE + 2)) - 1, Math.floor(i / (SIZE + 2)) - 1),
  );
const middle = (pixels: Uint8ClampedArray): number[] => {
  const p = (2 * SIZE + 2) * 4;
  return [...pixels.slice(p, p + 4)];
};
const grey = (f: (c: number, r: number) => number, cell = 10, exaggeration = 1): number =>
  middle(relief(ground(f), SIZE, SIZE, cell, exaggeration, STYLE))[0];

describe('relief', () => {
  it('leaves level ground in its tint, whatever its height', () => {
    expect(
      middle(
        relief(
          ground(() => 40),
          SIZE,
          SIZE,
          10,
          1,
          STYLE,
        ),
      ),
    ).toEqual([128, 128, 128, 255]);
  });

  it('is light on slopes that face north-west and dark on those that face south-east', () => {
    // Row grows southwards: ground that falls to the north-west rises with column and row.
    expect(grey((c, r) => 2 * (c + r))).toBeGreaterThan(140);
    expect(grey((c, r) => -2 * (c + r))).toBeLessThan(110);
    // Lights stand from west to north only, so west is lighter than east, north than south.
    expect(grey((c) => 2 * c)).toBeGreaterThan(grey((c) => -2 * c));
    expect(grey((_, r) => 2 * r)).toBeGreaterThan(grey((_, r) => -2 * r));
  });

  it('shades a plane by its cosine to each of three lights, worked by hand', () => {
    // Rising 10 m per 10 m cell to the east: dz/dx = 1, a slope of 45 degrees that faces west (normal (-1, 0, 1)/sqrt 2).
    // Lights at 45 degrees of height: west 0.2, north-west 0.6, north 0.2.
    // West: (1/2 + 1/2)/1 = cos 0 = 1. North-west: (sin 45 + cos 45 sin 45)/sqrt 2 = (0.7071 + 0.5)/1.4142 = 0.8536.
    // North: 0.7071/1.4142 = 0.5. Sum 0.2 + 0.5121 + 0.1 = 0.8121; level ground has 0.7071.
    // Amount of light (0.8121 - 0.7071)/(1 - 0.7071) = 0.3585: 128 + 0.3585 * 127 = 173.5.
    expect(Math.abs(grey((c) => 10 * c) - 173.5)).toBeLessThan(0.6);
    // Facing east: dots -> west 0, north-west (0.7071 - 0.5)/1.4142 = 0.1464, north 0.5: 0.1879 of 0.7071,
    // amount of shade 0.7343: 128 * (1 - 0.7343) = 34.0.
    expect(Math.abs(grey((c) => -10 * c) - 34)).toBeLessThan(0.6);
  });

  it('depends on slope alone: cells twice as large, heights twice as high, or exaggeration for height', () => {
    const f = (c: number, r: number): number => 3 * c - r;
    expect(grey((c, r) => 2 * f(c, r), 20)).toBe(grey(f, 10));
    expect(grey(f, 10, 2)).toBe(grey((c, r) => 2 * f(c, r), 10, 1));
  });

  it('is transparent where the elevation is missing and makes no cliff beside it', () => {
    const pixels = relief(
      ground((c) => (c === 3 ? NaN : 40)),
      SIZE,
      SIZE,
      10,
      1,
      STYLE,
    );
    expect(pixels[(2 * SIZE + 3) * 4 + 3]).toBe(0);
    expect(middle(pixels)).toEqual([128, 128, 128, 255]);
  });
});

describe('legend colours', () => {
  const ramp = ['#000000', '#804020', '#ffffff'];
  it('run straight between the colours of a ramp and stop at its ends', () => {
    expect(rampColour(ramp.map(rgb), 0.25)).toEqual([64, 32, 16]);
    expect(rampColour(ramp.map(rgb), 0.5)).toEqual([128, 64, 32]);
    expect(rampColour(ramp.map(rgb), -3)).toEqual([0, 0, 0]);
    expect(rampColour(ramp.map(rgb), 7)).toEqual([255, 255, 255]);
    expect(rampColour([rgb('#010203')], 0.4)).toEqual([1, 2, 3]);
  });

  it('paint numbers between low and high and leave missing ones clear', () => {
    const pixels = legendPixels(Float32Array.of(10, 15, 20, NaN), { kind: 'ramp', colours: ramp }, 10, 20);
    expect([...pixels]).toEqual([0, 0, 0, 255, 128, 64, 32, 255, 255, 255, 255, 255, 0, 0, 0, 0]);
  });

  it('paint each class in its own colour and a code without a class not at all', () => {
    const legend = {
      kind: 'classes',
      classes: [{ value: 41, name: 'Deciduous forest', colour: '#0a1420' }],
    } as const;
    expect([...legendPixels(Float32Array.of(41, 42), legend, 0, 0)]).toEqual([10, 20, 32, 255, 0, 0, 0, 0]);
  });
});
