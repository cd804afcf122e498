import type { LayerDefinition } from '../src/domain/layers/definition.ts';

/** How far the ground faces east: sin(aspect) × sin(slope), from -1 to 1; 0 on flat ground. */
export const eastness: LayerDefinition = {
  id: 'eastness',
  title: 'Eastness',
  role: 'terrain',
  geometry: 'raster',
  unit: '1',
  transform: 'identity',
  range: [-1, 1],
  sampling: 'bilinear',
  // From the side of the evening sun to that of the morning.
  legend: { kind: 'ramp', colours: ['#f0d3bd', '#d3bda6', '#a8a08f', '#777d72', '#485a50'] },
  derives: 'eastness',
  words: ['more east-facing', 'more west-facing'],
};
