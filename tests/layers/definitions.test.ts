import { readdirSync } from 'node:fs';
import { expect, test } from 'vitest';
import { layerDefinition, layerDefinitions } from '../../layers/index.ts';
import { groundOf } from '../../src/domain/layers/landcover.ts';

const HEX = /^#[0-9a-f]{6}$/;

/** Relative luminance, WCAG 2.1. */
function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((i) => {
    const c = parseInt(hex.slice(i, i + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

test('every file of the folder is in the list, once, under its own id', () => {
  const files = readdirSync(new URL('../../layers/', import.meta.url))
    .filter((f) => f !== 'index.ts')
    .map((f) => f.replace('.ts', ''))
    .sort();
  expect(layerDefinitions.map((l) => l.id).sort()).toEqual(files);
  expect(new Set(layerDefinitions.map((l) => l.title)).size).toBe(layerDefinitions.length);
});

test('a definition is found by its id and an unknown id gives nothing', () => {
  expect(layerDefinition('elevation')?.unit).toBe('m');
  expect(layerDefinition('no-such-layer')).toBeUndefined();
});

test('definitions are plain data', () => {
  expect(structuredClone(layerDefinitions)).toEqual(layerDefinitions);
});

test.each(layerDefinitions.map((l) => [l.id, l] as const))('%s holds together', (_, l) => {
  const raster = l.geometry === 'raster';
  expect(l.sampling !== null).toBe(raster);
  expect(l.range !== null).toBe(raster);
  expect(l.unit !== null).toBe(raster);
  if (l.range) expect(l.range[0]).toBeLessThan(l.range[1]);
  // A logarithm needs positive values.
  if (l.transform === 'log') expect(l.range?.[0]).toBeGreaterThan(0);
  expect(l.sampling === 'nearest').toBe(l.unit === 'class' || l.unit === 'year');
  expect(l.legend.kind).toBe(raster ? (l.unit === 'class' ? 'classes' : 'ramp') : 'single');
  if (raster && l.sampling === 'bilinear') {
    expect(l.words).toHaveLength(2);
    expect(l.words?.[0]).not.toBe(l.words?.[1]);
  }
  const colours =
    l.legend.kind === 'single'
      ? [l.legend.colour]
      : l.legend.kind === 'ramp'
        ? l.legend.colours
        : l.legend.classes.map((c) => c.colour);
  for (const c of colours) expect(c).toMatch(HEX);
});

test.each(
  layerDefinitions
    .filter((l) => l.legend.kind === 'ramp' && l.id !== 'soil-ph')
    .map((l) => [l.id, l] as const),
)('the ramp of %s runs one way in lightness', (_, l) => {
  const light = l.legend.kind === 'ramp' ? l.legend.colours.map(luminance) : [];
  const steps = light.slice(1).map((v, i) => Math.sign(v - light[i]));
  expect(new Set(steps).size).toBe(1);
});

test('each class of the land-cover legend has a kind of ground, and the legend has each code once', () => {
  const legend = layerDefinition('land-cover')?.legend;
  const codes = legend?.kind === 'classes' ? legend.classes.map((c) => c.value) : [];
  expect(codes).toHaveLength(20);
  expect(new Set(codes).size).toBe(20);
  for (const code of codes) expect(groundOf(code)).not.toBeNull();
});
