import type { LayerDefinition } from '../src/domain/layers/definition.ts';

/** How far the ground faces north: cos(aspect) × sin(slope), from -1 to 1; 0 on flat ground. */
export const northness: LayerDefinition = {
  id: 'northness',
  title: 'Northness',
  role: 'terrain',
  geometry: 'raster',
  unit: '1',
  transform: 'identity',
  range: [-1, 1],
  sampling: 'bilinear',
  // From the sunny side to the shaded one.
  legend: { kind: 'ramp', colours: ['#f1dfa6', '#d9c9a0', '#a9b09a', '#6d8284', '#3a5062'] },
  derives: 'northness',
  words: ['more north-facing', 'more south-facing'],
};
