import type { LayerDefinition } from '../src/domain/layers/definition.ts';

/** Height above sea level, metres. Slope is taken from it. */
export const elevation: LayerDefinition = {
  id: 'elevation',
  title: 'Elevation',
  role: 'terrain',
  geometry: 'raster',
  unit: 'm',
  transform: 'identity',
  range: [-430, 6200],
  sampling: 'bilinear',
  legend: { kind: 'ramp', colours: ['#3f5a3a', '#7d8f5a', '#c2b68a', '#d9cdb4', '#f2eee4'] },
  words: ['higher', 'lower'],
};
