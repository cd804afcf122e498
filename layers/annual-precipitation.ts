import type { LayerDefinition } from '../src/domain/layers/definition.ts';

/** Sum of the twelve months, mm of water. Differences are taken of the logarithm: 100 mm mean more where it is dry. */
export const annualPrecipitation: LayerDefinition = {
  id: 'annual-precipitation',
  title: 'Annual precipitation',
  role: 'climate',
  geometry: 'raster',
  unit: 'mm',
  transform: 'log',
  range: [10, 6000],
  sampling: 'bilinear',
  legend: { kind: 'ramp', colours: ['#f1ecd9', '#c9d8c4', '#8fb8b0', '#4d8a94', '#1f5268'] },
  words: ['wetter', 'drier'],
};
