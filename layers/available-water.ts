import type { LayerDefinition } from '../src/domain/layers/definition.ts';

/** Water that the rooted soil can hold for plants, mm over the depth that the source names. */
export const availableWater: LayerDefinition = {
  id: 'available-water',
  title: 'Available water',
  role: 'soil',
  geometry: 'raster',
  unit: 'mm',
  transform: 'identity',
  range: [0, 600],
  sampling: 'bilinear',
  legend: { kind: 'ramp', colours: ['#f1ecd9', '#c9d8c4', '#8fb8b0', '#4d8a94', '#1f5268'] },
  words: ['holds more water', 'holds less water'],
};
