import type { LayerDefinition } from '../src/domain/layers/definition.ts';

/** Reaction of the upper soil in water. */
export const soilPh: LayerDefinition = {
  id: 'soil-ph',
  title: 'Soil pH',
  role: 'soil',
  geometry: 'raster',
  unit: 'pH',
  transform: 'identity',
  range: [2.5, 11],
  sampling: 'bilinear',
  legend: { kind: 'ramp', colours: ['#7a3b2e', '#b9714a', '#dcc08a', '#9fb59a', '#3f6f86'] },
  words: ['more alkaline', 'more acid'],
};
