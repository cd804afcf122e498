import type { LayerDefinition } from '../src/domain/layers/definition.ts';

/** Days between the last frost of spring and the first of autumn. */
export const frostFreePeriod: LayerDefinition = {
  id: 'frost-free-period',
  title: 'Frost-free period',
  role: 'climate',
  geometry: 'raster',
  unit: 'days',
  transform: 'identity',
  range: [0, 366],
  sampling: 'bilinear',
  legend: { kind: 'ramp', colours: ['#f0ead4', '#d3d6a3', '#9db46f', '#648a47', '#345a2b'] },
  words: ['longer frost-free', 'shorter frost-free'],
};
