import type { LayerDefinition } from '../src/domain/layers/definition.ts';

/** Steepest slope of the ground, degrees. */
export const slope: LayerDefinition = {
  id: 'slope',
  title: 'Slope',
  role: 'terrain',
  geometry: 'raster',
  unit: '°',
  transform: 'identity',
  range: [0, 90],
  sampling: 'bilinear',
  legend: { kind: 'ramp', colours: ['#f4efdf', '#dcc69a', '#b98f5c', '#855a3c', '#4a3226'] },
  derives: 'slope',
  words: ['steeper', 'gentler'],
};
